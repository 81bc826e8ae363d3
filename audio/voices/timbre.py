"""How strong each partial of a string is, at any pitch and age: the physics that we model.

A plucked string over a curved bridge (jawari) is heard in two parts. The *direct* partials are
those of the pluck; each decays the faster the higher it lies. The *band* is fed from the low
partials by the wrapping of the string on the bridge: a hill of overtones that lives as long as
the low partials do and slides down in frequency while the vibration gets smaller (van Walstijn &
Chatziioannou 2014; Valette & Cuesta's thread-and-stop model, euphonics.org 12.3.1). Upper partials
die and revive (Chauhan 2021; Siddiq 2012). The body colours all of this at fixed frequencies.

Partials are taken as harmonic: at F#3 stiffness puts the twentieth only 5 cents sharp. No
published decay times of sitar or tanpura strings were found; every number below whose source is
not named is an assumption, chosen by ear of others' descriptions and by spectrogram.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

Float32s = NDArray[np.float32]
Floats = NDArray[Any]

_TAPER_FROM = 0.7
"""Share of a timbre's `highest_hz` from which its partials fade towards it."""
_CURVE_POINTS = 24_000
"""Curves over frequency are kept at every whole hertz up to here."""
_MOST_PARTIALS = 4096
_YOUNG_S = 0.02
"""Age at which a note peaks."""
_SCATTER = np.random.RandomState(2).random_sample((2, 1024))
"""Two numbers from 0 to 1 for each partial: `RandomState`'s stream never changes (NEP 19)."""


@dataclass(frozen=True, slots=True)
class Resonance:
    """One resonance of the body: a peak of `gain` (amplitude ratio) over the plain response."""

    hz: float
    q: float
    gain: float


