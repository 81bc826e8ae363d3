"""What is heard of a line of sargam, place by place: one place a swara.

However it is written, what sounds the same has the same places: `S - R` and `S:2 R` are one line.
Times are in matras, exact.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from audio.line import Line, Tone
from audio.ornaments import GHASEETS, MEENDS
from audio.tuning import Swara

SWARA, SAPTAK, LENGTH, ORNAMENT = "swara", "saptak", "length", "ornament"
PARTS = (SWARA, LENGTH, ORNAMENT)
"""What can count in a line that is written; a saptak goes with its swara."""

Hand = tuple[str, tuple[Swara, ...], str, Swara | None]
"""How a swara is come to, what is touched before it, how it swings, and with what it is shaken."""

_PLAIN: Hand = ("", (), "", None)


@dataclass(frozen=True, slots=True)
class Place:
    """One swara of a line, and how it stands in time."""

    tone: Tone
    before: Fraction
    """Silence before it, of the first one."""
    held: Fraction
    """How long it sounds."""
    span: Fraction
    """From its beginning to that of the next, or to the end of the line."""
    chikari: tuple[Fraction, ...]
    """When the chikari are struck in its span, after its beginning."""
    is_last: bool
    """How long the last one rings cannot be told from how long it is written."""

    @property
    def swara(self) -> Swara:
        return self.tone.swara

    @property
    def time(self) -> tuple[object, ...]:
        """All that is heard of its time."""
        return self.before, self.chikari, self.held, self.span

    @property
    def time_of_last(self) -> tuple[object, ...]:
        """What is heard of it where nothing comes after it."""
        return self.before, self.chikari

    @property
    def hand(self) -> Hand:
        """What the left hand does. Which way it goes, the swaras tell already."""
        by = self.tone.by
        way = "meend" if by in MEENDS else "ghaseet" if by in GHASEETS else "fingers" if by else ""
        return way, self.tone.touches, self.tone.sway, self.tone.shaken

    @property
    def is_plain(self) -> bool:
        """Whether the left hand does nothing but press the string down."""
        return self.hand == _PLAIN


def places_of(line: Line) -> tuple[Place, ...]:
    """The places of a line, in order; it has none where it only rests."""
    notes = list(line.notes())
    if not notes:
        return ()
    ends = [*(note.onset for note in notes[1:]), line.matras]
    begins = [Fraction(0), *ends[:-1]]
    struck = line.chikari()
    return tuple(
        Place(
            tone=note.tone,
            before=Fraction(0) if number else note.onset,
            held=note.matras,
            span=end - note.onset,
            chikari=tuple(each - note.onset for each in struck if begin <= each < end),
            is_last=number == len(notes) - 1,
        )
        for number, (note, begin, end) in enumerate(zip(notes, begins, ends, strict=True))
    )


def differences(right: Place, given: Place, counts: tuple[str, ...] = PARTS) -> tuple[str, ...]:
    """In what the place that was given differs from the right one, of what counts: words of
    `PARTS`, or "saptak" where it is the same swara in another one."""
    found = []
    if right.swara.letter != given.swara.letter:
        found.append(SWARA)
    elif right.swara.octave != given.swara.octave:
        found.append(SAPTAK)
    if LENGTH in counts and not _lasts_alike(right, given):
        found.append(LENGTH)
    if ORNAMENT in counts and right.hand != given.hand:
        found.append(ORNAMENT)
    return tuple(found)


def _lasts_alike(right: Place, given: Place) -> bool:
    if right.is_last:
        return right.time_of_last == given.time_of_last
    return right.time == given.time
