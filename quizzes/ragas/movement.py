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

from audio.tuning import SWARAS, Swara
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
    return admits_steps(raga, _steps(swaras))


def admits_steps(raga: Raga, steps: Sequence[int]) -> bool:
    """The same of a phrase in semitones above middle Sa."""
    return next(_breaks(raga, steps), None) is None


def makes(raga: Raga, swaras: Swaras) -> bool:
    """Whether this is known to be a phrase of the raga: every step of it is one of its own."""
    steps, own = _steps(swaras), own_steps(raga)
    struck = [steps[place] for place in _struck_once(steps)]
    return all(_turn_in(pair) in own for pair in pairwise(struck)) and admits_steps(raga, steps)


def break_of(raga: Raga, swaras: Swaras) -> Break | None:
    """The first break by all that is known of the raga, sure or not."""
    return _first(_breaks(raga, _steps(swaras)))


def surely_breaks(raga: Raga, swaras: Swaras) -> Break | None:
    """The first break that no teaching known of the raga allows."""
    return surely_breaks_steps(raga, _steps(swaras))


def surely_breaks_steps(raga: Raga, steps: Sequence[int]) -> Break | None:
    """The same of a phrase in semitones above any Sa."""
    return _first(_runs_and_notes(_surest(raga), steps))


def all_breaks(raga: Raga, swaras: Swaras) -> list[Break]:
    """Every break by all that is known of the raga, in the order in which they are heard."""
    return sorted(_breaks(raga, _steps(swaras)), key=_heard)


def sure_breaks(raga: Raga, swaras: Swaras) -> list[Break]:
    """Every one that no teaching known of the raga allows."""
    return sorted(_runs_and_notes(_surest(raga), _steps(swaras)), key=_heard)


def _first(breaks: Iterable[Break]) -> Break | None:
    return min(breaks, key=_heard, default=None)


def _heard(broken: Break) -> tuple[int, int]:
    """When it is heard among others."""
    return broken.at, broken.of


@dataclass(frozen=True, slots=True)
class _Rules:
    """What `_runs_and_notes` asks of a raga again and again; swaras as semitones above any Sa."""

    notes: frozenset[int]
    up: frozenset[int]
    """Those that no rising run passes but in a turn of its own."""
    down: frozenset[int]
    turns: frozenset[Turn]

    @classmethod
    def of(
        cls, letters: frozenset[str], up: frozenset[str], down: frozenset[str], raga: Raga
    ) -> _Rules:
        return cls(_semitones(letters), _semitones(up), _semitones(down), own_turns(raga))


def _semitones(letters: Iterable[str]) -> frozenset[int]:
    return frozenset(map(SWARAS.index, letters))


@cache
def _strict(raga: Raga) -> _Rules:
    """By all that the file has; a way that turns on itself is taken in its own turns only."""
    letters, scale = raga.allowed, raga.scale.value
    return _Rules.of(
        letters,
        letters if raga.vakra_up else letters - scale.up,
        letters if raga.vakra_down else letters - scale.down,
        raga,
    )


@cache
def _surest(raga: Raga) -> _Rules:
    """By what every teaching known agrees on."""
    up, down = never_passed(raga)
    return _Rules.of(raga.ever, up, down, raga)


def _runs_and_notes(rules: _Rules, steps: Sequence[int]) -> Iterator[Break]:
    for place, step in enumerate(steps):
        if step % 12 not in rules.notes:
            yield Break("note", place, place)
    for place, rising in _passed(steps):
        closed = rules.up if rising else rules.down
        is_closed = steps[place] % 12 in closed
        if is_closed and _turn_in(steps[place - 1 : place + 2]) not in rules.turns:
            yield Break("run", place, place + 1)


def _breaks(raga: Raga, steps: Sequence[int]) -> Iterator[Break]:
    """A swara that is struck again at once counts once: a run may pass it all the same."""
    places = _struck_once(steps)
    struck = steps if len(places) == len(steps) else [steps[place] for place in places]
    for each in _runs_and_notes(_strict(raga), struck):
        yield Break(each.by, places[each.of], places[each.at])
    for turn in _forbidden(raga):
        for place in range(len(steps) - len(turn) + 1):
            if _turn_in(steps[place : place + len(turn)]) == turn:
                yield Break("turn", place, place + len(turn) - 1)
    for semitone, turns in _required(raga):
        for place, step in enumerate(steps):
            if step % 12 == semitone and not _lies_in(steps, place, turns):
                yield Break("required", place, min(place + 1, len(steps) - 1))


def _struck_once(steps: Sequence[int]) -> list[int]:
    """The places of the swaras without those that only strike the one before again."""
    return [place for place, step in enumerate(steps) if not place or step != steps[place - 1]]


@cache
def _forbidden(raga: Raga) -> tuple[Turn, ...]:
    return tuple(turn_of(forbidden.turn) for forbidden in raga.forbidden)


@cache
def _required(raga: Raga) -> tuple[tuple[int, tuple[Turn, ...]], ...]:
    return tuple(
        (SWARAS.index(each.letter), tuple(map(turn_of, each.turns))) for each in raga.required
    )


def passed(swaras: Swaras) -> Iterator[tuple[int, bool]]:
    """The places of swaras that a run passes, and whether it rises."""
    return _passed(_steps(swaras))


def _passed(steps: Sequence[int]) -> Iterator[tuple[int, bool]]:
    for place in range(1, len(steps) - 1):
        before, here, after = steps[place - 1 : place + 2]
        if before < here < after:
            yield place, True
        elif before > here > after:
            yield place, False


def turn_of(swaras: Swaras) -> Turn:
    """The succession without its saptak."""
    return _turn_in(_steps(swaras))


def _turn_in(steps: Sequence[int]) -> Turn:
    ground = 12 * (min(steps) // 12)
    return tuple([step - ground for step in steps])


def _steps(swaras: Swaras) -> list[int]:
    return [swara.steps for swara in swaras]


@cache
def own_turns(raga: Raga) -> frozenset[Turn]:
    """All successions of three that the raga's phrases and scales hold."""
    lines = [_steps(line) for line in own_lines(raga)]
    lines += [[line[place] for place in _struck_once(line)] for line in lines]
    return frozenset(
        _turn_in(line[place : place + 3]) for line in lines for place in range(len(line) - 2)
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


def _lies_in(steps: Sequence[int], place: int, turns: Sequence[Turn]) -> bool:
    """Whether one of the turns lies, whole, over this place."""
    for turn in turns:
        for start in range(max(place - len(turn) + 1, 0), min(place, len(steps) - len(turn)) + 1):
            if _turn_in(steps[start : start + len(turn)]) == turn:
                return True
    return False
