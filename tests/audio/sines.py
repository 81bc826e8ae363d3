"""A stroke as a plain sum of float64 sines, one for each partial, to hold the voices against."""

from __future__ import annotations

import numpy as np

from audio.format import SAMPLE_RATE
from audio.render import render
from audio.score import Score, Stroke
from audio.voices.noise import NOISE_FRAMES
from audio.voices.path import PitchPath
from audio.voices.pluck import voice_of
from audio.voices.tables import STEP_FRAMES, row_before, row_step


def sum_of_sines(stroke: Stroke, *, sa_hz: float) -> np.ndarray:
    """The stroke until it is damped, without its noise, at 0 dB; shape (frames,)."""
    voice = voice_of(stroke)
    timbre = voice.timbre
    path = PitchPath(stroke.path, sa_hz=sa_hz)
    frames = round(stroke.duration_s * SAMPLE_RATE)
    steps = [row_step(row) for row in range(row_before(frames // STEP_FRAMES) + 2)]
    at_s = np.array(steps) * STEP_FRAMES / SAMPLE_RATE
    hz = path.hz(at_s)
    partials = timbre.partials(path.lowest_hz)
    amplitudes = timbre.amplitudes(hz, at_s, partials=partials, brightness=stroke.brightness)
    amplitudes = amplitudes * voice.levels.factors(hz, at_s, stroke.brightness, partials)
    highest_hz = path.highest_hz_around(at_s)[:, None] * np.arange(1, partials + 1)
    amplitudes[highest_hz > timbre.highest_hz] = 0
    pluck_hz = sa_hz * 2 ** (stroke.path[0][1] / 1200)
    start = timbre.phases(pluck_hz, partials=partials, brightness=stroke.brightness)
    times = np.arange(frames) / SAMPLE_RATE
    cycles = path.cycles(times)
    total = np.zeros(frames)
    for k in range(partials):
        amplitude = np.interp(times, at_s, amplitudes[:, k])
        total += amplitude * np.sin(2 * np.pi * (((k + 1) * cycles) % 1.0 + start[k]))
    return total


def beside_sines(stroke: Stroke, *, sa_hz: float) -> tuple[float, float]:
    """Signal to noise, and the worst line that should not be there, both in decibels beside the
    stroke; from when its noise is over until it is damped."""
    wanted = sum_of_sines(stroke, sa_hz=sa_hz)[NOISE_FRAMES:]
    off = render(Score(sa_hz, (stroke,)))[NOISE_FRAMES:][: len(wanted)] - wanted
    window = np.hanning(len(off))
    worst, loudest = (np.abs(np.fft.rfft(part * window)).max() for part in (off, wanted))
    return (
        float(10 * np.log10(np.sum(wanted**2) / np.sum(off**2))),
        float(20 * np.log10(worst / loudest)),
    )
