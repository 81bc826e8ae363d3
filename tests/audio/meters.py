"""Meters for sound that share no code with what they measure; each is tried on a sinusoid first.

Samples are float arrays of shape (n,) at `SAMPLE_RATE`; frequencies are in hertz.
"""

from __future__ import annotations

import numpy as np
import parselmouth
import pyloudnorm
import scipy.signal

from audio.format import SAMPLE_RATE
from audio.score import Score, Stroke


def midi_hz(midi: float) -> float:
    """MIDI note number to hertz, A4 = 69 = 440 Hz (MIDI Tuning Standard)."""
    return 440.0 * 2.0 ** ((midi - 69) / 12)


def cents_between(hz: np.ndarray | float, true_hz: np.ndarray | float) -> np.ndarray:
    return 1200.0 * np.log2(np.asarray(hz) / true_hz)


def one_note(midi: float, duration_s: float = 2.5, **stroke: float) -> Score:
    return Score(midi_hz(midi), (Stroke(0.0, duration_s, ((0.0, 0.0),), **stroke),))


def sinusoid(hz: float, duration_s: float = 2.0) -> np.ndarray:
    return 0.3 * np.sin(2 * np.pi * hz * np.arange(round(duration_s * SAMPLE_RATE)) / SAMPLE_RATE)


def fft_pitch(samples: np.ndarray, near_hz: float) -> float:
    """The line nearest to `near_hz`: a parabola through the logarithm of a Gaussian's transform,
    which is a parabola (Gasior & Gonzalez, CERN AB-Note-2004-021)."""
    n = len(samples)
    window = np.exp(-0.5 * ((np.arange(n) - (n - 1) / 2) / (n / 8)) ** 2)
    size = 1 << (8 * n - 1).bit_length()
    magnitude = np.abs(np.fft.rfft(samples * window, size))
    width = size / SAMPLE_RATE
    low, high = int(near_hz * 0.97 * width), int(near_hz * 1.03 * width) + 2
    top = low + int(np.argmax(magnitude[low:high]))
    left, here, right = np.log(magnitude[top - 1 : top + 2])
    return float((top + 0.5 * (left - right) / (left - 2 * here + right)) / width)


def praat_pitch(samples: np.ndarray, near_hz: float) -> tuple[np.ndarray, np.ndarray]:
    """Times in seconds and frequencies where Praat's autocorrelation method hears a pitch."""
    sound = parselmouth.Sound(np.asarray(samples, np.float64), SAMPLE_RATE)
    pitch = sound.to_pitch_ac(
        time_step=0.01,
        pitch_floor=near_hz / 1.9,
        pitch_ceiling=near_hz * 1.9,
        very_accurate=True,
        octave_cost=0.0,
    )
    hz = pitch.selected_array["frequency"]
    return pitch.xs()[hz > 0], hz[hz > 0]


def lock_in(samples: np.ndarray, cycles: np.ndarray, partial: int = 1) -> np.ndarray:
    """Phase, in cycles, by which a partial runs before the phase `cycles` that it should have.

    The sound is turned back by that phase and smoothed over 70 ms by a Blackman-Harris
    window, whose side lobes lie at -92 dB.
    """
    still = np.asarray(samples, np.float64) * np.exp(-2j * np.pi * partial * cycles)
    window = scipy.signal.windows.blackmanharris(round(0.07 * SAMPLE_RATE))
    smooth = scipy.signal.fftconvolve(still, window / window.sum(), mode="same")
    return np.unwrap(np.angle(smooth)) / (2 * np.pi)


def k_weighted_lufs(samples: np.ndarray, window_s: float) -> float:
    """Ungated loudness of the first `window_s` seconds, with pyloudnorm's filters (De Man 2018)."""
    weighted = np.asarray(samples, np.float64)
    for stage in pyloudnorm.Meter(SAMPLE_RATE, filter_class="DeMan")._filters.values():
        weighted = stage.apply_filter(weighted)
    frames = round(window_s * SAMPLE_RATE)
    return float(-0.691 + 10 * np.log10(np.sum(weighted[:frames] ** 2) / frames))


def peak_dbtp(samples: np.ndarray) -> float:
    """True peak by scipy's polyphase resampler, four times oversampled."""
    curve = scipy.signal.resample_poly(np.asarray(samples, np.float64), 4, 1)
    return float(20 * np.log10(np.abs(curve).max()))


def high_band(samples: np.ndarray, above_hz: float) -> np.ndarray:
    """What lies above `above_hz`: where nothing is made on purpose, only clicks are left."""
    sos = scipy.signal.butter(8, above_hz, "highpass", fs=SAMPLE_RATE, output="sos")
    return scipy.signal.sosfiltfilt(sos, np.asarray(samples, np.float64))


def centroid_hz(samples: np.ndarray) -> float:
    """Centre of the power spectrum."""
    power = np.abs(np.fft.rfft(samples * np.hanning(len(samples)))) ** 2
    return float(np.sum(power * np.fft.rfftfreq(len(samples), 1 / SAMPLE_RATE)) / np.sum(power))
