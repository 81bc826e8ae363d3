"""What makes notes of every pitch equally loud, equally bright, and equally quick to die away.

Neither loudness nor brightness nor decay may tell one pitch from another. All follow from a note's
partials. Their spectrum is tilted, and curved, about 1 kHz until two centroids stand at
frequencies of their own choice, whatever the pitch: that of power, which is ruled by the few
strongest partials, and that of amplitude, to which the many weak ones and the noise of the mizrab
add more. A fade brings what is heard after the note's window to a set level under what is heard in
it. Then the spectrum is K-weighted, summed and brought to the level of all. So all four numbers are
worked out, not measured, at knots over pitch and brightness when first needed, and taken between
them in straight lines. The note is always reckoned as ringing for the whole window, so that a short
note gets no louder.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from audio.format import SAMPLE_RATE
from audio.loudness import NOTE_LUFS, NOTE_WINDOW_S, k_power, mean_power
from audio.voices.noise import NOISE_LUFS, noise_amplitude
from audio.voices.tables import STEP_FRAMES, row_before, row_step
from audio.voices.timbre import Float32s, Floats, Timbre

_KNOTS_PER_OCTAVE = 16
_KNOTS_PER_BRIGHTNESS = 4
_REFERENCE_HZ = 440.0

CENTROID_HZ = 2000.0
"""Power centroid of every note over its window, for brightness 0 (assumption: near what the
untilted voice has in the middle of its range)."""
CENTROID_OCTAVES_PER_BRIGHTNESS = 0.48
TAIL_BELOW_LU = 13.25
"""How far the loudness of the second 1.2 s lies under that of the first (assumption: what the
unfaded voice has in the middle of its range)."""

_FROM_HZ = 1000.0
_STEEPEST_TILT = 3.0
_STRONGEST_CURVE = 0.4
_FASTEST_FADE = 3.0
_MOST_STEPS = 24
_WIDEST_STEP = 0.5
_CLOSE = 1e-4
_TAIL_PER_FADE = 2.4
"""By about how much the logarithm of tail beside head grows with the fade."""


def spread_octaves(brightness: float) -> float:
    """How far the centroid of amplitude lies above that of power.

    It follows what the uncurved voice has in the middle of its range.
    """
    return float(0.39 * 2.0 ** (-(1.3 + 0.3 * brightness) * brightness))


@lru_cache(maxsize=1)
def _k_curve() -> Float32s:
    """K-weighting of power at every whole hertz."""
    return k_power(np.arange(24_000)).astype(np.float32)


@lru_cache(maxsize=1)
def _moments() -> tuple[Floats, Floats, Floats]:
    """Times of the tables in a note's window and in as long a time after it, shape (moments,); the
    spans from one to the next, as shares of the window: those in it and those after it, shape
    (2, moments - 1); and with how much of these each moment is an end, shape (2, moments)."""
    steps = NOTE_WINDOW_S * SAMPLE_RATE / STEP_FRAMES
    rows = [row_step(row) for row in range(row_before(int(2 * steps)) + 1)]
    at = np.array(sorted({*rows, steps, 2 * steps}))
    inside = at[1:] <= steps
    spans = np.diff(at) / steps * np.array([inside, ~inside])
    ends = np.pad(spans, ((0, 0), (1, 0))) + np.pad(spans, ((0, 0), (0, 1)))
    return at * STEP_FRAMES / SAMPLE_RATE, spans, ends


class Shape(NamedTuple):
    """What is done to a note's partials: a partial at f is multiplied by e to the power of
    log_gain + fade·age + tilt·x + curve·x², where x is the natural logarithm of f by 1 kHz."""

    log_gain: float
    tilt: float
    curve: float
    fade: float


class Levels:
    """The shapes of one timbre. Values once worked out are kept.

    Without a `centroid_hz` neither spectrum nor decay are changed. `tail_below_lu` is how far what
    is heard after the window lies under what is heard in it. `noise_lufs` is the loudness of the
    noise that comes with each stroke. `lazy` leaves all work until a note asks for it.
    """

    def __init__(
        self,
        timbre: Timbre,
        *,
        centroid_hz: float | None = CENTROID_HZ,
        tail_below_lu: float = TAIL_BELOW_LU,
        noise_lufs: float = NOISE_LUFS,
        lazy: bool = False,
    ) -> None:
        self._timbre = timbre
        self._centroid_hz = centroid_hz
        self._tail_below_lu = tail_below_lu
        self._noise_lufs = noise_lufs
        self._lazy = lazy
        self._knots: dict[tuple[int, int], Shape] = {}

    def factors(self, hz: Floats, age_s: Floats, brightness: float, partials: int) -> Float32s:
        """Factors on the amplitudes of partials 1 to `partials` at each pitch and age.

        `hz` and `age_s` have shape (rows,), the result (rows, partials).
        """
        log_gain, tilt, curve, fade = self._at(np.asarray(hz), brightness)
        x = np.log(np.asarray(hz) / _FROM_HZ)
        level = log_gain + fade * age_s + (tilt + curve * x) * x
        # In natural logarithms, so that one exp makes all of it.
        log_k = _log_numbers(partials)
        factors: Float32s = np.multiply.outer(curve.astype(np.float32), log_k)
        factors += (tilt + 2.0 * curve * x).astype(np.float32)[:, None]
        factors *= log_k
        factors += level.astype(np.float32)[:, None]
        return np.exp(factors, out=factors)

    def _at(self, hz: Floats, brightness: float) -> list[Floats]:
        """What a `Shape` holds, at each pitch."""
        at = _KNOTS_PER_OCTAVE * np.log2(hz / _REFERENCE_HZ)
        below = np.floor(at).astype(int)
        first, last = int(below.min()), int(below.max()) + 1
        column = brightness * _KNOTS_PER_BRIGHTNESS
        left = int(np.floor(column))
        share = column - left
        curves = np.array([self._knot(knot, left) for knot in range(first, last + 1)])
        if share:
            right = np.array([self._knot(knot, left + 1) for knot in range(first, last + 1)])
            curves += (right - curves) * share
        knots = np.arange(first, last + 1)
        return [np.interp(at, knots, curve) for curve in curves.T]

    def work_out(self, lowest_hz: float, highest_hz: float) -> None:
        """Work out all knots between two pitches, for every brightness, unless lazy."""
        if self._lazy:
            return
        for column in range(-_KNOTS_PER_BRIGHTNESS, _KNOTS_PER_BRIGHTNESS + 1):
            self._at(np.array([lowest_hz, highest_hz]), column / _KNOTS_PER_BRIGHTNESS)

    def _knot(self, pitch_knot: int, brightness_knot: int) -> Shape:
        key = (pitch_knot, brightness_knot)
        if key not in self._knots:
            hz = _REFERENCE_HZ * 2.0 ** (pitch_knot / _KNOTS_PER_OCTAVE)
            brightness = brightness_knot / _KNOTS_PER_BRIGHTNESS
            self._knots[key] = self._worked_out(hz, brightness)
        return self._knots[key]

    def _worked_out(self, hz: float, brightness: float) -> Shape:
        note = _SteadyNote(self._timbre, hz, brightness, self._noise_lufs)
        shape = Shape(0.0, 0.0, 0.0, 0.0)
        if self._centroid_hz is not None:
            centroid_hz = self._centroid_hz * 2.0 ** (brightness * CENTROID_OCTAVES_PER_BRIGHTNESS)
            spread = 2.0 ** spread_octaves(brightness)
            shape = note.levelled(centroid_hz, centroid_hz * spread, self._tail_below_lu)
        return note.at_its_loudness(shape)


class _SteadyNote:
    """The partials of a note that stays at its pitch, over its window and as long after it."""

    def __init__(self, timbre: Timbre, hz: float, brightness: float, noise_lufs: float) -> None:
        self._age_s, self._spans, self._ends = _moments()
        partials = timbre.partials(hz)
        amplitudes = timbre.amplitudes(
            np.full(len(self._age_s), hz), self._age_s, partials=partials, brightness=brightness
        ).astype(np.float64)
        self._amplitudes = amplitudes
        self._squares = amplitudes * amplitudes
        self._products = amplitudes[1:] * amplitudes[:-1]
        self._hz = hz * np.arange(1, partials + 1)
        self._x = np.log(self._hz / _FROM_HZ)
        self._moving = np.array([self._x, self._x * self._x])
        self._k_weights = _k_curve()[self._hz.astype(np.intp)].astype(np.float64)
        self._tone_power = mean_power(NOTE_LUFS) - mean_power(noise_lufs)
        amplitude, noise_hz = noise_amplitude()
        self._noise = amplitude * 10.0 ** ((noise_lufs - NOISE_LUFS) / 20.0)
        self._noise_moment = self._noise * noise_hz

    def _power(self, shape: Shape) -> Floats:
        """Mean power of each partial in the window and after it, shape (2, partials)."""
        fade = np.exp(shape.fade * self._age_s)
        # The mean of the square of a straight line from a to b is (a² + ab + b²) / 3; half of it
        # is power.
        power = (self._ends * fade * fade / 6.0) @ self._squares
        power += (self._spans * fade[1:] * fade[:-1] / 6.0) @ self._products
        return np.asarray(power * np.exp(2.0 * (shape.tilt + shape.curve * self._x) * self._x))

    def _amplitude(self, shape: Shape) -> Floats:
        """Mean amplitude of each partial in the window."""
        weights = 0.5 * self._ends[0] * np.exp(shape.fade * self._age_s)
        amplitude = weights @ self._amplitudes
        return np.asarray(amplitude * np.exp((shape.tilt + shape.curve * self._x) * self._x))

    def at_its_loudness(self, shape: Shape) -> Shape:
        loudness = float(self._power(shape)[0] @ self._k_weights)
        return shape._replace(log_gain=0.5 * float(np.log(self._tone_power / loudness)))

    def levelled(self, power_hz: float, amplitude_hz: float, tail_below_lu: float) -> Shape:
        """The shape that brings both centroids and the tail to where they are wanted.

        By Newton's method in steps of limited width; tilt, curve and fade stay within bounds, and
        where these hinder, the centroid of power comes first. A note whose lowest partial lies
        above it gets the steepest tilt there is.
        """
        shape = Shape(0.0, 0.0, 0.0, 0.0)
        for _ in range(_MOST_STEPS):
            head, tail = self._power(shape)
            loud, loud_tail = head @ self._k_weights, tail @ self._k_weights
            amplitude = self._amplitude(shape) * np.sqrt(self._tone_power / loud)
            moved = self._towards(shape, head, amplitude, power_hz, amplitude_hz)
            off = tail_below_lu * np.log(10.0) / 10.0 + np.log(loud_tail / loud)
            moved = moved._replace(fade=_within(shape.fade - off / _TAIL_PER_FADE, _FASTEST_FADE))
            still = max(abs(new - old) for new, old in zip(moved, shape, strict=True)) < _CLOSE
            shape = moved
            if still:
                break
        return shape

    def _towards(
        self, shape: Shape, power: Floats, amplitude: Floats, power_hz: float, amplitude_hz: float
    ) -> Shape:
        """One step of tilt and curve."""
        moment, sum_ = power * self._hz, power.sum()
        by_power = 2.0 * self._moving @ (moment / moment.sum() - power / sum_)
        wanted = np.log(power_hz * sum_ / moment.sum())
        a_moment, a_sum = amplitude * self._hz, amplitude.sum() + self._noise
        whole = a_moment.sum() + self._noise_moment
        by_amplitude = self._moving @ (a_moment / whole - amplitude / a_sum)
        a_wanted = np.log(amplitude_hz * a_sum / whole)

        slope = max(float(by_power[0]), 1e-6)  # where there is but one partial, nothing moves
        across = by_power[1] / slope
        turning = by_amplitude[1] - by_amplitude[0] * across
        curve = shape.curve
        if abs(turning) > 1e-4:
            step = (a_wanted - by_amplitude[0] * wanted / slope) / turning
            curve += _within(step, _WIDEST_STEP)
            curve = _within(curve, _STRONGEST_CURVE)
        step = wanted / slope - across * (curve - shape.curve)
        tilt = shape.tilt + _within(step, _WIDEST_STEP)
        return shape._replace(tilt=_within(tilt, _STEEPEST_TILT), curve=curve)


def _within(value: float, bound: float) -> float:
    return max(-bound, min(bound, float(value)))


@lru_cache(maxsize=8)
def _log_numbers(partials: int) -> Float32s:
    return np.log(np.arange(1, partials + 1)).astype(np.float32)
