"""One swara that breaks a phrase of a raga: a foreign one, or one that its way up or down omits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from audio.tuning import SWARAS, Swara
from quizzes.ragas.choosing import beside
from quizzes.ragas.movement import break_of, never_passed, surely_breaks
from quizzes.ragas.raga import DEGREES, Raga
from quizzes.ragas.said import raga_name
from quizzes.ragas.stock import Swaras
from quizzes.ragas.tradition import ragas
from quizzes.ragas.words import letter_name
from words import say

SPOILINGS = ("note", "run")
WIDEST_STEPS = 5
"""A swara is slipped in between two that lie at most so far apart."""


@dataclass(frozen=True, slots=True)
class Spoiled:
    """A phrase with the one swara, at `place`, that breaks it, and the phrase as it should be."""

    swaras: Swaras
    place: int
    mended: Swaras

    @property
    def slipped_in(self) -> bool:
        """Whether that swara came between two that belong together, not instead of one."""
        return len(self.mended) < len(self.swaras)


def spoilings(sort: str, raga: Raga, line: Swaras) -> Iterator[Spoiled]:
    """All ways to break a phrase of the raga at one inner place so that it is sure.

    By a note: a swara that is surely foreign, instead of its own or slipped into a run. By a run:
    a swara slipped in that a rising or falling run surely does not pass.
    """
    if sort == "note":
        for place in range(1, len(line) - 1):
            for letter in _other_forms(raga, line[place].letter):
                swara = Swara(SWARAS.index(letter), line[place].octave)
                yield from _sure(
                    sort, raga, (*line[:place], swara, *line[place + 1 :]), place, line
                )
        slipped = _foreign_between(raga)
        for place in range(1, len(line)):
            yield from _slipped(sort, raga, line, place, slipped)
        return
    up, down = never_passed(raga)
    for place in range(1, len(line)):
        rises = line[place - 1].steps < line[place].steps
        yield from _slipped(sort, raga, line, place, up if rises else down)


def can_be_spoiled(sort: str, raga: Raga) -> bool:
    """Whether there is anything of the sort that surely breaks it."""
    return bool(_foreign(raga)) if sort == "note" else any(never_passed(raga))


def _slipped(
    sort: str, raga: Raga, line: Swaras, place: int, letters: frozenset[str]
) -> Iterator[Spoiled]:
    low, high = sorted((line[place - 1].steps, line[place].steps))
    if high - low > WIDEST_STEPS:
        return
    for steps in range(low + 1, high):
        swara = Swara.at(steps)
        if swara.letter in letters:
            yield from _sure(sort, raga, (*line[:place], swara, *line[place:]), place, line)


def _sure(sort: str, raga: Raga, swaras: Swaras, place: int, mended: Swaras) -> Iterator[Spoiled]:
    """The phrase, where this swara and no other is what breaks it."""
    if any(swaras[place] == swaras[beside] for beside in (place - 1, place + 1)):
        return
    for broken in (surely_breaks(raga, swaras), break_of(raga, swaras)):
        if broken is None or (broken.by, broken.of) != (sort, place):
            return
    yield Spoiled(swaras, place, mended)


@cache
def _other_forms(raga: Raga, letter: str) -> tuple[str, ...]:
    """Forms of the same degree that are foreign to the raga in all teachings."""
    return tuple(each for each in _foreign(raga) if each.upper() == letter.upper())


@cache
def _foreign_between(raga: Raga) -> frozenset[str]:
    """Foreign letters of the degrees that the raga has in no form, as a near raga has them."""
    return frozenset(each for each in _foreign(raga) if each.upper() in raga.omitted)


@cache
def _foreign(raga: Raga) -> tuple[str, ...]:
    """Letters that it has in no teaching: those of near ragas, or all where these have none."""
    foreign = [letter for letter in SWARAS if letter not in raga.ever]
    known = ragas()
    near = beside(raga.id, known) or [one.raga for one in raga.near if one.raga in known]
    theirs = [letter for letter in foreign if any(letter in known[one].own for one in near)]
    degrees = {letter.upper() for letter in theirs}
    return tuple(theirs) if len(degrees) >= len(DEGREES) // 2 else tuple(foreign)


def how_it_goes(sort: str, spoiled: Spoiled, raga: Raga) -> str:
    """What the raga does instead, to stand after a colon: `Yaman has none and takes Ni there`."""
    place, swaras = spoiled.place, spoiled.swaras
    if not spoiled.slipped_in:
        its_own = letter_name(spoiled.mended[place].letter)
        return say("{raga} has none and takes {swara} there", raga=raga_name(raga), swara=its_own)
    before, wrong, after = (letter_name(each.letter) for each in swaras[place - 1 : place + 2])
    names = {"raga": raga_name(raga), "before": before, "after": after}
    if sort == "note":
        return say("{raga} has none and goes from {before} straight to {after}", **names)
    if swaras[place].steps < swaras[place + 1].steps:
        return say(
            "{raga} leaves {swara} out on the way up and goes from {before} straight to {after}",
            swara=wrong,
            **names,
        )
    return say(
        "{raga} leaves {swara} out on the way down and goes from {before} straight to {after}",
        swara=wrong,
        **names,
    )
