"""A pitch path as frequency and as phase: exact at any time, so that no bend breaks a phase.

Between two breakpoints the pitch runs straight in cents, that is exponentially in hertz, and its
integral is known in closed form. Nothing is summed up from sample to sample.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from audio.score import Breakpoint

Float64s = NDArray[np.float64]

_E_FOLDS_PER_CENT = math.log(2.0) / 1200.0


class PitchPath:
    """The pitch of one stroke. `sa_hz` is the frequency of 0 cents."""

    def __init__(self, path: Sequence[Breakpoint], *, sa_hz: float) -> None:
        times = np.array([time for time, _ in path])
        cents = np.array([value for _, value in path])
        self._times_s = times
        self._cents = cents
        self._start_hz = sa_hz * np.exp2(cents / 1200.0)
        steady = [0.0]  # after the last breakpoint
        self._e_folds_per_s = (
            np.concatenate([np.diff(cents) / np.diff(times), steady]) * _E_FOLDS_PER_CENT
        )
        lengths = np.append(np.diff(times), 0.0)
        ends = np.cumsum(self._integral(self._start_hz, self._e_folds_per_s, lengths))
        self._start_cycles = np.concatenate([[0.0], ends[:-1]])

    @property
    def lowest_hz(self) -> float:
        return float(self._start_hz.min())

    @property
    def highest_hz(self) -> float:
        return float(self._start_hz.max())

    @property
    def turns_s(self) -> Float64s:
        """When the pitch begins to move otherwise, in seconds after the onset."""
        return self._times_s[1:]

    def hz(self, times_s: Float64s) -> Float64s:
        """Frequency at each time, in seconds after the onset."""
        at, since_s = self._segment(times_s)
        return self._start_hz[at] * np.exp(self._e_folds_per_s[at] * since_s)

    def cycles(self, times_s: Float64s) -> Float64s:
        """Whole and broken vibrations from the onset until each time."""
        at, since_s = self._segment(times_s)
        return self._start_cycles[at] + self._integral(
            self._start_hz[at], self._e_folds_per_s[at], since_s
        )

    def motion(self, times_s: Float64s) -> tuple[Float64s, Float64s]:
        """`hz` and `cycles` at each time, in one go."""
        at, since_s = self._segment(times_s)
        start_hz, e = self._start_hz[at], self._e_folds_per_s[at]
        cycles = self._start_cycles[at] + self._integral(start_hz, e, since_s)
        return start_hz * np.exp(e * since_s), cycles

    def highest_hz_around(self, times_s: Float64s) -> Float64s:
        """The highest frequency between the neighbours of each time, themselves included.

        `times_s` rise; the first and the last count as their own neighbours.
        """
        here = self.hz(times_s)
        between = np.maximum(here[:-1], here[1:])
        if len(self._times_s) > 1:
            # A turn of the path between two times can lie higher than at either of them.
            after = times_s.searchsorted(self._times_s, side="right")
            inside = (after > 0) & (after < len(times_s))
            np.maximum.at(between, after[inside] - 1, self._start_hz[inside])
        earlier, later = np.append(here[0], between), np.append(between, here[-1])
        return np.asarray(np.maximum(earlier, later))

    def _segment(self, times_s: Float64s) -> tuple[NDArray[np.intp], Float64s]:
        at = self._times_s.searchsorted(times_s, side="right") - 1
        return at, times_s - self._times_s[at]

    @staticmethod
    def _integral(start_hz: Float64s, e_folds_per_s: Float64s, length_s: Float64s) -> Float64s:
        """∫ start_hz·exp(e·t) dt over each length; `expm1` keeps slow glides exact."""
        steady = e_folds_per_s == 0.0
        e = np.where(steady, 1.0, e_folds_per_s)
        return start_hz * np.where(steady, length_s, np.expm1(e * length_s) / e)
