"""The short noise of the mizrab on the string: each stroke takes a piece of one fixed noise."""

from __future__ import annotations

import struct
import zlib
from functools import lru_cache

import numpy as np

from audio.format import SAMPLE_RATE
from audio.loudness import NOTE_WINDOW_S, k_power, mean_power
from audio.score import Stroke
from audio.voices.timbre import Float32s

NOISE_LUFS = -46.0
"""Loudness of the noise alone over a note's window; 23 LU below the note (assumption)."""
NO_NOISE_LUFS = -300.0
"""For strings that are not struck."""
NOISE_FRAMES = 13_230
"""0.3 s, after which no noise is heard."""
_CLICK_S, _RUSTLE_S = 0.004, 0.07
"""Time constants of the click and of the rustle after it (assumptions)."""
_RUSTLE_SHARE = 0.12
_BAND_HZ = (700.0, 7_000.0)
"""Where the noise lies (assumption)."""
_HIGHEST_HZ = 16_000.0
_HIGHEST_PEAK = 1.5
"""Standard deviations that the noise hardly passes, so that no stroke's peak is left to chance."""
_BANK_FRAMES = 1 << 15
_HEARD_FRAMES = 1 << 10
"""How much of a sound makes one spectrum for who listens for its brightness (23 ms)."""
_SEED = 20_480


@lru_cache(maxsize=1)
def _envelope() -> Float32s:
    """Amplitude of the noise over `NOISE_FRAMES`; it ends at nought."""
    age = np.arange(NOISE_FRAMES) / SAMPLE_RATE
    shape = (1.0 - _RUSTLE_SHARE) * np.exp(-age / _CLICK_S)
    shape += _RUSTLE_SHARE * np.exp(-age / _RUSTLE_S)
    shape *= 0.5 + 0.5 * np.cos(np.pi * np.arange(NOISE_FRAMES) / NOISE_FRAMES)
    wanted = mean_power(NOISE_LUFS) * NOTE_WINDOW_S * SAMPLE_RATE
    return np.asarray(shape * np.sqrt(wanted / np.sum(shape**2)), np.float32)


@lru_cache(maxsize=1)
def _bank() -> Float32s:
    """Noise with a K-weighted power of 1, long enough that strokes seldom begin alike.

    `RandomState` because its stream is promised never to change (NEP 19).
    """
    white = np.random.RandomState(_SEED).standard_normal(_BANK_FRAMES)
    hz = np.fft.rfftfreq(_BANK_FRAMES, 1.0 / SAMPLE_RATE)
    low, high = _BAND_HZ
    shape = (hz / low) ** 2 / (1.0 + (hz / low) ** 2) / (1.0 + (hz / high) ** 4)
    noise = np.fft.irfft(np.fft.rfft(white) * shape, _BANK_FRAMES)
    bound = _HIGHEST_PEAK * noise.std()
    spectrum = np.fft.rfft(np.tanh(noise / bound))
    spectrum[hz > _HIGHEST_HZ] = 0.0
    power = 2.0 * np.sum(k_power(hz) * np.abs(spectrum) ** 2) / _BANK_FRAMES**2
    return np.asarray(np.fft.irfft(spectrum, _BANK_FRAMES) / np.sqrt(power), np.float32)


@lru_cache(maxsize=1)
def noise_amplitude() -> tuple[float, float]:
    """What the noise adds to the sum of the partials' amplitudes, as a mean over a note's window,
    and its centroid in hertz.

    A noise, unlike a tone, has an amplitude only beside the length of the spectra in which it is
    heard: here Hann's windows of `_HEARD_FRAMES`. In them a partial of amplitude 1 adds up to half
    of their length.
    """
    window = np.hanning(_HEARD_FRAMES)
    spectra = np.abs(np.fft.rfft(_bank().reshape(-1, _HEARD_FRAMES) * window, axis=1)).mean(axis=0)
    hop = _HEARD_FRAMES // 2
    squares = np.pad(_envelope().astype(np.float64) ** 2, hop)
    framed = np.lib.stride_tricks.sliding_window_view(squares, _HEARD_FRAMES)[::hop]
    heard = np.sqrt(framed @ window**2 / np.sum(window**2)).sum() * hop
    heard /= NOTE_WINDOW_S * SAMPLE_RATE
    hz = np.fft.rfftfreq(_HEARD_FRAMES, 1.0 / SAMPLE_RATE)
    amplitude = heard * spectra.sum() / (_HEARD_FRAMES / 2)
    return float(amplitude), float(hz @ spectra / spectra.sum())


def mizrab_noise(stroke: Stroke) -> Float32s:
    """The noise of one stroke at 0 dB, shape (NOISE_FRAMES,): the same for the same stroke."""
    numbers = (stroke.onset_s, stroke.duration_s, stroke.brightness, *stroke.path[0])
    seed = zlib.crc32(struct.pack(f"<{len(numbers)}d", *numbers))
    offset = seed % (_BANK_FRAMES - NOISE_FRAMES)
    return _bank()[offset : offset + NOISE_FRAMES] * _envelope()
