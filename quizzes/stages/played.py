"""What a passage is before it sounds: its line, its tempo, its tala and how each note is struck."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from audio.line import BAR, Beat, Line, Part
from audio.ornaments import Hand
from quizzes.ragas.sounding import hand_of
from quizzes.stages.saptaks import astray
from quizzes.stages.stage import Heard
from quizzes.talas import Tala

IN, OUT = "in", "out"
"""The ways of the mizrab on the playing string: da and ra."""

SLOW_NOTE_S, MIDDLE_NOTE_S = 0.8, 0.35
"""From so long a note on the left hand draws it as in a grave raga, and as in a middling one."""


NARROWEST = 0.05
"""The breadth at least by which it is told how far something lies outside a range."""


@dataclass(frozen=True, slots=True)
class Played:
    """A line of sargam at a tempo; without a pulse its matras are seconds, at 60 a minute.

    `ways` says how the mizrab strikes at each onset in matras, inward where nothing is said.
    `from_matra` is the matra of the tala, from 1, on which the line begins, and `theka_matras` for
    how long the tabla plays, as long as the line unless given.
    """

    line: Line
    matras_per_min: float
    hand: Hand
    ways: Mapping[Fraction, str] = field(default_factory=dict)
    tala: Tala | None = None
    from_matra: int = 1
    theka_matras: Fraction | None = None

    @property
    def lasts_s(self) -> float:
        """From the first onset to the end of the line."""
        return float(self.line.matras) * 60.0 / self.matras_per_min

    def off(self, heard: Heard) -> float:
        """How far its strokes, chikari and ornaments lie outside what is described, in breadths of
        each range, and it itself from the register; 0 where it is all that is described."""
        tones = [note.tone for note in self.line.notes()]
        strokes = sum(not tone.by for tone in tones)
        blows = strokes + len(self.line.chikari())
        bent = sum(bool(each.by or each.touches or each.sway or each.shaken) for each in tones)
        lost = 0.0 if heard.run else astray(self.line, heard.register, round_again=heard.tabla)
        return lost + sum(
            max(low - value, value - high, 0.0) / max(high - low, NARROWEST)
            for value, (low, high) in (
                (strokes / self.lasts_s, heard.strokes),
                (1 - strokes / blows, heard.chikari),
                (bent / len(tones), heard.ornaments),
            )
        )

    @property
    def sams(self) -> tuple[Fraction, ...]:
        """Where sam falls, in matras from the beginning of the line."""
        if self.tala is None:
            return ()
        cycle = self.tala.matras
        first = (1 - self.from_matra) % cycle
        ends = self.line.matras if self.theka_matras is None else self.theka_matras
        count = max(0, -((first - ends) // cycle))
        return tuple(Fraction(first + cycle * number) for number in range(int(count)))


def hand_for(note_s: float) -> Hand:
    """The left hand where a note lasts so long, by and large."""
    if note_s >= SLOW_NOTE_S:
        return hand_of("grave")
    return hand_of("medium" if note_s >= MIDDLE_NOTE_S else "fast")


def laid_out(parts: Sequence[Part], per_matra: int, *, bars: Sequence[int] = ()) -> Line:
    """Equal parts as a line, so many to a matra, with bars before some of its matras from 0."""
    items: list[Beat | str] = []
    for matra, start in enumerate(range(0, len(parts), per_matra)):
        if matra and matra in bars:
            items.append(BAR)
        beat = tuple(parts[start : start + per_matra])
        items.append(Beat(beat, Fraction(len(beat), per_matra)))
    return Line(tuple(items))


def bars_of(tala: Tala | None, from_matra: int, matras: int) -> tuple[int, ...]:
    """Before which matras of a line, from 0, a bar stands: where a vibhag of the tala begins."""
    if tala is None:
        return ()
    begins, at = set(), 1
    for vibhag in tala.vibhags:
        begins.add(at)
        at += vibhag
    return tuple(
        matra for matra in range(matras) if (from_matra - 1 + matra) % tala.matras + 1 in begins
    )


def alternating(cells: int, per_matra: int) -> dict[Fraction, str]:
    """da on each matra and ra between: the ways of a line in equal parts."""
    return {Fraction(cell, per_matra): OUT if cell % per_matra % 2 else IN for cell in range(cells)}
