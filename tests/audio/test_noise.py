"""The noise of the mizrab: the same for whatever note is struck."""

from __future__ import annotations

import numpy as np
import pytest

from audio.score import Stroke
from audio.voices.noise import NOISE_LUFS, mizrab_noise
from tests.audio.meters import k_weighted_lufs

DA, RA = 0.12, -0.28
"""Brightness of an in-stroke and of an out-stroke."""


def noise_lufs(cents, brightness, onset_s=0.0):
    noise = mizrab_noise(Stroke(onset_s, 0.5, ((0.0, cents),), brightness=brightness))
    return k_weighted_lufs(np.pad(noise, (0, 40_000)), 1.2)


@pytest.mark.parametrize("cents", [-500.0, 0.0, 204.0, 702.0, 1200.0])
def test_its_loudness_tells_neither_the_pitch_nor_the_way_of_the_stroke(cents):
    # Each stroke has a piece of its own, and pieces differ by a decibel; no pitch has louder ones.
    for brightness in (DA, RA):
        heard = [noise_lufs(cents, brightness, 0.1 * i) for i in range(40)]
        assert np.mean(heard) == pytest.approx(NOISE_LUFS, abs=0.3)
        assert np.ptp(heard) < 3.0


def test_two_strokes_hardly_ever_have_the_same_noise():
    noises = {mizrab_noise(Stroke(0.01 * i, 0.5, ((0.0, 0.0),)))[:50].tobytes() for i in range(60)}
    assert len(noises) > 55
