"""How near taps come to the beats that were meant.

Beats are exact, in milliseconds, ascending; taps are milliseconds, ascending; at least one of each.
What comes out is in milliseconds as floats, below 0 where a tap is early.

F-measure: Dixon 2007, "Evaluation of the audio beat tracking system BeatRoot", a beat is met by a
tap within 70 ms, each by one at most. Cemgil's accuracy: Cemgil, Kappen, Desain and Honing 2001,
"On tempo tracking: tempogram representation and Kalman filtering", a bell of 40 ms around each
beat. Both as `mir_eval.beat` has them, without its doubled and halved tempos.
"""

from __future__ import annotations

import math
from bisect import bisect
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import fmean, stdev

WINDOW_MS = 70
SIGMA_MS = 40.0

Beats = Sequence[Fraction]
Taps = Sequence[int]


@dataclass(frozen=True, slots=True)
class Asynchrony:
    """Taps laid against beats: `offs_ms` is for each beat how late its tap was, None where it has
    none; `extra` is how many taps have no beat."""

    offs_ms: tuple[float | None, ...]
    extra: int

    @property
    def met_ms(self) -> tuple[float, ...]:
        """How late the tap was, for the beats that have one."""
        return tuple(off for off in self.offs_ms if off is not None)

    @property
    def mean_ms(self) -> float | None:
        """None where no beat was met."""
        return fmean(self.met_ms) if self.met_ms else None

    @property
    def sd_ms(self) -> float | None:
        """The standard deviation as estimated from a sample; None for fewer than two."""
        return stdev(self.met_ms) if len(self.met_ms) > 1 else None


def asynchrony(beats: Beats, taps: Taps, *, reach_ms: Fraction | int) -> Asynchrony:
    """Lay taps against beats, one to one.

    A tap is for the beat that is nearest, and no farther from it than `reach_ms`, such as half a
    matra. Of several taps for a beat the nearest counts.
    """
    nearest: dict[int, Fraction] = {}
    for tap in taps:
        number = _nearest(beats, tap)
        off = tap - beats[number]
        if abs(off) > reach_ms:
            continue
        if number not in nearest or abs(off) < abs(nearest[number]):
            nearest[number] = off
    offs = [nearest.get(number) for number in range(len(beats))]
    found = tuple(None if off is None else float(off) for off in offs)
    return Asynchrony(found, len(taps) - len(nearest))


def f_measure(beats: Beats, taps: Taps, *, window_ms: Fraction | int = WINDOW_MS) -> float:
    """From 0 to 1: 1 where every beat is met by one tap within the window, and no tap is over."""
    # On a line, with one window for all, to take the earliest tap that is left meets the most.
    met, at = 0, 0
    for beat in beats:
        while at < len(taps) and taps[at] < beat - window_ms:
            at += 1
        if at < len(taps) and taps[at] <= beat + window_ms:
            met, at = met + 1, at + 1
    return 2 * met / (len(beats) + len(taps))


def cemgil(beats: Beats, taps: Taps, *, sigma_ms: float = SIGMA_MS) -> float:
    """From 0 up: for each beat a bell of the distance to the tap nearest to it, over the mean of
    how many beats and how many taps there are. 1 where all coincide."""
    offs = [float(taps[_nearest(taps, beat)] - beat) for beat in beats]
    bells = (math.exp(-(off**2) / (2 * sigma_ms**2)) for off in offs)
    return 2 * sum(bells) / (len(beats) + len(taps))


def _nearest(things: Sequence[Fraction] | Sequence[int], to: Fraction | int) -> int:
    """The place of the nearest, the earlier of two equally near."""
    after = bisect(things, to)
    near = range(max(0, after - 1), min(len(things), after + 1))
    return min(near, key=lambda number: abs(Fraction(things[number] - to)))