@dataclass(frozen=True)
class Timbre:
    """All that distinguishes one kind of string from another.

    Frequencies are in hertz and times in seconds; amplitudes are ratios.
    """

    pluck_slope: float
    """Exponent p of the partials' amplitudes at the pluck, k^-p, for brightness 0."""
    slope_per_brightness: float
    pluck_place: float
    """Where it is plucked, as a share of the string from the bridge, for brightness 0."""
    place_octaves_per_brightness: float
    """By how many octaves the place moves towards the bridge for brightness 1."""
    pluck_notch: float
    """What is left of a partial plucked at its node, 0 to 1 (a quarter need not remove the 4th)."""
    loss_per_s: float
    """Amplitude e-folds a second at 0 Hz."""
    loss_per_s_khz: float
    """Added for each kHz of the partial's frequency."""
    loss_per_s_khz2: float
    """Added for each kHz squared."""
    band_gain: float
    """Height of the band at its top, beside a first partial of 1."""
    band_gain_per_brightness: float
    """Factor on the height for brightness 1 (its inverse for -1)."""
    band_from_hz: float
    band_to_hz: float
    band_fall_s: float
    """Time constant of the fall from `band_from_hz` to `band_to_hz`."""
    band_octaves: float
    """Half-width (standard deviation) of the band."""
    band_rise_s: float
    """Time constant with which the band builds up after the pluck."""
    beat_depth: float
    """Depth of the slow swelling of the upper partials, 0 to 1."""
    beat_full_at: float
    """Partial at which that depth is reached by 63 %."""
    beat_hz: tuple[float, float]
    """Slowest and fastest swelling."""
    highest_hz: float
    """No partial is made above it, whatever the pitch: well below half the sample rate."""
    low_cut_hz: float
    """Below it the body radiates less and less, 12 dB an octave."""
    resonances: tuple[Resonance, ...]
    rise_s: float = 0.0
    """Time constant with which a string that is driven, not plucked, takes up its sound."""
    phases_of: Timbre | None = None
    """The timbre whose starting phases it has, where not its own."""
    phase_shift: float = 0.0
    """By how many cycles every partial runs before these."""

    @cached_property
    def body(self) -> Float32s:
        """Amplitude response of the body with the taper to `highest_hz`, at every whole hertz."""
        hz = np.arange(_CURVE_POINTS, dtype=np.float64)
        squared = (hz / self.low_cut_hz) ** 2
        response = squared / (1.0 + squared)
        for peak in self.resonances:
            away = peak.q * (hz / peak.hz - peak.hz / np.maximum(hz, 1.0))
            response *= np.sqrt(1.0 + (peak.gain**2 - 1.0) / (1.0 + away**2))
        above = np.clip((hz / self.highest_hz - _TAPER_FROM) / (1.0 - _TAPER_FROM), 0.0, 1.0)
        return (response * (0.5 + 0.5 * np.cos(np.pi * above))).astype(np.float32)

    @cached_property
    def loss(self) -> Float32s:
        """Amplitude e-folds a second, at every whole hertz."""
        khz = np.arange(_CURVE_POINTS) / 1000.0
        loss = self.loss_per_s + self.loss_per_s_khz * khz + self.loss_per_s_khz2 * khz**2
        return loss.astype(np.float32)

    @cached_property
    def _beats(self) -> tuple[Float32s, ...]:
        """Of each partial's swelling: radians a second, start, half its depth, what that leaves."""
        k = np.arange(1, _MOST_PARTIALS + 1)
        scatter, start = _SCATTER[:, k % _SCATTER.shape[1]]
        slow, fast = self.beat_hz
        rate = slow + (fast - slow) * scatter
        depth = self.beat_depth * (1.0 - np.exp(-(k - 1) / self.beat_full_at))
        curves = (2.0 * np.pi * rate, 2.0 * np.pi * start, 0.5 * depth, 1.0 - 0.5 * depth)
        return tuple(curve.astype(np.float32) for curve in curves)

    def partials(self, hz: float) -> int:
        """How many partials of a string at `hz` lie below `highest_hz`."""
        return min(_MOST_PARTIALS, max(1, int(self.highest_hz / hz)))

    def pluck(self, partials: int, brightness: float) -> Float32s:
        """Amplitudes of partials 1 to `partials` at the moment of the pluck."""
        k = np.arange(1, partials + 1)
        place = self.pluck_place * 2.0 ** (-brightness * self.place_octaves_per_brightness)
        comb = np.sqrt(np.sin(np.pi * k * place) ** 2 + self.pluck_notch**2)
        slope = self.pluck_slope + brightness * self.slope_per_brightness
        return np.asarray(comb / comb[0] * k**-slope, np.float32)

    def amplitudes(
        self, hz: Floats, age_s: Floats, *, partials: int, brightness: float
    ) -> Float32s:
        """Amplitudes, shape (rows, partials), at each pitch and time after the pluck.

        `hz` and `age_s` have shape (rows,). Partials above `highest_hz` are nought.
        """
        f0 = np.asarray(hz, np.float32)[:, None]
        age = np.asarray(age_s, np.float32)[:, None]
        k = np.arange(1, partials + 1, dtype=np.float32)
        at = np.minimum((f0 * k).astype(np.intp), _CURVE_POINTS - 1)
        lowest_loss = self.loss[at[:, :1]]

        direct = self.pluck(partials, brightness) * np.exp(-age * self.loss[at])
        centre = self.band_to_hz + (self.band_from_hz - self.band_to_hz) * np.exp(
            -age / np.float32(self.band_fall_s)
        )
        octaves = np.log2(k) + np.log2(f0 / centre)
        height = self.band_gain * self.band_gain_per_brightness**brightness
        band = np.exp(octaves * octaves * np.float32(-0.5 / self.band_octaves**2))
        band *= np.float32(height) * np.exp(-age * lowest_loss)
        band *= 1.0 - np.exp(-age / np.float32(self.band_rise_s))
        direct += band
        direct *= self._swelling(age, partials)
        if self.rise_s:
            direct *= 1.0 - np.exp(-age / np.float32(self.rise_s))
        direct *= self.body[at]
        return np.asarray(direct)

    def _swelling(self, age: Float32s, partials: int) -> Float32s:
        """Slow beats of the two planes in which a string swings; they differ from one another."""
        rate, start, half_depth, rest = (curve[:partials] for curve in self._beats)
        turn = rate * age
        turn += start
        swelling: Float32s = np.cos(turn, out=turn)
        swelling *= half_depth
        swelling += rest
        return swelling

    def phases(self, hz: float, *, partials: int, brightness: float) -> NDArray[np.float64]:
        """Starting phases, in cycles, of partials 1 to `partials`.

        High components come first, as a stiff string brings them, each given a share of the
        period by its strength: so the period is filled evenly and peaks stay low (Schroeder 1970,
        doi 10.1109/TIT.1970.1054411, who weighs by power; amplitude gave lower peaks here).
        """
        young = np.array([_YOUNG_S])
        source = self.phases_of or self
        amplitudes = source.amplitudes(
            np.array([hz]), young, partials=partials, brightness=brightness
        )[0].astype(np.float64)
        return np.cumsum(1.0 - np.cumsum(amplitudes / amplitudes.sum())) + self.phase_shift


SITAR = Timbre(
    pluck_slope=0.9,
    slope_per_brightness=-0.4,
    pluck_place=0.13,
    place_octaves_per_brightness=1.0,
    pluck_notch=0.2,
    loss_per_s=0.6,
    loss_per_s_khz=1.1,
    loss_per_s_khz2=0.1,
    band_gain=0.6,
    band_gain_per_brightness=1.8,
    band_from_hz=4800.0,
    band_to_hz=1000.0,
    band_fall_s=0.7,
    band_octaves=0.5,
    band_rise_s=0.04,
    beat_depth=0.9,
    beat_full_at=6.0,
    beat_hz=(0.5, 3.2),
    highest_hz=16_000.0,
    low_cut_hz=170.0,
    resonances=(
        Resonance(118.0, 7.0, 1.5),
        Resonance(235.0, 6.0, 1.7),
        Resonance(410.0, 6.0, 1.6),
        Resonance(720.0, 5.0, 1.4),
        Resonance(1350.0, 3.0, 1.5),
        Resonance(2900.0, 1.5, 1.6),
    ),
)
"""The playing string of a sitar, with a mizrab."""
