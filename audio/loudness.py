"""How loud a sound is: K-weighting, loudness with and without gate, true peak, levels to keep.

Loudness is that of ITU-R BS.1770-5 (annex 1) for one channel. That of a note is not gated: gating
makes the loudness of a short note depend on its length. K-weighting is done as a multiplication in
the frequency domain by the response of the two biquads that the recommendation prints for 48 kHz,
so that it holds at any rate. Samples are mono floats in [-1, 1]; loudness is in LUFS, peaks are in
dBTP (annex 2: four times oversampled).
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from audio.format import SAMPLE_RATE

Floats = NDArray[Any]

NOTE_LUFS = -23.0
"""Every single note, over its first `NOTE_WINDOW_S`: the programme level of EBU R 128."""
NOTE_WINDOW_S = 1.2
"""Long enough to hold what makes a plucked note loud, short enough for most notes to fill it."""
DRONE_BELOW_NOTE_LU = 12.0
"""How far the drone lies under a note."""
PEAK_LIMIT_DBTP = -1.0
"""No mix goes above it; EBU R 128."""

# ITU-R BS.1770-5, tables 1 and 2, for 48 kHz.
_BIQUADS_RATE = 48_000.0
_BIQUADS = (
    (
        (1.53512485958697, -2.69169618940638, 1.19839281085285),
        (1.0, -1.69065929318241, 0.73248077421585),
    ),
    ((1.0, -2.0, 1.0), (1.0, -1.99004745483398, 0.99007225036621)),
)
_OFFSET_DB = -0.691  # ITU-R BS.1770-5, equation 2
_OVERSAMPLING = 4  # ITU-R BS.1770-5, annex 2, for rates near 48 kHz
_SILENCE_LUFS = -120.0
_STEP_S, _BLOCK_STEPS = 0.1, 4  # ITU-R BS.1770-5, annex 1: blocks of 0.4 s, a quarter apart
_GATE_LUFS, _RELATIVE_GATE_LU = -70.0, -10.0  # the same


def k_power(hz: Floats) -> NDArray[np.float64]:
    """By how much K-weighting multiplies the power of a sinusoid at each frequency."""
    s = np.sin(np.pi * np.asarray(hz, np.float64) / _BIQUADS_RATE) ** 2
    power = np.ones_like(s)
    for above, below in _BIQUADS:
        power *= _power_of(above, s) / _power_of(below, s)
    return power


def _power_of(c: tuple[float, float, float], s: NDArray[np.float64]) -> NDArray[np.float64]:
    """|c0 + c1/z + c2/z²|² for s = sin²(ω/2): in this form nothing cancels at low frequencies."""
    first, second, third = c
    straight = 4.0 * (second * (first + third) + 4.0 * first * third)
    return sum(c) ** 2 - straight * s + 16.0 * first * third * s**2


def mean_power(lufs: float) -> float:
    """The mean square of the K-weighted samples of a sound so loud."""
    return float(10.0 ** ((lufs - _OFFSET_DB) / 10.0))


def loudness_lufs(
    samples: Floats, *, rate: int = SAMPLE_RATE, window_s: float | None = None
) -> float:
    """Ungated loudness of `samples`, shape (n,), or of their first `window_s` seconds.

    A sound shorter than the window counts as silent in what is left of it.
    """
    frames = len(samples) if window_s is None else round(window_s * rate)
    kept = np.asarray(samples[:frames], np.float64)
    if not kept.any():
        return _SILENCE_LUFS
    # Padding keeps the end of the sound from leaking into its start.
    size = 1 << (2 * max(len(kept), rate // 8) - 1).bit_length()
    spectrum = np.fft.rfft(kept, size)
    power = k_power(np.fft.rfftfreq(size, 1.0 / rate)) * np.abs(spectrum) ** 2
    energy = (2.0 * power.sum() - power[0] - power[-1]) / size
    return float(_OFFSET_DB + 10.0 * np.log10(energy / frames))


def integrated_lufs(samples: Floats, *, rate: int = SAMPLE_RATE) -> float:
    """Gated loudness of a whole recording, shape (n,); of one under 0.4 s that of its one block.

    Blocks of 0.4 s, a quarter apart; what lies under -70 LUFS, and then what lies 10 LU under the
    loudness of the rest, does not count.
    """
    step = round(_STEP_S * rate)
    kept = np.asarray(samples, np.float64)
    kept = np.pad(kept, (0, max(0, _BLOCK_STEPS * step - len(kept))))
    # What the weighting rings on for ends far sooner than this padding.
    size = quick_size(len(kept) + rate // 2)
    spectrum = np.fft.rfft(kept, size)
    spectrum *= np.sqrt(k_power(np.fft.rfftfreq(size, 1.0 / rate)))
    weighted = np.fft.irfft(spectrum, size)[: len(kept) // step * step]
    steps = np.square(weighted).reshape(-1, step).mean(axis=1)
    blocks = np.convolve(steps, np.full(_BLOCK_STEPS, 1.0 / _BLOCK_STEPS), "valid")
    heard = blocks[blocks > mean_power(_GATE_LUFS)]
    if not len(heard):
        return _SILENCE_LUFS
    heard = heard[heard > heard.mean() * 10.0 ** (_RELATIVE_GATE_LU / 10.0)]
    return float(_OFFSET_DB + 10.0 * np.log10(heard.mean()))


def quick_size(least: int) -> int:
    """A size at least so great that is transformed quickly: a power of two, times 15 at most."""
    return min(odd << max(0, (-(-least // odd) - 1).bit_length()) for odd in (1, 3, 5, 9, 15))


def true_peak_dbtp(samples: Floats) -> float:
    """The highest point of the curve through `samples`, shape (n,), four times oversampled."""
    if len(samples) == 0 or not np.any(samples):
        return _SILENCE_LUFS
    highest = 0.0
    span, margin = 1 << 15, 1 << 9
    padded = np.pad(np.asarray(samples, np.float64), margin)
    for start in range(0, len(samples), span):
        piece = padded[start : start + span + 2 * margin]
        spectrum = np.fft.rfft(piece)
        size = len(piece) * _OVERSAMPLING
        curve = np.fft.irfft(spectrum, size) * _OVERSAMPLING
        inner = curve[margin * _OVERSAMPLING : size - margin * _OVERSAMPLING]
        highest = max(highest, float(np.abs(inner).max()))
    return float(20.0 * np.log10(highest))
