"""May a raga make this phrase: by its swaras, its runs, and the turns that it forbids or requires.

A run passes a swara that stands between a lower and a higher one. A swara that the way up leaves
out is not passed by a rising run, though a rise may end on it, and a raga may pass it in a turn of
its own: what stands in its phrases or scales is always admitted.

Two questions are asked of a phrase. `break_of` says what speaks against it by all that the raga's
file tells: a phrase without a break is admitted. `surely_breaks` says what no teaching that the
file knows would allow; that a step is missing from a short list proves nothing, so only foreign
swaras and runs through omitted ones count. Between the two lies doubt, and no question is built on
that.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

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
    """Whether the raga may make this phrase, as its file has it."""
    return break_of(raga, swaras) is None


def break_of(raga: Raga, swaras: Swaras) -> Break | None:
    """The first break by all that is known of the raga, sure or not."""
    return min(_breaks(raga, swaras), key=lambda each: (each.at, each.of), default=None)


def surely_breaks(raga: Raga, swaras: Swaras) -> Break | None:
    """The first break that no teaching known of the raga allows."""
    return min(_sure_breaks(raga, swaras), key=lambda each: (each.at, each.of), default=None)


def _breaks(raga: Raga, swaras: Swaras) -> Iterator[Break]:
    for place, swara in enumerate(swaras):
        if swara.letter not in raga.allowed:
            yield Break("note", place, place)
    known = own_turns(raga)
    up, down = _closed(raga)
    for place, rising in passed(swaras):
        letter = swaras[place].letter
        vakra = raga.vakra_up if rising else raga.vakra_down
        if (letter in (up if rising else down) or vakra) and (
            turn_of(swaras[place - 1 : place + 2]) not in known
        ):
            yield Break("run", place, place + 1)
    for forbidden in raga.forbidden:
        size = len(forbidden.turn)
        turn = turn_of(forbidden.turn)
        for place in range(len(swaras) - size + 1):
            if turn_of(swaras[place : place + size]) == turn:
                yield Break("turn", place, place + size - 1)
    for required in raga.required:
        turns = tuple(map(turn_of, required.turns))
        for place, swara in enumerate(swaras):
            if swara.letter == required.letter and not _lies_in(swaras, place, turns):
                yield Break("required", place, min(place + 1, len(swaras) - 1))


def _sure_breaks(raga: Raga, swaras: Swaras) -> Iterator[Break]:
    for place, swara in enumerate(swaras):
        if swara.letter not in raga.ever:
            yield Break("note", place, place)
    known = own_turns(raga)
    up, down = never_passed(raga)
    for place, rising in passed(swaras):
        if swaras[place].letter in (up if rising else down) and (
            turn_of(swaras[place - 1 : place + 2]) not in known
        ):
            yield Break("run", place, place + 1)


def passed(swaras: Swaras) -> Iterator[tuple[int, bool]]:
    """The places of swaras that a run passes, and whether it rises."""
    for place in range(1, len(swaras) - 1):
        before, here, after = (swara.steps for swara in swaras[place - 1 : place + 2])
        if before < here < after:
            yield place, True
        elif before > here > after:
            yield place, False


def turn_of(swaras: Swaras) -> Turn:
    """The succession without its saptak."""
    ground = 12 * (min(swara.steps for swara in swaras) // 12)
    return tuple(swara.steps - ground for swara in swaras)


@cache
def own_turns(raga: Raga) -> frozenset[Turn]:
    """All successions of three that the raga's phrases and scales hold."""
    lines = [phrase.swaras for phrase in raga.phrases]
    lines += [raga.scale.value.aroha, raga.scale.value.avaroha]
    lines += [turn for required in raga.required for turn in required.turns]
    return frozenset(
        turn_of(line[place : place + 3]) for line in lines for place in range(len(line) - 2)
    )


@cache
def _closed(raga: Raga) -> tuple[frozenset[str], frozenset[str]]:
    """Letters that rising and falling runs do not pass as the file has it."""
    return raga.allowed - raga.scale.value.up, raga.allowed - raga.scale.value.down


@cache
def never_passed(raga: Raga) -> tuple[frozenset[str], frozenset[str]]:
    """Letters that rising and falling runs pass in no teaching known; none where the scale itself
    is from memory. A way that turns on itself says nothing of runs that are not its own."""
    if not raga.scale.sure:
        return frozenset(), frozenset()
    up, down = set(raga.omitted_up), set(raga.omitted_down)
    for variant in raga.believed("aroha"):
        up -= _forms_of(variant)
    for variant in raga.believed("avaroha"):
        down -= _forms_of(variant)
    return frozenset(up), frozenset(down)


def _forms_of(way: str) -> set[str]:
    """Letters of every form of the degrees in a printed way."""
    return {form for letter in way if letter.isalpha() for form in (letter.upper(), letter.lower())}


def _lies_in(swaras: Swaras, place: int, turns: Sequence[Turn]) -> bool:
    """Whether one of the turns can lie over this place; at the phrase's ends a part of it may."""
    for turn in turns:
        for start in range(place - len(turn) + 1, place + 1):
            first, last = max(start, 0), min(start + len(turn), len(swaras))
            part = turn[first - start : last - start]
            heard = [swara.steps for swara in swaras[first:last]]
            lifts = {a - b for a, b in zip(heard, part, strict=True)}
            if len(heard) > 1 and len(lifts) == 1 and lifts.pop() % 12 == 0:
                return True
    return False
