"""Meters for sound that share no code with what they measure; each is tried on a sinusoid first.

Samples are float arrays of shape (n,) at `SAMPLE_RATE`; frequencies are in hertz.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import parselmouth
import pyloudnorm
import scipy.fft
import scipy.signal

from audio.format import SAMPLE_RATE
from audio.score import Score, Stroke, TablaStroke
from audio.voices.tabla import hits, tabla_frames


def midi_hz(midi: float) -> float:
    """MIDI note number to hertz, A4 = 69 = 440 Hz (MIDI Tuning Standard)."""
    return 440.0 * 2.0 ** ((midi - 69) / 12)


def cents_between(hz: np.ndarray | float, true_hz: np.ndarray | float) -> np.ndarray:
    return 1200.0 * np.log2(np.asarray(hz) / true_hz)


def one_note(midi: float, duration_s: float = 2.5, **stroke: float) -> Score:
    return Score(midi_hz(midi), (Stroke(0.0, duration_s, ((0.0, 0.0),), **stroke),))


@lru_cache(maxsize=64)
def bol_sound(bol: str, *, sa_hz: float) -> np.ndarray:
    """A bol alone at 0 dB, whole, as a score plays it but without the score's gain; read-only."""
    sound = np.zeros(tabla_frames(bol), np.float32)
    for hit in hits([(0, TablaStroke(0.0, bol))]):
        hit.begin(sa_hz=sa_hz, gain=1.0).add_to(sound, 0)
    sound.flags.writeable = False
    return sound


def sinusoid(hz: float, duration_s: float = 2.0) -> np.ndarray:
    return 0.3 * np.sin(2 * np.pi * hz * np.arange(round(duration_s * SAMPLE_RATE)) / SAMPLE_RATE)


def fft_pitch(samples: np.ndarray, near_hz: float) -> float:
    """The line nearest to `near_hz`: a parabola through the logarithm of a Gaussian's transform,
    which is a parabola (Gasior & Gonzalez, CERN AB-Note-2004-021)."""
    n = len(samples)
    window = np.exp(-0.5 * ((np.arange(n) - (n - 1) / 2) / (n / 8)) ** 2)
    size = scipy.fft.next_fast_len(2 * n, real=True)
    magnitude = np.abs(scipy.fft.rfft(samples * window, size))
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


PAD = 1 << 15
"""Frames of silence, so that what rings at one end of a sound does not come in at the other."""
EVERY = 8
"""Of so many frames one is looked at, where a sound has been freed of all that is high."""


