"""A line that a student made, as the raga hears it: its phrases, parted by silences."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, reduce

from audio.line import Line, Note
from audio.tuning import Swara
from quizzes.names import in_letters, listed, ordinal
from quizzes.ragas.words import letter_name
from words import say

FEWEST_IN_PHRASE = 3
"""A run takes so many swaras; who rests after every one or two still runs."""


@dataclass(frozen=True)
class Heard:
    """The notes of a line, and its phrases as ranges of their places: no run leads from one to the
    next. A silence ends a phrase where swaras enough for one stand on both sides of it, and those
    next to it are not parted by silence, too; elsewhere it is a breath within the phrase."""

    line: Line

    @cached_property
    def notes(self) -> tuple[Note, ...]:
        return tuple(self.line.notes())

    @cached_property
    def swaras(self) -> tuple[Swara, ...]:
        return tuple(note.swara for note in self.notes)

    @cached_property
    def phrases(self) -> tuple[range, ...]:
        places, edges = range(1, len(self.notes)), [0]
        silent = {at for at in places if self.notes[at - 1].end < self.notes[at].onset}
        for place in sorted(silent):
            both = min(place - edges[-1], len(self.notes) - place)
            if both >= FEWEST_IN_PHRASE and silent.isdisjoint((place - 1, place + 1)):
                edges.append(place)
        ends = (*edges[1:], len(self.notes))
        return tuple(map(range, edges, ends)) if self.notes else ()

    def once(self, places: range) -> list[int]:
        """Of these places those of swaras that do not only strike the one before again."""
        return [
            place
            for place in places
            if place == places.start or self.swaras[place] != self.swaras[place - 1]
        ]

    def within(self, places: range) -> tuple[Swara, ...]:
        return self.swaras[places.start : places.stop]


def moved(swaras: Sequence[Swara]) -> list[Swara]:
    """Without those that only strike the one before again."""
    return [each for place, each in enumerate(swaras) if not place or each != swaras[place - 1]]


def at_place(place: int) -> str:
    """`the third swara`."""
    return say("the {which} swara", which=ordinal(place))


def at_places(places: Sequence[int]) -> str:
    """`the third swara`, `the first, second and sixth swaras`."""
    if len(places) == 1:
        return at_place(places[0])
    return say("the {which} swaras", which=listed([ordinal(place) for place in places]))


SPOKEN = 4
"""Swaras that are named in a sentence; more are written as sargam."""


def spoken(swaras: Sequence[Swara]) -> str:
    """`Ga to Re to Sa`, in whichever saptak; a longer row in letters."""
    if len(swaras) > SPOKEN:
        return in_letters(swaras)
    return reduce(_to, [letter_name(swara.letter) for swara in swaras])


def _to(before: str, after: str) -> str:
    return say("{before} to {after}", before=before, after=after)
