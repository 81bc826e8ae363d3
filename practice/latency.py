"""The tap test: how late a device is from sound to touch.

The student taps along with a steady stroke; the middle of how far the taps are from the beats is
what the device adds: the way of sound through a loudspeaker, of touch through the screen, and a
habit of the hand. For people tap a little ahead of a steady beat, by a few tens of milliseconds,
trained musicians by less (the "negative mean asynchrony"; Repp 2005, "Sensorimotor
synchronization: a review of the tapping literature", Psychonomic Bulletin & Review 12, 969-992).
What is measured holds this habit as well, so that what is taken out of later taps makes them meet
the beat where this student, with this device, feels that they meet it.

Beats are a second apart, longer than the range of what `practice.settings` takes is wide. So each
offset in it, from a tap 100 ms ahead to one 800 ms late through a wireless loudspeaker, has one
meaning, and which beat a tap was for need not be guessed from the first one. What lies in the rest
of the second could be either too early or too late and is refused. Taps between the beats on
purpose cannot be told from a device that is half a second late.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import median

from audio.score import Score, TablaStroke
from practice.errors import TapTestError
from practice.settings import LEAST_LATENCY_MS, MOST_LATENCY_MS
from words import say

BEATS_PER_MIN = Fraction(60)
COUNTED_IN = 4
COUNTED = 16
LEAD_MS = Fraction(500)
"""Before the first stroke."""
COUNT_IN_BOL, BOL = "na", "dha"
"""Both begin with the sharp stroke on the rim of the dayan; dha has the bayan besides."""

FEWEST = 10
"""Of the beats counted, so many are to be met."""
MOST_SPREAD_MS = 80.0
"""Median absolute deviation. Hands without training spread by some 4 to 8 % of the time between
two beats (from memory), 40 to 80 ms as a standard deviation, of which this is about two thirds;
taps anywhere in the second by some 250 ms."""
MET_MS = 200.0
"""A beat is met by a tap so near the middle of all."""

_BEAT_MS = 60_000 / BEATS_PER_MIN
_SPARE_MS = (float(_BEAT_MS) - (MOST_LATENCY_MS - LEAST_LATENCY_MS)) / 2
"""On each side of the range, what is refused of one second."""


@dataclass(frozen=True, slots=True)
class Latency:
    """What a tap test measured: by how many milliseconds taps come after the beat, below 0 ahead of
    it; their spread (median absolute deviation); and how many beats were met."""

    offset_ms: float
    spread_ms: float
    counted: int

    @property
    def in_words(self) -> str:
        """`Your taps come 212 ms after the beat, give or take 14 ms (16 of 16 beats).`"""
        told = {
            "off": f"{abs(self.offset_ms):.0f}",
            "spread": f"{self.spread_ms:.0f}",
            "met": self.counted,
            "beats": COUNTED,
        }
        if self.offset_ms >= 0:
            return say(
                "Your taps come {off} ms after the beat, give or take {spread} ms ({met} of "
                "{beats} beats).",
                **told,
            )
        return say(
            "Your taps come {off} ms before the beat, give or take {spread} ms ({met} of "
            "{beats} beats).",
            **told,
        )


def all_beats_ms() -> tuple[Fraction, ...]:
    """When each stroke sounds, those that count in too, in ms of the score, its lead counted."""
    return tuple(LEAD_MS + number * _BEAT_MS for number in range(COUNTED_IN + COUNTED))


def beats_ms() -> tuple[Fraction, ...]:
    """When each beat sounds that is to be tapped, in ms of the score, its lead counted."""
    return all_beats_ms()[COUNTED_IN:]


def tap_test_score(sa_hz: float) -> Score:
    """A steady stroke without a drone: four counted in, then those to tap with."""
    return Score(
        sa_hz,
        (),
        lead_s=float(LEAD_MS / 1000),
        tabla=tuple(
            TablaStroke(float((at - LEAD_MS) / 1000), COUNT_IN_BOL if number < COUNTED_IN else BOL)
            for number, at in enumerate(all_beats_ms())
        ),
    )


def measured(taps_ms: Sequence[float]) -> Latency:
    """What taps measure, in milliseconds of the score, no latency taken out of them.

    Raises TapTestError where they are too few, too many, too uneven, or so far from the beats that
    the setting cannot hold it.
    """
    beats = [float(beat) for beat in beats_ms()]
    beat_ms, half = float(_BEAT_MS), float(_BEAT_MS) / 2
    earliest, latest = LEAST_LATENCY_MS - _SPARE_MS, MOST_LATENCY_MS + _SPARE_MS
    taps = sorted(tap for tap in taps_ms if beats[0] + earliest <= tap < beats[-1] + latest)
    if len(taps) < FEWEST:
        raise TapTestError(_too_few(len(taps)))
    if len(taps) > COUNTED + FEWEST // 2:
        raise TapTestError(
            say(
                "There were {taps} taps on {beats} beats. Start again and tap once on each stroke.",
                taps=len(taps),
                beats=COUNTED,
            )
        )
    about = _about_ms(taps)
    offs = [(tap - beats[0] - about + half) % beat_ms - half + about for tap in taps]
    offset = round(median(offs), 1)
    spread = median(abs(off - offset) for off in offs)
    met = sum(any(abs(tap - beat - offset) <= MET_MS for tap in taps) for beat in beats)
    if spread > MOST_SPREAD_MS:
        raise TapTestError(
            say(
                "The taps lie {spread} ms to either side of their middle, too far apart to "
                "measure by. Listen to the four strokes first, then start again and tap with each "
                "stroke, with one finger.",
                spread=f"{spread:.0f}",
            )
        )
    if met < FEWEST:
        raise TapTestError(_too_few(met))
    if not LEAST_LATENCY_MS <= offset <= MOST_LATENCY_MS:
        raise TapTestError(
            say(
                "The taps come more than {early} ms before the beat, or more than {late} ms after "
                "it; which of the two cannot be told. Start again and tap with the strokes; if the "
                "loudspeaker is wireless, use one with a wire.",
                early=f"{-LEAST_LATENCY_MS:.0f}",
                late=f"{MOST_LATENCY_MS:.0f}",
            )
        )
    return Latency(offset, spread, met)


def _too_few(met: int) -> str:
    return say(
        "Taps came on {met} of {beats} beats; at least {fewest} are needed. Start again and tap "
        "on every stroke after the first four, to the end.",
        met=met,
        beats=COUNTED,
        fewest=FEWEST,
    )


def _about_ms(taps: Sequence[float]) -> float:
    """Where in the second the taps mostly lie, as the mean of directions on a circle; from there
    each has its beat, also where some lie beyond the edge of the range."""
    turn = 2 * math.pi / float(_BEAT_MS)
    angles = [(tap - float(LEAD_MS)) * turn for tap in taps]
    mean = math.atan2(sum(map(math.sin, angles)), sum(map(math.cos, angles))) / turn
    earliest = LEAST_LATENCY_MS - _SPARE_MS
    return (mean - earliest) % float(_BEAT_MS) + earliest
