"""How the swaras of a phrase are set in time: whole matras, and matras divided evenly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from audio.line import HOLD, Beat, Line, Part, Tone
from quizzes.fresh import Fresh

TONE = "S"


@dataclass(frozen=True, slots=True)
class Cell:
    """One or two matras: for each its parts, TONE or HOLD."""

    beats: tuple[str, ...]
    likely: float

    @property
    def swaras(self) -> int:
        return sum(beat.count(TONE) for beat in self.beats)


CELLS = (
    Cell(("S",), 1.0),
    Cell(("S", "-"), 1.2),
    Cell(("SS",), 1.2),
    Cell(("S", "-S"), 1.0),
    Cell(("SSS",), 0.7),
    Cell(("S-S",), 0.5),
)
"""In the order in which they are met: one matra, two, two halves, a dotted one, three thirds, and
one matra of two thirds and a third (common practice in paltas)."""
MOST_MATRAS = 11
"""A phrase takes no more, so that it can be kept in mind."""
TRIES = 60


def even(tones: Sequence[Tone]) -> Line:
    """One matra a swara."""
    return Line(tuple(Beat((tone,)) for tone in tones))


def in_time(fresh: Fresh, tones: Sequence[Tone], ways: int) -> Line:
    """The swaras in time by so many of the cells, not all a matra long. What the hand does has a
    whole matra; the last swara, whose length cannot be heard, begins one."""
    for _ in range(TRIES):
        cells = _filled(fresh, CELLS[:ways], len(tones) - 1)
        line = _set(tones, (*cells, CELLS[0]))
        if line.matras <= MOST_MATRAS and set(cells) != {CELLS[0]} and _has_time(line):
            return line
    return _set(tones, (CELLS[1], *[CELLS[0]] * (len(tones) - 1)))


def _has_time(line: Line) -> bool:
    """Whether every swara with an ornament, and that from which it is joined, has a whole matra."""
    notes = list(line.notes())
    ornamented = {at for at, note in enumerate(notes) if note.tone != Tone(note.swara)}
    joined = {at - 1 for at in ornamented if notes[at].tone.by}
    return all(notes[at].matras >= 1 for at in ornamented | joined)


def _filled(fresh: Fresh, usable: Sequence[Cell], count: int) -> list[Cell]:
    """Cells that take so many swaras."""
    cells: list[Cell] = []
    while left := count - sum(cell.swaras for cell in cells):
        fitting = [cell for cell in usable if cell.swaras <= left]
        (cell,) = fresh.weighted(fitting, [cell.likely for cell in fitting], 1)
        cells.append(cell)
    return cells


def _set(tones: Sequence[Tone], cells: Sequence[Cell]) -> Line:
    rest = iter(tones)
    beats = []
    for cell in cells:
        for signs in cell.beats:
            parts: list[Part] = [next(rest) if sign == TONE else HOLD for sign in signs]
            beats.append(Beat(tuple(parts), Fraction(1)))
    return Line(tuple(beats))
