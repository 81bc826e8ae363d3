"""A line of music as a score writer means it: beats of tones, each with what the left hand does.

Times are in matras, exact. `audio.sargam` reads and writes a line, `audio.playing` makes it sound.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from audio.tuning import Swara

HOLD, REST, CHIKARI, BAR = "-", ".", "c", "|"


@dataclass(frozen=True, slots=True)
class Tone:
    """A swara and how it is played."""

    swara: Swara
    by: str = ""
    """The join (`audio.ornaments.JOINS`) by which it is reached on the stroke before it, or ""
    where it has a stroke of its own."""
    touches: tuple[Swara, ...] = ()
    """Swaras touched before it, within its time: one is a kan, more are a murki."""
    sway: str = ""
    """"", "andolan" or "gamak"."""
    shaken: Swara | None = None
    """The swara with which it is hammered on and pulled off again and again: zamzama."""
    loud: int = 0
    """Its stroke is stronger (1), softer (-1) or as usual; 0 where it has no stroke of its own."""
    tone: int = 0
    """Its stroke is brighter, nearer to the bridge (1), rounder (-1) or as usual; so too."""

    @property
    def swaras(self) -> tuple[Swara, ...]:
        """All that are heard in it: what is touched, itself, and what it is shaken with."""
        return (*self.touches, self.swara, *(() if self.shaken is None else (self.shaken,)))


Part = Tone | str
"""A tone, HOLD, REST or CHIKARI."""


@dataclass(frozen=True, slots=True)
class Beat:
    """What sounds within one beat: its equal parts, and the matras that it takes in all."""

    parts: tuple[Part, ...]
    matras: Fraction = Fraction(1)


@dataclass(frozen=True, slots=True)
class Note:
    """One tone with its onset and length in matras."""

    tone: Tone
    onset: Fraction
    matras: Fraction

    @property
    def swara(self) -> Swara:
        return self.tone.swara

    @property
    def end(self) -> Fraction:
        return self.onset + self.matras


@dataclass(frozen=True)
class Line:
    """A line of sargam: beats, and BAR where a bar stands. Its times are reckoned once."""

    items: tuple[Beat | str, ...]

    @cached_property
    def matras(self) -> Fraction:
        *_, (_, onset, matras) = (("", Fraction(0), Fraction(0)), *self._parts)
        return onset + matras

    def notes(self) -> Iterator[Note]:
        """The notes with their holds joined to them, in order; a chikari lets the note ring on."""
        return iter(self._notes)

    @cached_property
    def _notes(self) -> tuple[Note, ...]:
        return tuple(self._joined())

    def _joined(self) -> Iterator[Note]:
        tone, begun, length = None, Fraction(0), Fraction(0)
        for part, onset, matras in self._parts:
            if part in (HOLD, CHIKARI):
                length += matras
                continue
            if tone is not None:
                yield Note(tone, begun, length)
            tone = part if isinstance(part, Tone) else None
            begun, length = onset, matras
        if tone is not None:
            yield Note(tone, begun, length)

    def chikari(self) -> tuple[Fraction, ...]:
        """When the chikari are struck."""
        return tuple(onset for part, onset, _ in self._parts if part == CHIKARI)

    @property
    def rests_at_its_end(self) -> bool:
        """Whether its last part is a rest, held or not."""
        parts = [part for part, _, _ in self._parts if part != HOLD]
        return parts[-1:] == [REST]

    @cached_property
    def _parts(self) -> tuple[tuple[Part, Fraction, Fraction], ...]:
        """Every part with its onset and length."""
        found, onset = [], Fraction(0)
        for beat in (item for item in self.items if isinstance(item, Beat)):
            count = len(beat.parts)
            matras = beat.matras if count == 1 else beat.matras / count
            for part in beat.parts:
                found.append((part, onset, matras))
                onset += matras
        return tuple(found)
