"""Phrases of which one thing alone is to vary, each with one way of doing so."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction

from audio.line import Beat, Line, Note
from audio.sargam import write
from quizzes.contours import fresh_contour
from quizzes.fresh import Fresh
from quizzes.making.keeping import LEAST_VARIED
from quizzes.making.of_ragas import COUNTS, Wished
from quizzes.making.wish import wish_of
from quizzes.ragas.growing import grow
from quizzes.ragas.raga import Raga
from quizzes.ragas.resting import resting_line

CONTOURS = (4, 5)
"""Swaras of a phrase where no raga is begun."""


def varying(fresh: Fresh, treatment: str, raga: Raga | None) -> Wished:
    """A phrase, of a raga where one is given, of which nothing but this treatment is to vary."""
    if raga is None:
        swaras = fresh_contour(fresh, fresh.one_of(CONTOURS))
    else:
        swaras = grow(fresh, raga, fewest=COUNTS[0], most=COUNTS[-1])
    given = resting_line(swaras)
    notes = list(given.notes())
    # How long the last one rings cannot be heard.
    able = range(len(notes) - (treatment == "timing"))
    places = fresh.shuffled(able)[: fresh.one_of((LEAST_VARIED, LEAST_VARIED + 1))]
    change = _CHANGES[treatment]
    example = Line(
        tuple(
            change(note, places.index(at)) if at in places else Beat((note.tone,), note.matras)
            for at, note in enumerate(notes)
        )
    )
    return Wished(wish_of(write(given), swaras="same", only=treatment), example, given)


def _timing(note: Note, turn: int) -> Beat:
    """Longer, then shorter, and so on."""
    return Beat((note.tone,), note.matras * (Fraction(1, 2) if turn % 2 else 2))


def _loudness(note: Note, turn: int) -> Beat:
    return Beat((replace(note.tone, loud=-1 if turn % 2 else 1),), note.matras)


def _tone(note: Note, turn: int) -> Beat:
    return Beat((replace(note.tone, tone=-1 if turn % 2 else 1),), note.matras)


_CHANGES: Mapping[str, Callable[[Note, int], Beat]] = {
    "timing": _timing,
    "loudness": _loudness,
    "tone": _tone,
}
TREATMENTS = tuple(_CHANGES)
"""What is asked for, in the order in which it is usually met."""
