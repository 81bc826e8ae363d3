"""The drone: a loop without a seam, in tune, soft, with a weak fundamental and a falling band."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from audio.format import SAMPLE_RATE
from audio.render import drone_loop
from audio.score import Drone
from tests.audio.meters import centroid_hz, cents_between, fft_pitch, high_band, k_weighted_lufs

# Just ratios to middle Sa of the first string an octave down: Pa 3/2, Ma 4/3, Ni 15/8.
FIRST = {"P": Fraction(3, 4), "m": Fraction(2, 3), "N": Fraction(15, 16)}
SA_HZ = (98.0, 138.591315, 155.0, 220.5, 330.0)
BOTH = pytest.mark.parametrize(
    ("first", "sa_hz"), [(first, sa_hz) for first in "PmN" for sa_hz in SA_HZ]
)


@BOTH
def test_the_loop_is_at_most_two_megabytes_and_long_enough_not_to_tire(first, sa_hz):
    loop = drone_loop(Drone(first), sa_hz=sa_hz)
    assert loop.dtype == np.float32
    assert loop.nbytes <= 2_000_000
    assert len(loop) > 8 * SAMPLE_RATE


@BOTH
def test_every_string_makes_whole_vibrations_and_is_in_tune(first, sa_hz):
    loop = drone_loop(Drone(first), sa_hz=sa_hz)
    magnitude = np.abs(np.fft.rfft(loop))
    for ratio in (FIRST[first], Fraction(1), Fraction(1, 2)):
        wanted = float(ratio) * sa_hz
        line = wanted * len(loop) / SAMPLE_RATE
        near = range(round(line) - 6, round(line) + 7)
        strongest = max(near, key=lambda at: magnitude[at])
        assert strongest == round(line)
        assert abs(cents_between(strongest * SAMPLE_RATE / len(loop), wanted)) < 0.002


@pytest.mark.parametrize("first", ["P", "m", "N"])
def test_the_strings_are_in_tune_by_the_spectrum_when_looped(first):
    loop = np.tile(drone_loop(Drone(first), sa_hz=138.6), 2)
    for ratio in (FIRST[first], Fraction(1), Fraction(1, 2)):
        wanted = float(ratio) * 138.6
        assert abs(cents_between(fft_pitch(loop, wanted), wanted)) < 0.05


@BOTH
def test_there_is_no_seam(first, sa_hz):
    loop = drone_loop(Drone(first), sa_hz=sa_hz)
    twice = np.tile(loop, 2)
    clicks = np.abs(high_band(twice, 14_000.0))
    seam = clicks[len(loop) - 300 : len(loop) + 300].max()
    assert seam < 10 ** (-100 / 20)
    step = np.abs(np.diff(twice))
    assert step[len(loop) - 1] <= step.max()


def test_it_lies_about_twelve_below_a_note():
    for first in "PmN":
        loop = drone_loop(Drone(first), sa_hz=138.6)
        assert k_weighted_lufs(np.tile(loop, 2), 2 * len(loop) / SAMPLE_RATE) == pytest.approx(
            -35.0, abs=0.2
        )


def test_its_level_can_be_set():
    softer = drone_loop(Drone("P", level_db=-6.0), sa_hz=138.6)
    plain = drone_loop(Drone("P"), sa_hz=138.6)
    assert np.allclose(softer, plain * 10 ** (-6 / 20), atol=1e-7)


def test_the_level_hardly_moves_over_the_loop():
    loop = np.tile(drone_loop(Drone(), sa_hz=138.6), 2)
    powers = [np.mean(part**2) for part in np.array_split(loop, 40)]
    assert 10 * np.log10(max(powers) / min(powers)) < 8


def line_levels_db(loop, hz, partials):
    magnitude = np.abs(np.fft.rfft(loop))
    at = np.round(hz * np.arange(1, partials + 1) * len(loop) / SAMPLE_RATE).astype(int)
    return 20 * np.log10(magnitude[at])


@BOTH
def test_the_fundamentals_are_weak(first, sa_hz):
    """Weak beside the strongest overtone, as of a tanpura (van Walstijn & Chatziioannou 2014)."""
    loop = drone_loop(Drone(first), sa_hz=sa_hz)
    for ratio in (FIRST[first], Fraction(1, 2)):
        levels = line_levels_db(loop, float(ratio) * sa_hz, 30)
        assert levels[0] < levels.max() - 6


def test_the_band_of_overtones_falls_after_every_pluck():
    loop = np.tile(drone_loop(Drone(), sa_hz=138.6), 2)
    frames = 4096
    centres = np.array(
        [centroid_hz(loop[at : at + frames]) for at in range(0, len(loop) - frames, frames)]
    )
    rises = np.count_nonzero(np.diff(centres) > 250)
    falls = np.count_nonzero(np.diff(centres) < 0)
    # Eight plucks in a loop, two loops; in between the sound only gets darker.
    assert 14 <= rises <= 40
    assert falls > 2 * rises
    assert centres.max() > 1.5 * centres.min()


def test_the_same_drone_is_the_same_and_cannot_be_changed_by_who_holds_it():
    loop = drone_loop(Drone(), sa_hz=138.6)
    with pytest.raises(ValueError, match="read-only"):
        loop[0] = 1.0
