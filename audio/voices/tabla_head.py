"""How a struck drum head sounds: modes that ring, and the short noise of hand on skin.

A head is heard as a sum of modes, each a decaying sinusoid (modal synthesis), and a burst of noise
as the hand meets it. All sounds are mono float64 at `SAMPLE_RATE` until they are levelled.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from audio.format import SAMPLE_RATE
from audio.loudness import NOTE_LUFS, NOTE_WINDOW_S, k_power, mean_power
from audio.voices.timbre import Float32s, Floats

THEKA_BELOW_NOTE_LU = 7.0
"""How far a theka lies under the notes of a sitar: tintal at 120 matras a minute, over a cycle."""
ATTACK_FRAMES = 22
"""0.5 ms from rest to full swing: short enough for a stroke, long enough not to click
(assumption)."""
_FALL_DB = 60.0
"""A sound ends when its longest mode has fallen so far, faded over `_END_S`."""
_END_S = 0.03
_BLOCK = 256
_WEIGHED_FRAMES = 1 << 15
_HIGHEST_HZ = 15_000.0
_HIGHEST_PEAK = 1.5
"""Standard deviations that the noise hardly passes, so that no peak is left to chance."""


@dataclass(frozen=True, slots=True)
class Mode:
    """One way in which a head swings: `ratio` to the drum's pitch, level, and e-fold time."""

    ratio: float
    level_db: float
    ring_s: float
    opposed: bool = False
    """Whether it pushes the air the other way at first."""

    @property
    def swing(self) -> float:
        """Its amplitude, with its sign."""
        return float(10.0 ** (self.level_db / 20.0)) * (-1.0 if self.opposed else 1.0)


@dataclass(frozen=True, slots=True)
class Contact:
    """The noise of the hand: between two frequencies, dying away with an e-fold time.

    `share` is its part of the K-weighted energy of the stroke.
    """

    low_hz: float
    high_hz: float
    ring_s: float
    share: float
    seed: int


@dataclass(frozen=True, slots=True)
class HeadStroke:
    """One kind of stroke on one drum. `level_lu` is its ungated loudness over a note's window, that
    is, the loudness of its whole energy spread over 1.2 s, beside that of a theka."""

    modes: tuple[Mode, ...]
    contact: Contact
    level_lu: float

    @property
    def frames(self) -> int:
        """How long it sounds when nothing stops it."""
        return _heard_frames(max(self.contact.ring_s, *(mode.ring_s for mode in self.modes)))


def _heard_frames(ring_s: float) -> int:
    """Until what dies away with an e-fold time of `ring_s` has fallen by `_FALL_DB`."""
    return round((ring_s * _FALL_DB / (20.0 * math.log10(math.e)) + _END_S) * SAMPLE_RATE)


def steady_tone(stroke: HeadStroke, hz: float) -> Floats:
    """Its modes on a head at `hz` that is not bent, shape (frames,).

    Every mode starts from rest at the blow, as a sine. Powers of one complex number a mode are
    multiplied out of a short and a long step, which is faster than as many sines.
    """
    frames = stroke.frames
    total = np.zeros((-(-frames // _BLOCK), _BLOCK))
    for mode in stroke.modes:
        rows = -(-_heard_frames(mode.ring_s) // _BLOCK)
        turn = (2j * np.pi * mode.ratio * hz - 1.0 / mode.ring_s) / SAMPLE_RATE
        short = np.exp(turn * np.arange(_BLOCK)) * mode.swing
        long = np.exp(turn * _BLOCK * np.arange(rows))
        total[:rows] += np.outer(long.real, short.imag) + np.outer(long.imag, short.real)
    return total.reshape(-1)[:frames]


def bent_tone(stroke: HeadStroke, hz: Floats) -> Floats:
    """Its modes on a head whose pitch is `hz` at each frame, shape (frames,)."""
    turned = np.concatenate([[0.0], np.cumsum(hz[:-1])]) * (2.0 * np.pi / SAMPLE_RATE)
    age_s = np.arange(len(hz)) / SAMPLE_RATE
    total = np.zeros(len(hz))
    for mode in stroke.modes:
        heard = slice(_heard_frames(mode.ring_s))
        gain = mode.swing * np.exp(-age_s[heard] / mode.ring_s)
        total[heard] += gain * np.sin(mode.ratio * turned[heard])
    return total


def contact_noise(contact: Contact) -> Floats:
    """The noise of the hand, as long as it is heard. `RandomState`'s stream never changes
    (NEP 19)."""
    count = round(8.0 * contact.ring_s * SAMPLE_RATE)
    white = np.random.RandomState(contact.seed).standard_normal(count)
    hz = np.fft.rfftfreq(2 * count, 1.0 / SAMPLE_RATE)
    up, down = (hz / contact.low_hz) ** 4, (hz / contact.high_hz) ** 4
    shape = np.sqrt(up / (1.0 + up) / (1.0 + down))
    fade = np.exp(-np.arange(count) / (contact.ring_s * SAMPLE_RATE))
    fade *= 0.5 + 0.5 * np.cos(np.pi * np.arange(count) / count)
    # The burst is shaped before it is filtered, and the filter has no phase: nothing smears far.
    bounded = np.tanh(white / _HIGHEST_PEAK)
    spectrum = np.fft.rfft(bounded * fade, 2 * count) * shape
    spectrum[hz > _HIGHEST_HZ] = 0.0
    return np.fft.irfft(spectrum, 2 * count)[:count]


def struck(stroke: HeadStroke, tone: Floats) -> Float32s:
    """The whole stroke at its level, read-only: tone and noise, softly begun and ended."""
    rise = 0.5 - 0.5 * np.cos(np.pi * (np.arange(ATTACK_FRAMES) + 0.5) / ATTACK_FRAMES)
    end = round(_END_S * SAMPLE_RATE)
    tone[-end:] *= 0.5 + 0.5 * np.cos(np.pi * (np.arange(end) + 0.5) / end)
    noise = contact_noise(stroke.contact)
    for part in (tone, noise):
        part[:ATTACK_FRAMES] *= rise
    level_lufs = NOTE_LUFS - THEKA_BELOW_NOTE_LU + stroke.level_lu
    energy = mean_power(level_lufs) * NOTE_WINDOW_S * SAMPLE_RATE
    tone *= np.sqrt(energy * (1.0 - stroke.contact.share) / _k_energy(tone))
    tone[: len(noise)] += noise * np.sqrt(energy * stroke.contact.share / _k_energy(noise))
    sound = tone.astype(np.float32)
    sound.flags.writeable = False
    return sound


def _k_energy(sound: Floats) -> float:
    """Sum of the squares of the K-weighted samples, of which all but the first 0.7 s hardly add."""
    power = np.abs(np.fft.rfft(sound[:_WEIGHED_FRAMES], _WEIGHED_FRAMES)) ** 2
    power *= _k_curve()
    return float((2.0 * power.sum() - power[0] - power[-1]) / _WEIGHED_FRAMES)


@lru_cache(maxsize=1)
def _k_curve() -> Floats:
    return k_power(np.fft.rfftfreq(_WEIGHED_FRAMES, 1.0 / SAMPLE_RATE))
