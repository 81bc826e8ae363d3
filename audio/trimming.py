"""Where in a recording the sound is, and soft edges for it.

Samples have shape (n, channels). Levels are those of pieces of 1 ms, beside the loudest 10 ms, and
from where the 20 ms on the silent side of them rest: an offset is no sound, even if it moves.
Noise of a room that goes before or after counts as silence too, within bounds: what is softer than
the sound by 35 dB at the beginning, where the attack tells, and by 45 dB while it dies away.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

BEFORE_S = 0.004
"""What is kept before the onset, to fade in."""
AFTER_S = 0.02
FADE_IN_S, SHORTEST_FADE_IN_S = 0.003, 0.001
"""The shorter where the recording begins with its sound."""
FADE_OUT_S = 0.01

_PIECE_S = 0.001
_RESTS = 20
"""Pieces over which the place of rest is taken."""
_AT_ONCE = 1_000
"""Pieces: all at once would take several times the memory of the recording."""
_NOISE_S = 0.1
_OVER_NOISE = 4.0
_SILENCE = 10.0**-5.5
_NOISIEST_BEFORE, _NOISIEST_AFTER = 10.0**-3.5, 10.0**-4.5
_SURELY_SOUND = 0.01


def sounding(samples: NDArray[Any], rate_hz: int) -> tuple[int, int, int]:
    """Where to begin, where the onset is, and where to end; all 0 if there is nothing at all."""
    step = max(1, round(_PIECE_S * rate_hz))
    count = len(samples) // step
    means, squares = np.empty((2, count, samples.shape[1]))
    for first in range(0, count, _AT_ONCE):
        some = slice(first, min(first + _AT_ONCE, count))
        pieces = np.asarray(samples[some.start * step : some.stop * step], np.float64)
        pieces = pieces.reshape(some.stop - first, step, -1)
        means[some], squares[some] = pieces.mean(axis=1), np.square(pieces).mean(axis=1)
    power = _power(means, squares)
    loudest = float(_averages(power, 10).max(initial=0.0))
    if not loudest:
        return 0, 0, 0
    onset = _first(power / loudest, _NOISIEST_BEFORE) * step
    backwards = _power(means[::-1], squares[::-1]) / loudest
    ends = (count - _first(backwards, _NOISIEST_AFTER)) * step
    start = max(0, onset - round(BEFORE_S * rate_hz))
    return start, onset, min(len(samples), ends + round(AFTER_S * rate_hz))


def with_soft_edges(
    samples: NDArray[np.float64], rate_hz: int, *, before_s: float
) -> NDArray[np.float64]:
    """The same, faded in over what goes `before_s` the onset, and out at its end."""
    softened = samples.copy()
    fade_in_s = max(SHORTEST_FADE_IN_S, min(FADE_IN_S, before_s))
    rise = _rise(min(round(fade_in_s * rate_hz), len(samples)))
    softened[: len(rise)] *= rise
    fall = _rise(min(round(FADE_OUT_S * rate_hz), len(samples)))[::-1]
    softened[len(samples) - len(fall) :] *= fall
    return softened


def _power(means: NDArray[np.float64], squares: NDArray[np.float64]) -> NDArray[np.float64]:
    """Of each piece about the mean of those before it; both are of shape (pieces, channels)."""
    rest = means[:1].copy()
    if len(means) > 1:
        before = np.concatenate([np.repeat(rest, _RESTS - 1, axis=0), means[:-1]])
        rest = np.concatenate([rest, np.apply_along_axis(_averages, 0, before, _RESTS)])
    deviations = squares - 2.0 * means * rest + rest**2
    return np.asarray(np.maximum(deviations.mean(axis=1), 0.0))


def _first(power: NDArray[np.float64], noisiest: float) -> int:
    """The first piece that is no silence."""
    before = power[: int(np.argmax(power >= _SURELY_SOUND))]
    pieces = round(_NOISE_S / _PIECE_S)
    noise = float(_averages(before, pieces).min()) if len(before) >= pieces else 0.0
    threshold = min(max(_OVER_NOISE * noise, _SILENCE), noisiest)
    return int(np.argmax(power > threshold))


def _averages(power: NDArray[np.float64], pieces: int) -> NDArray[np.float64]:
    """Means of so many pieces in a row, or of all where there are fewer."""
    pieces = min(pieces, len(power))
    summed = np.concatenate([[0.0], np.cumsum(power)])
    return np.asarray((summed[pieces:] - summed[: len(summed) - pieces]) / max(1, pieces))


def _rise(frames: int) -> NDArray[np.float64]:
    return np.asarray(0.5 - 0.5 * np.cos(np.pi * (np.arange(frames) + 0.5) / max(1, frames)))[
        :, None
    ]
