"""The gain at which a note of any pitch and brightness is equally loud.

The loudness of a note follows from its partials: K-weight the power of each, mean it over the
note's window, sum. So the gain is worked out, not measured, at knots over pitch and brightness
when first needed, and taken between them in straight lines in decibels. The note is always
reckoned as ringing for the whole window, so that a short note gets no louder.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from audio.format import SAMPLE_RATE
from audio.loudness import NOTE_LUFS, NOTE_WINDOW_S, k_power, mean_power
from audio.voices.noise import NOISE_LUFS
from audio.voices.tables import STEP_FRAMES, row_before, row_step
from audio.voices.timbre import Float32s, Floats, Timbre

_KNOTS_PER_OCTAVE = 24
_KNOTS_PER_BRIGHTNESS = 4
_REFERENCE_HZ = 440.0


@lru_cache(maxsize=1)
def _k_curve() -> Float32s:
    """K-weighting of power at every whole hertz."""
    return k_power(np.arange(24_000)).astype(np.float32)


@lru_cache(maxsize=1)
def _moments() -> tuple[Floats, Floats]:
    """Times of the tables in a note's window, and the spans between them, as shares of it."""
    steps = NOTE_WINDOW_S * SAMPLE_RATE / STEP_FRAMES
    rows = [row_step(row) for row in range(row_before(int(steps)) + 1)]
    at = np.append(rows, steps)
    return at * STEP_FRAMES / SAMPLE_RATE, np.diff(at) / steps


class Levels:
    """Gains of one timbre. Values once worked out are kept."""

    def __init__(self, timbre: Timbre) -> None:
        self._timbre = timbre
        self._knots: dict[tuple[int, int], float] = {}

    def gain(self, hz: Floats, brightness: float) -> Float32s:
        """Factor on the partials' amplitudes at each pitch, shape of `hz`."""
        at = _KNOTS_PER_OCTAVE * np.log2(np.asarray(hz) / _REFERENCE_HZ)
        below = np.floor(at).astype(int)
        first, last = int(below.min()), int(below.max()) + 1
        column = brightness * _KNOTS_PER_BRIGHTNESS
        left = int(np.floor(column))
        share = column - left
        curve_db = [
            self._knot_db(knot, left) * (1.0 - share)
            + (self._knot_db(knot, left + 1) * share if share else 0.0)
            for knot in range(first, last + 1)
        ]
        gain_db = np.interp(at, np.arange(first, last + 1), curve_db)
        return np.asarray(10.0 ** (gain_db / 20.0), np.float32)

    def work_out(self, lowest_hz: float, highest_hz: float) -> None:
        """Work out all gains between two pitches, for every brightness."""
        for column in range(-_KNOTS_PER_BRIGHTNESS, _KNOTS_PER_BRIGHTNESS + 1):
            self.gain(np.array([lowest_hz, highest_hz]), column / _KNOTS_PER_BRIGHTNESS)

    def _knot_db(self, pitch_knot: int, brightness_knot: int) -> float:
        key = (pitch_knot, brightness_knot)
        if key not in self._knots:
            hz = _REFERENCE_HZ * 2.0 ** (pitch_knot / _KNOTS_PER_OCTAVE)
            power = self.power(hz, brightness_knot / _KNOTS_PER_BRIGHTNESS)
            wanted = mean_power(NOTE_LUFS) - mean_power(NOISE_LUFS)
            self._knots[key] = float(10.0 * np.log10(wanted / power))
        return self._knots[key]

    def power(self, hz: float, brightness: float) -> float:
        """Mean K-weighted power over the window of a steady note at gain 1, noise left out."""
        age_s, span = _moments()
        partials = self._timbre.partials(hz)
        amplitudes = self._timbre.amplitudes(
            np.full(len(age_s), hz), age_s, partials=partials, brightness=brightness
        )
        weight = _k_curve()[(hz * np.arange(1, partials + 1)).astype(np.intp)]
        here, later = amplitudes[:-1], amplitudes[1:]
        # The mean of the square of a straight line from `here` to `later`.
        squares = (here * here + here * later + later * later) / 3.0
        return float(span @ (squares @ weight)) / 2.0
