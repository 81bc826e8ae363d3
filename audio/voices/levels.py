"""The gain and the tilt at which notes of every pitch are equally loud and equally bright.

Neither loudness nor brightness may tell one pitch from another. Both follow from a note's
partials: the power of each, as a mean over the note's window. The spectrum is tilted about 1 kHz
until the centroid of that power stands at a frequency of its own choice, whatever the pitch; then
it is K-weighted, summed and brought to the level of all. So gain and tilt are worked out, not
measured, at knots over pitch and brightness when first needed, and taken between them in straight
lines. The note is always reckoned as ringing for the whole window, so that a short note gets no
louder.
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

CENTROID_HZ = 2000.0
"""Power centroid of every note over its window, for brightness 0 (assumption: near what the
untilted voice has in the middle of its range)."""
CENTROID_OCTAVES_PER_BRIGHTNESS = 0.5
_TILT_FROM_HZ = 1000.0
_STEEPEST_TILT = 3.0


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
    """Gains and tilts of one timbre. Values once worked out are kept.

    Without a `centroid_hz` the spectrum is left as it is. `noise_lufs` is the loudness of the
    noise that comes with each stroke. `lazy` leaves all work until a note asks for it.
    """

    def __init__(
        self,
        timbre: Timbre,
        *,
        centroid_hz: float | None = CENTROID_HZ,
        noise_lufs: float = NOISE_LUFS,
        lazy: bool = False,
    ) -> None:
        self._timbre = timbre
        self._centroid_hz = centroid_hz
        self._tone_power = mean_power(NOTE_LUFS) - mean_power(noise_lufs)
        self._lazy = lazy
        self._knots: dict[tuple[int, int], tuple[float, float]] = {}

    def factors(self, hz: Floats, brightness: float, partials: int) -> Float32s:
        """Factors on the amplitudes of partials 1 to `partials` at each pitch.

        `hz` has shape (rows,), the result (rows, partials).
        """
        gain_db, tilt = self._at(np.asarray(hz), brightness)
        # In natural logarithms, so that one exp makes gain and tilt.
        log_gain = gain_db * (np.log(10.0) / 20.0) + tilt * np.log(hz / _TILT_FROM_HZ)
        factors = np.multiply.outer(tilt.astype(np.float32), _log_numbers(partials))
        factors += log_gain.astype(np.float32)[:, None]
        return np.exp(factors, out=factors)

    def _at(self, hz: Floats, brightness: float) -> tuple[Floats, Floats]:
        """Gain in decibels and tilt at each pitch, shape of `hz`."""
        at = _KNOTS_PER_OCTAVE * np.log2(hz / _REFERENCE_HZ)
        below = np.floor(at).astype(int)
        first, last = int(below.min()), int(below.max()) + 1
        column = brightness * _KNOTS_PER_BRIGHTNESS
        left = int(np.floor(column))
        share = column - left
        curve = np.array([self._knot(knot, left) for knot in range(first, last + 1)])
        if share:
            right = np.array([self._knot(knot, left + 1) for knot in range(first, last + 1)])
            curve += (right - curve) * share
        knots = np.arange(first, last + 1)
        return np.interp(at, knots, curve[:, 0]), np.interp(at, knots, curve[:, 1])

    def work_out(self, lowest_hz: float, highest_hz: float) -> None:
        """Work out all knots between two pitches, for every brightness, unless lazy."""
        if self._lazy:
            return
        for column in range(-_KNOTS_PER_BRIGHTNESS, _KNOTS_PER_BRIGHTNESS + 1):
            self._at(np.array([lowest_hz, highest_hz]), column / _KNOTS_PER_BRIGHTNESS)

    def _knot(self, pitch_knot: int, brightness_knot: int) -> tuple[float, float]:
        key = (pitch_knot, brightness_knot)
        if key not in self._knots:
            hz = _REFERENCE_HZ * 2.0 ** (pitch_knot / _KNOTS_PER_OCTAVE)
            brightness = brightness_knot / _KNOTS_PER_BRIGHTNESS
            partials_hz, power = self._mean_power(hz, brightness)
            tilt = 0.0
            if self._centroid_hz is not None:
                octaves = brightness * CENTROID_OCTAVES_PER_BRIGHTNESS
                tilt = _tilt_to(self._centroid_hz * 2.0**octaves, partials_hz, power)
            tilted = power * (partials_hz / _TILT_FROM_HZ) ** (2.0 * tilt)
            loudness = float(tilted @ _k_curve()[partials_hz.astype(np.intp)])
            self._knots[key] = float(10.0 * np.log10(self._tone_power / loudness)), tilt
        return self._knots[key]

    def _mean_power(self, hz: float, brightness: float) -> tuple[Floats, Floats]:
        """Frequencies and mean powers over the window of a steady note's untilted partials."""
        age_s, span = _moments()
        partials = self._timbre.partials(hz)
        amplitudes = self._timbre.amplitudes(
            np.full(len(age_s), hz), age_s, partials=partials, brightness=brightness
        )
        here, later = amplitudes[:-1], amplitudes[1:]
        # The mean of the square of a straight line from `here` to `later`; half of it is power.
        squares = (here * here + here * later + later * later) / 6.0
        return hz * np.arange(1, partials + 1), span @ squares


@lru_cache(maxsize=8)
def _log_numbers(partials: int) -> Float32s:
    return np.log(np.arange(1, partials + 1)).astype(np.float32)


def _tilt_to(centroid_hz: float, partials_hz: Floats, power: Floats) -> float:
    """The exponent of frequency that brings the centroid of `power` to `centroid_hz`, by halving.

    A note whose lowest partial lies above it gets the steepest tilt there is.
    """
    log_hz, log_power = np.log(partials_hz), np.log(np.maximum(power, 1e-30))
    low, high = -_STEEPEST_TILT, _STEEPEST_TILT
    for _ in range(24):
        tilt = 0.5 * (low + high)
        weight = np.exp(log_power + 2.0 * tilt * log_hz - 2.0 * tilt * np.log(centroid_hz))
        if weight @ partials_hz < centroid_hz * weight.sum():
            low = tilt
        else:
            high = tilt
    return 0.5 * (low + high)
