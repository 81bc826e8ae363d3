"""May a raga make this phrase: by its swaras, its runs, and the turns that it forbids or requires.

A run passes a swara that stands between a lower and a higher one. A swara that the way up leaves
out is not passed by a rising run, though a rise may end on it, and a raga may pass it in a turn of
its own: what stands in its phrases or scales is always admitted.

Three questions are asked of a phrase. `break_of` says what speaks against it by all that the raga's
file tells: a phrase without a break is admitted. `surely_breaks` says what no teaching that the
file knows would allow; that a step is missing from a short list proves nothing, so only foreign
swaras and runs through omitted ones count. `makes` says that it moves as the raga is known to: it
is admitted, and each of its steps is taken in the raga's own phrases or ways. Between these lies
doubt, and no question is built on that.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from audio.tuning import Swara
from quizzes.ragas.raga import Raga

Swaras = Sequence[Swara]
Turn = tuple[int, ...]
"""A succession of swaras in whichever saptak, as semitones above the Sa below its lowest."""


@dataclass(frozen=True, slots=True)
class Break:
    """What a raga does not do.

    `by` is "note", "run" (up or down through an omitted swara), "turn" (forbidden) or "required"
    (a swara outside its turns); `of` is the place of the swara in question in the phrase, `at` the
    place of the swara with which it was known.
    """

    by: str
    of: int
    at: int


def admits(raga: Raga, swaras: Swaras) -> bool:
    """Whether nothing that the raga's file has speaks against this phrase."""
    return next(_breaks(raga, swaras), None) is None


def makes(raga: Raga, swaras: Swaras) -> bool:
    """Whether this is known to be a phrase of the raga: every step of it is one of its own."""
    struck = [swaras[place] for place in _struck_once(swaras)]
    steps = own_steps(raga)
    return all(turn_of(pair) in steps for pair in pairwise(struck)) and admits(raga, swaras)


def break_of(raga: Raga, swaras: Swaras) -> Break | None:
    """The first break by all that is known of the raga, sure or not."""
    return next(iter(all_breaks(raga, swaras)), None)


def surely_breaks(raga: Raga, swaras: Swaras) -> Break | None:
    """The first break that no teaching known of the raga allows."""
    return next(iter(sure_breaks(raga, swaras)), None)


def all_breaks(raga: Raga, swaras: Swaras) -> list[Break]:
    """Every break by all that is known of the raga, in the order in which they are heard."""
    return _in_order(_breaks(raga, swaras))


def sure_breaks(raga: Raga, swaras: Swaras) -> list[Break]:
    """Every one that no teaching known of the raga allows."""
    return _in_order(_runs_and_notes(_surest(raga), swaras))


def _in_order(breaks: Iterable[Break]) -> list[Break]:
    return sorted(breaks, key=lambda each: (each.at, each.of))


@dataclass(frozen=True, slots=True)
class _Rules:
    """What `_runs_and_notes` asks of a raga again and again."""

    letters: frozenset[str]
    up: frozenset[str]
    """Letters that no rising run passes but in a turn of its own."""
    down: frozenset[str]
    turns: frozenset[Turn]


@cache
def _strict(raga: Raga) -> _Rules:
    """By all that the file has; a way that turns on itself is taken in its own turns only."""
    letters, scale = raga.allowed, raga.scale.value
    return _Rules(
        letters,
        letters if raga.vakra_up else letters - scale.up,
        letters if raga.vakra_down else letters - scale.down,
        own_turns(raga),
    )


@cache
def _surest(raga: Raga) -> _Rules:
    """By what every teaching known agrees on."""
    up, down = never_passed(raga)
    return _Rules(raga.ever, up, down, own_turns(raga))


def _runs_and_notes(rules: _Rules, swaras: Swaras) -> Iterator[Break]:
    for place, swara in enumerate(swaras):
        if swara.letter not in rules.letters:
            yield Break("note", place, place)
    for place, rising in passed(swaras):
        closed = rules.up if rising else rules.down
        if swaras[place].letter in closed and not _is_own(rules, swaras, place):
            yield Break("run", place, place + 1)


def _is_own(rules: _Rules, swaras: Swaras, place: int) -> bool:
    return turn_of(swaras[place - 1 : place + 2]) in rules.turns


