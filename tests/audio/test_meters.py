"""The meters of a moving pitch and of strokes, on sounds made here of sines and noise."""

from __future__ import annotations

import numpy as np
import pytest

from audio.format import SAMPLE_RATE
from tests.audio.meters import cents_between, level_db, onsets_s, pitch_curve, runs, swing

PITCHES_HZ = (98.0, 200.0, 590.0)
INNER = slice(round(0.02 * SAMPLE_RATE), -round(0.02 * SAMPLE_RATE))
SEMITONES = tuple(100.0 * step for step in range(-12, 25))


def partials(hz, count=16):
    """A fading tone of harmonic partials whose frequency is given frame by frame; its phase is
    the plain running sum."""
    cycles = np.cumsum(hz) / SAMPLE_RATE
    fading = np.exp(-np.arange(len(hz)) / SAMPLE_RATE / 0.5)
    return 0.2 * fading * sum(np.sin(2 * np.pi * n * cycles) / n for n in range(1, count + 1))


def curve(points, duration_s):
    """Cents, frame by frame, in straight lines from point to point."""
    times, cents = zip(*points, strict=True)
    return np.interp(np.arange(round(duration_s * SAMPLE_RATE)) / SAMPLE_RATE, times, cents)


def heard(cents, low_hz):
    span = 2 ** (np.ptp(cents) / 1200)
    tone = partials(low_hz * 2 ** ((cents - cents.min()) / 1200))
    found = cents_between(pitch_curve(tone, low_hz, low_hz * span), low_hz) + cents.min()
    return np.asarray(found)


@pytest.mark.parametrize("low_hz", PITCHES_HZ)
def test_the_curve_follows_a_glide(low_hz):
    asked = curve([(0.0, 0.0), (0.3, 0.0), (0.6, 500.0), (1.0, 500.0), (1.1, 300.0)], 1.4)
    error = np.abs(heard(asked, low_hz) - asked)[INNER]
    assert np.median(error) < 0.1
    assert error.max() < 12.0  # at the corners


@pytest.mark.parametrize("low_hz", PITCHES_HZ)
@pytest.mark.parametrize(
    ("rate_hz", "depth"), [(0.7, 30.0), (1.6, 70.0), (5.5, 200.0), (8.0, 350.0)]
)
def test_a_swing_is_measured(low_hz, rate_hz, depth):
    times = np.arange(3 * SAMPLE_RATE) / SAMPLE_RATE
    found = swing(heard(40.0 - depth / 2 * np.cos(2 * np.pi * rate_hz * times), low_hz)[INNER])
    assert found.rate_hz == pytest.approx(rate_hz, rel=0.002)
    assert found.depth_cents == pytest.approx(depth, abs=0.5, rel=0.01)
    assert found.mean_cents == pytest.approx(40.0, abs=0.5)


@pytest.mark.parametrize("low_hz", PITCHES_HZ)
@pytest.mark.parametrize("each_s", [0.025, 0.045, 0.09])
def test_steps_are_found_in_order_and_each_as_long_as_it_is(low_hz, each_s):
    points = [(0.0, 0.0)]
    for step in range(5):
        at = 0.2 + each_s * step
        points += [(at - 0.004, 100.0 * step), (at + 0.004, 100.0 * (step + 1))]
    found = runs(heard(curve(points, 1.0), low_hz), SEMITONES)
    inner = [run for run in found if 0.1 < run[1] < 0.95]
    assert [pitch for pitch, _, _ in inner] == [100.0, 200.0, 300.0, 400.0, 500.0]
    for _, _, length_s in inner[:-1]:
        assert length_s == pytest.approx(each_s, abs=0.0025)


def pluck(begins_s, duration_s, seed):
    """A tone with a scratch of noise that dies in a few hundredths of a second."""
    sound = np.zeros(round(duration_s * SAMPLE_RATE))
    start = round(begins_s * SAMPLE_RATE)
    noise = np.random.default_rng(seed).normal(size=len(sound) - start)
    noise *= 0.01 * np.exp(-np.arange(len(noise)) / SAMPLE_RATE / 0.012)
    sound[start:] = noise + partials(np.full(len(noise), 150.0))
    return sound


@pytest.mark.parametrize("apart_s", [0.04, 0.0625, 0.25])
def test_each_pluck_is_counted_at_its_time(apart_s):
    times = [0.1 + apart_s * index for index in range(6)]
    sound = sum(pluck(at, 2.0, seed) for seed, at in enumerate(times))
    assert onsets_s(sound) == pytest.approx(times, abs=0.001)


def test_a_leap_of_pitch_is_no_stroke_and_a_broken_phase_is():
    steps = curve([(0.0, 0.0), (0.5, 0.0), (0.508, 700.0), (0.9, 700.0), (0.908, 0.0)], 1.5)
    scratch = pluck(0.0, 1.5, 1)
    turned = 150.0 * 2 ** (steps / 1200)
    assert len(onsets_s(scratch + partials(turned))) == 1
    sound = scratch + partials(turned)
    broken = np.concatenate([sound[:30_000], 0.5 * sound[30_040:]])
    # A click is shorter than the meter's window, so its time is that less sharp.
    assert np.abs(onsets_s(broken) - 30_000 / SAMPLE_RATE).min() < 0.004


def test_the_level_is_that_of_a_sinusoid():
    tone = np.sin(2 * np.pi * 441.0 * np.arange(SAMPLE_RATE) / SAMPLE_RATE)
    assert level_db(tone, 0.25, 0.75) == pytest.approx(-3.0103, abs=1e-3)
