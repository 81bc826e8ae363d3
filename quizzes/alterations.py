"""What can be altered about one note of a phrase, by how much, and in which words.

An amount is signed, in the unit of its dimension: cents, dB, ms (later is positive) or, for tone,
per cent of brightness, that is of the centre of the note's spectrum. Twelve per cent brighter is
a centre at 1.12 times its place, twelve per cent duller one at its place over 1.12. Voices keep
loudness and brightness apart, so that one dimension can be altered and no other.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from audio.score import Stroke
from audio.voices.levels import CENTROID_OCTAVES_PER_BRIGHTNESS
from words import say, to_say


@dataclass(frozen=True, slots=True)
class Range:
    """The sizes that are asked; `clear` is one that is plainly heard."""

    finest: float
    typical: float
    clear: float
    coarsest: float


@dataclass(frozen=True, slots=True)
class Dimension:
    """One thing about a note that can be altered; its texts are to be said."""

    name: str
    title: str
    unit: str
    about: str
    """What may have happened to the note, for a choice."""
    less: str
    more: str
    """What the note is after a change downward or upward, of a `number` of its unit."""
    change: Range
    """Of one change against none."""
    pedestal: float
    """The smaller of two changes that are set against each other."""
    further: Range
    """By how much the greater of these is greater."""

    def describe(self, amount: float) -> str:
        """`18 cents higher`, `4 dB softer`, `60 ms early`."""
        size = abs(amount)
        number = f"{size:.0f}" if size >= 10 else f"{size:.2g}"
        return say(self.more if amount > 0 else self.less, number=number)


DIMENSIONS = {
    dimension.name: dimension
    for dimension in (
        Dimension(
            "pitch", to_say("Pitch"), to_say("cents"), to_say("one note was higher or lower"),
            to_say("{number} cents lower"), to_say("{number} cents higher"),
            Range(4.0, 35.0, 60.0, 80.0), 30.0, Range(5.0, 25.0, 45.0, 60.0),
        ),
        Dimension(
            "loudness", to_say("Loudness"), to_say("dB"), to_say("one note was louder or softer"),
            to_say("{number} dB softer"), to_say("{number} dB louder"),
            Range(0.5, 3.0, 6.0, 8.0), 3.0, Range(0.7, 2.5, 4.0, 5.0),
        ),
        Dimension(
            "timing", to_say("Timing"), to_say("ms"), to_say("one note was early or late"),
            to_say("{number} ms early"), to_say("{number} ms late"),
            Range(10.0, 60.0, 130.0, 180.0), 60.0, Range(15.0, 60.0, 100.0, 120.0),
        ),
        Dimension(
            "tone", to_say("Tone"), to_say("% brightness"),
            to_say("one note was brighter or duller"),
            to_say("{number}% duller"), to_say("{number}% brighter"),
            Range(2.0, 18.0, 35.0, 40.0), 12.0, Range(3.0, 14.0, 25.0, 28.0),
        ),
    )
}  # fmt: skip
"""By name, in the order in which they are met.

Finest is about what practised ears can do at all: 10 cents for plucked strings (Hill & Summers
2007), 0.5 to 1 dB (Open University, "Hearing", 10.3), 2.5 % of the time between two notes for one
note of an even row (Friberg & Sundberg 1995), here some 15 ms; of a spectral centre a few per
cent (from memory). What is typical is three to four times that, since the note is not known
beforehand, stands in a phrase, and is to be plain at the first meeting (assumption). Coarsest in
pitch is less than a semitone, lest the note become another swara; in timing less than half of the
shortest note.
"""


def altered(strokes: Sequence[Stroke], at: int, dimension: str, amount: float) -> list[Stroke]:
    """The strokes with one of them altered; the whole lasts as long as before.

    The first stroke cannot be early or late, since nothing comes before it: ValueError.
    """
    new, stroke = list(strokes), strokes[at]
    if dimension == "pitch":
        path = tuple((time_s, cents + amount) for time_s, cents in stroke.path)
        new[at] = replace(stroke, path=path)
    elif dimension == "loudness":
        new[at] = replace(stroke, level_db=stroke.level_db + amount)
    elif dimension == "tone":
        brightness = stroke.brightness + brightness_of(amount)
        new[at] = replace(stroke, brightness=round(brightness, 4))
    elif dimension == "timing" and at > 0:
        shift_s = amount / 1000.0
        before = strokes[at - 1]
        new[at - 1] = replace(before, duration_s=before.duration_s + shift_s)
        new[at] = replace(
            stroke, onset_s=stroke.onset_s + shift_s, duration_s=stroke.duration_s - shift_s
        )
    else:
        raise ValueError(f"note {at} cannot be altered in {dimension!r}")
    return new


def brightness_of(percent: float) -> float:
    """The change of `Stroke.brightness` that moves the spectral centre by so many per cent."""
    octaves = math.log2(1.0 + abs(percent) / 100.0)
    return math.copysign(octaves / CENTROID_OCTAVES_PER_BRIGHTNESS, percent)