def _breaks(raga: Raga, swaras: Swaras) -> Iterator[Break]:
    """A swara that is struck again at once counts once: a run may pass it all the same."""
    places = _struck_once(swaras)
    for each in _runs_and_notes(_strict(raga), [swaras[place] for place in places]):
        yield Break(each.by, places[each.of], places[each.at])
    for turn in _forbidden(raga):
        for place in range(len(swaras) - len(turn) + 1):
            if turn_of(swaras[place : place + len(turn)]) == turn:
                yield Break("turn", place, place + len(turn) - 1)
    for letter, turns in _required(raga):
        for place, swara in enumerate(swaras):
            if swara.letter == letter and not _lies_in(swaras, place, turns):
                yield Break("required", place, min(place + 1, len(swaras) - 1))


def _struck_once(swaras: Swaras) -> list[int]:
    """The places of the swaras without those that only strike the one before again."""
    return [place for place, swara in enumerate(swaras) if not place or swara != swaras[place - 1]]


@cache
def _forbidden(raga: Raga) -> tuple[Turn, ...]:
    return tuple(turn_of(forbidden.turn) for forbidden in raga.forbidden)


@cache
def _required(raga: Raga) -> tuple[tuple[str, tuple[Turn, ...]], ...]:
    return tuple((each.letter, tuple(map(turn_of, each.turns))) for each in raga.required)


def passed(swaras: Swaras) -> Iterator[tuple[int, bool]]:
    """The places of swaras that a run passes, and whether it rises."""
    steps = [swara.steps for swara in swaras]
    for place, (before, here, after) in enumerate(
        zip(steps, steps[1:], steps[2:], strict=False), 1
    ):
        if before < here < after:
            yield place, True
        elif before > here > after:
            yield place, False


def turn_of(swaras: Swaras) -> Turn:
    """The succession without its saptak."""
    steps = [swara.steps for swara in swaras]
    ground = 12 * (min(steps) // 12)
    return tuple(step - ground for step in steps)


@cache
def own_turns(raga: Raga) -> frozenset[Turn]:
    """All successions of three that the raga's phrases and scales hold."""
    lines = own_lines(raga)
    lines += [tuple(line[place] for place in _struck_once(line)) for line in lines]
    return frozenset(
        turn_of(line[place : place + 3]) for line in lines for place in range(len(line) - 2)
    )


@cache
def own_steps(raga: Raga) -> frozenset[Turn]:
    """All successions of two that they hold."""
    return frozenset(turn_of(pair) for line in own_lines(raga) for pair in pairwise(line))


def own_lines(raga: Raga) -> list[Swaras]:
    """What the raga is known by: its phrases, its ways and the turns that it requires."""
    lines: list[Swaras] = [phrase.swaras for phrase in raga.phrases]
    lines += [raga.scale.value.aroha, raga.scale.value.avaroha]
    lines += [turn for required in raga.required for turn in required.turns]
    return lines


@cache
def never_passed(raga: Raga) -> tuple[frozenset[str], frozenset[str]]:
    """Letters that rising and falling runs pass in no teaching known; none where the scale itself
    is from memory, and none of a light raga, which is free in its ways. A way that turns on itself
    says nothing of runs that are not its own."""
    if not raga.scale.sure or "light" in raga.gait.value:
        return frozenset(), frozenset()
    up, down = set(raga.omitted_up), set(raga.omitted_down)
    for variant in raga.others("aroha"):
        up -= _forms_of(variant)
    for variant in raga.others("avaroha"):
        down -= _forms_of(variant)
    return frozenset(up), frozenset(down)


def _forms_of(way: str) -> set[str]:
    """Letters of every form of the degrees in a printed way."""
    return {form for letter in way if letter.isalpha() for form in (letter.upper(), letter.lower())}


def _lies_in(swaras: Swaras, place: int, turns: Sequence[Turn]) -> bool:
    """Whether one of the turns lies, whole, over this place."""
    for turn in turns:
        for start in range(max(place - len(turn) + 1, 0), min(place, len(swaras) - len(turn)) + 1):
            if turn_of(swaras[start : start + len(turn)]) == turn:
                return True
    return False