def pitch_curve(samples: np.ndarray, low_hz: float, high_hz: float) -> np.ndarray:
    """The frequency in hertz, frame by frame, of the one partial that lies between two bounds.

    All else is taken out of the spectrum, what is left is made analytic, and its phase is
    followed (instantaneous frequency, Gabor 1946). The bounds lie less than an octave apart, so
    that the fundamental stands alone, and so low that every eighth frame holds all of it; between
    these the curve is straight. A leap is smeared over about 1 / `low_hz`, and the first and last
    hundredth of a second tell nothing.
    """
    assert high_hz < 1.9 * low_hz, "the second partial would come in"
    assert 1.96 * low_hz < SAMPLE_RATE / EVERY, "too high for every eighth frame"
    frames = len(samples)
    fewer = scipy.fft.next_fast_len(-(-(frames + PAD) // EVERY))
    hz = scipy.fft.rfftfreq(EVERY * fewer, 1 / SAMPLE_RATE)
    hz = hz[: int(np.searchsorted(hz, 1.96 * low_hz))]

    def edge(begins: float, ends: float) -> np.ndarray:
        return 0.5 - 0.5 * np.cos(np.pi * np.clip((hz - begins) / (ends - begins), 0, 1))

    passing = edge(0.25 * low_hz, 0.75 * low_hz) * (1 - edge(1.02 * high_hz, 1.96 * low_hz))
    spectrum = scipy.fft.rfft(np.asarray(samples, np.float64), EVERY * fewer)
    one_sided = np.zeros(fewer, complex)
    one_sided[: len(hz)] = spectrum[: len(hz)] * passing
    phase = np.unwrap(np.angle(scipy.fft.ifft(one_sided)[: -(-frames // EVERY) + 1]))
    curve = np.maximum(np.gradient(phase) * SAMPLE_RATE / (2 * np.pi * EVERY), 0.1 * low_hz)
    return np.interp(np.arange(frames), EVERY * np.arange(len(curve)), curve)


def runs(
    cents: np.ndarray, grid: Sequence[float], *, least_s: float = 0.012
) -> list[tuple[float, float, float]]:
    """(cents of the grid, when it begins, how long it lasts) of each pitch that a curve stays on.

    A frame belongs to the nearest pitch of the grid; what lasts less than `least_s` is passed
    through, and goes half to the pitch before and half to the one after.
    """
    pitches = np.asarray(grid, np.float64)
    nearest = np.abs(cents[:, None] - pitches).argmin(axis=1)
    edges = np.flatnonzero(np.diff(nearest)) + 1
    begins, ends = np.r_[0, edges], np.r_[edges, len(cents)]
    stays = ends - begins >= least_s * SAMPLE_RATE
    found: list[list[float]] = []
    for begin, end in zip(begins[stays], ends[stays], strict=True):
        pitch = float(pitches[nearest[begin]])
        if found and found[-1][0] == pitch:
            found[-1][2] = end
        elif found:
            half_way = (found[-1][2] + begin) / 2
            found[-1][2] = half_way
            found.append([pitch, half_way, end])
        else:
            found.append([pitch, begin, end])
    return [
        (p, float(begin) / SAMPLE_RATE, float(end - begin) / SAMPLE_RATE) for p, begin, end in found
    ]


@dataclass(frozen=True, slots=True)
class Swing:
    """How a pitch swings: whole swings a second, and its mean and turning points in cents."""

    rate_hz: float
    mean_cents: float
    lowest_cents: float
    highest_cents: float

    @property
    def depth_cents(self) -> float:
        return self.highest_cents - self.lowest_cents


def swing(cents: np.ndarray) -> Swing:
    """The swing of a curve of pitch, over its whole swings from rise to rise."""
    middle, quarter = (cents.max() + cents.min()) / 2, np.ptp(cents) / 4
    rises = np.flatnonzero((cents[:-1] < middle) & (cents[1:] >= middle))
    # A rise counts once, after the curve has been well below the middle.
    since = np.concatenate([[0], rises[:-1]])
    deep = [cents[a : b + 1].min() < middle - quarter for a, b in zip(since, rises, strict=True)]
    rises = rises[np.array(deep, bool)]
    assert len(rises) > 1, "no whole swing"
    rate_hz = (len(rises) - 1) * SAMPLE_RATE / float(rises[-1] - rises[0])
    whole = cents[rises[0] : rises[-1]]
    return Swing(rate_hz, float(whole.mean()), float(whole.min()), float(whole.max()))


def level_db(samples: np.ndarray, from_s: float, to_s: float) -> float:
    """Mean power between two times."""
    part = np.asarray(samples[round(from_s * SAMPLE_RATE) : round(to_s * SAMPLE_RATE)], np.float64)
    return float(10 * np.log10(np.mean(part**2) + 1e-20))


def onsets_s(samples: np.ndarray) -> np.ndarray:
    """When a string is struck, in seconds: where the energy above 14 kHz leaps.

    The scratch of a pluck is all that stands there, and it dies within a tenth of a second,
    so that a stroke shows over a string that still rings at full strength, while a change of
    pitch without a stroke does not (energy of the high band as onset function: Masri 1996). A
    leap is at least 3 dB from the loudest of the last 12 ms, to within 11 dB of the loudest of all;
    two within 15 ms are one.
    """
    hop, width, back = round(0.0005 * SAMPLE_RATE), round(0.004 * SAMPLE_RATE), 24
    sos = scipy.signal.butter(6, 14_000.0, "highpass", fs=SAMPLE_RATE, output="sos")
    band = scipy.signal.sosfilt(sos, np.pad(np.asarray(samples, np.float64), (0, width)))
    summed = np.concatenate([np.zeros(width), [0.0], np.cumsum(band**2)])
    at = np.arange(0, len(samples), hop) + width
    after = 10 * np.log10((summed[at + width] - summed[at]) / width + 1e-16)
    before = 10 * np.log10((summed[at] - summed[at - width]) / width + 1e-16)
    heard = np.lib.stride_tricks.sliding_window_view(np.pad(before, (back, 0), "edge"), back + 1)
    leap = after - np.maximum(heard.max(axis=1), after.max() - 16)
    leap[after < after.max() - 11] = 0.0
    tops, _ = scipy.signal.find_peaks(np.pad(leap, 1), height=3.0, distance=30)
    return np.array([_change(band, (top - 1) * hop) / SAMPLE_RATE for top in tops])


def _change(band: np.ndarray, near: int) -> int:
    """The frame near another at which the power changes: where two stretches of noise, each of
    its own power, explain best what is there (Maeda 1985, the picker of seismic phases)."""
    start, stop = max(0, near - round(0.008 * SAMPLE_RATE)), near + round(0.003 * SAMPLE_RATE)
    power = np.cumsum(band[start:stop] ** 2) + 1e-14
    counts = np.arange(1, len(power))
    before, after = power[:-1] / counts, (power[-1] - power[:-1]) / counts[::-1]
    fit = -counts * np.log(before) - counts[::-1] * np.log(after + 1e-14)
    edge = 4  # too few frames have no power of their own
    return start if start == near else start + edge + int(np.argmax(fit[edge:-edge]))


HOP, WINDOW, BANDS, LAG = 64, 512, 40, 4
FLOOR = 1e-5
"""Of the strongest band: what is weaker is silence, so that a drum that dies away slowly has no
onsets of its own."""


def drum_onsets(sound: np.ndarray) -> np.ndarray:
    """Frames of all strokes on drums, where no string sounds with them.

    Peaks of spectral flux (the rise of level in bands of equal width in logarithm, summed: Bello et
    al., A tutorial on onset detection, 2005, from memory) say how many there are and where, by
    SciPy's STFT and `find_peaks`; `_steepest_rise` says when exactly. Two within 12 ms are one.
    """
    spectra = scipy.signal.ShortTimeFFT(np.hanning(WINDOW), HOP, SAMPLE_RATE)
    power = np.abs(spectra.stft(sound)) ** 2
    edges = np.unique(np.searchsorted(spectra.f, np.geomspace(80, 16_000, BANDS + 1)))
    bands = np.add.reduceat(power, edges, axis=0)[:-1]
    levels = 10 * np.log10(np.maximum(bands, FLOOR * bands.max()))
    flux = np.maximum(levels[:, LAG:] - levels[:, :-LAG], 0).mean(axis=0)
    around = round(0.06 * SAMPLE_RATE / HOP)
    peaks, _ = scipy.signal.find_peaks(
        flux / flux.max(),
        prominence=0.1,
        distance=round(0.012 * SAMPLE_RATE / HOP),
        wlen=2 * around,
    )
    # Slice k of the STFT is centred on frame (k + p_min) * HOP; what rises enters at its end.
    centres = (peaks + LAG + spectra.p_min) * HOP
    return np.array([_steepest_rise(sound, centre) for centre in centres])


def _steepest_rise(sound: np.ndarray, near: int) -> int:
    """Where, within 8 ms of `near`, the next 1 ms has most power beside the 3 ms before."""
    power = np.cumsum(np.diff(sound, prepend=np.zeros(2)).astype(np.float64) ** 2)
    reach, after, before = (round(s * SAMPLE_RATE) for s in (0.008, 0.001, 0.003))
    at = np.arange(max(near - reach, before), min(near + reach, len(sound) - after))
    rise = (power[at + after] - power[at] + 1e-9) / (power[at] - power[at - before] + 1e-9)
    return int(at[np.argmax(rise)])
