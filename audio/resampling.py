"""Another sampling rate: a whole recording at once, in the frequency domain.

That is interpolation by the ideal kernel, tapered off between 20 kHz (or as near to the top of a
lower rate) and the top: nothing above comes back as an alias, and below nothing changes.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from audio.format import SAMPLE_RATE
from audio.loudness import quick_size

PASSES_TO = 20_000 / 22_050
"""Share of the lower rate's half up to which nothing changes."""
_APART_S = 0.05
"""Silence that keeps the end from ringing into the beginning."""


def resampled(samples: NDArray[Any], rate_hz: int) -> NDArray[np.float64]:
    """Samples of shape (n, channels) at a whole rate in hertz, brought to `SAMPLE_RATE`."""
    if rate_hz == SAMPLE_RATE:
        return np.asarray(samples, np.float64)
    common = math.gcd(rate_hz, SAMPLE_RATE)
    down, up = rate_hz // common, SAMPLE_RATE // common
    turns = quick_size(-(-(len(samples) + round(_APART_S * rate_hz)) // down))
    bins = min(down, up) * turns // 2 + 1
    share = np.arange(bins) / (min(down, up) * turns / 2)
    above = np.clip((share - PASSES_TO) / (1.0 - PASSES_TO), 0.0, 1.0)
    taper = (0.5 + 0.5 * np.cos(np.pi * above)) * (up / down)
    frames = -(-len(samples) * up // down)
    found = np.empty((frames, samples.shape[1]))
    for channel in range(samples.shape[1]):
        spectrum = np.fft.rfft(samples[:, channel], down * turns)[:bins] * taper
        found[:, channel] = np.fft.irfft(spectrum, up * turns)[:frames]
    return found
