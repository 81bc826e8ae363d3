"""Loudness: the meter itself, and every note equally loud whatever it is."""

from __future__ import annotations

import numpy as np
import pyloudnorm
import pytest
import scipy.signal

from audio.format import SAMPLE_RATE
from audio.loudness import (
    NOTE_LUFS,
    NOTE_WINDOW_S,
    integrated_lufs,
    k_power,
    loudness_lufs,
    mean_power,
    true_peak_dbtp,
)
from audio.render import render
from audio.score import Score, Stroke
from tests.audio.meters import k_weighted_lufs, midi_hz, one_note, peak_dbtp, sinusoid

# ITU-R BS.1770-5, tables 1 and 2: filter coefficients for 48 kHz.
SHELF = (
    [1.53512485958697, -2.69169618940638, 1.19839281085285],
    [1.0, -1.69065929318241, 0.73248077421585],
)
HIGH_PASS = ([1.0, -2.0, 1.0], [1.0, -1.99004745483398, 0.99007225036621])


def test_k_weighting_is_that_of_the_published_biquads():
    hz = np.geomspace(20, 20_000, 200)
    power = np.ones(200)
    for numerator, denominator in (SHELF, HIGH_PASS):
        _, response = scipy.signal.freqz(numerator, denominator, worN=hz, fs=48_000)
        power *= np.abs(response) ** 2
    assert np.abs(10 * np.log10(k_power(hz) / power)).max() < 1e-9


def test_a_full_sine_at_997_hz_has_the_published_loudness():
    # ITU-R BS.1770-5, annex 1: a 0 dBFS sine of 997 Hz in one channel reads -3.01 LKFS.
    assert loudness_lufs(sinusoid(997.0, 5.0) / 0.3) == pytest.approx(-3.01, abs=0.01)


@pytest.mark.parametrize("hz", [60.0, 440.0, 5000.0])
def test_the_meter_agrees_with_an_independent_one(hz):
    sound = sinusoid(hz)
    assert loudness_lufs(sound) == pytest.approx(k_weighted_lufs(sound, 2.0), abs=0.02)


@pytest.mark.parametrize(
    ("levels", "rate_hz"),
    [
        ((1.0,), 44_100),
        ((1.0, 0.1, 0.02, 1e-5, 0.3), 44_100),  # some of it below either gate
        ((0.0, 0.5, 0.0, 0.0, 0.6, 0.05), 48_000),
        ((1e-6, 1.0), 44_100),
    ],
)
def test_the_gated_meter_agrees_with_pyloudnorm(levels, rate_hz):
    noise = np.random.default_rng(4).normal(0, 0.1, (len(levels), 2 * rate_hz))
    sound = (noise * np.array(levels)[:, None]).ravel()
    theirs = pyloudnorm.Meter(rate_hz, filter_class="DeMan").integrated_loudness(sound)
    assert integrated_lufs(sound, rate=rate_hz) == pytest.approx(theirs, abs=0.05)


def test_the_gated_meter_gives_numbers_for_next_to_nothing():
    assert integrated_lufs(np.zeros(0)) == integrated_lufs(np.zeros(99_999)) == -120.0
    short, padded = sinusoid(440.0, 0.1), np.zeros(SAMPLE_RATE * 4 // 10)
    padded[: len(short)] = short
    assert integrated_lufs(short) == pytest.approx(loudness_lufs(padded), abs=0.1)


def test_what_a_short_sound_leaves_of_the_window_counts_as_silence():
    sound = sinusoid(440.0, 0.6)
    whole = loudness_lufs(sound)
    assert loudness_lufs(sound, window_s=1.2) == pytest.approx(whole - 3.01, abs=0.01)


def test_power_and_loudness_are_two_ways_to_say_one_thing():
    assert 10 * np.log10(mean_power(-23.0)) - 0.691 == pytest.approx(-23.0)


def test_silence_has_a_loudness_and_a_peak_that_are_numbers():
    assert loudness_lufs(np.zeros(1000)) == -120.0
    assert true_peak_dbtp(np.zeros(1000)) == -120.0
    assert true_peak_dbtp(np.zeros(0)) == -120.0


def test_the_true_peak_is_found_between_samples():
    # A quarter of the rate, an eighth of a turn off: samples reach 0.707 of the peak (from memory).
    sound = np.sin(2 * np.pi * (0.25 * np.arange(4800) + 0.125)) * np.hanning(4800)
    assert 20 * np.log10(np.abs(sound).max()) == pytest.approx(-3.01, abs=0.01)
    assert true_peak_dbtp(sound) == pytest.approx(0.0, abs=0.01)


def test_the_true_peak_agrees_with_an_independent_one_on_a_note():
    sound = render(one_note(57, 1.0))
    assert true_peak_dbtp(sound) == pytest.approx(peak_dbtp(sound), abs=0.1)


def note_lufs(score):
    """Independent measure over the note's window."""
    sound = np.pad(render(score), (0, SAMPLE_RATE))
    return k_weighted_lufs(sound, NOTE_WINDOW_S)


@pytest.mark.parametrize("midi", range(43, 85))
def test_every_pitch_is_equally_loud(midi):
    assert note_lufs(one_note(midi, 1.5)) == pytest.approx(NOTE_LUFS, abs=0.1)


@pytest.mark.parametrize("midi", [43.3, 55.7, 67.2, 78.9])
@pytest.mark.parametrize("brightness", [-1.0, -0.6, 0.13, 1.0])
def test_brightness_does_not_change_the_loudness(midi, brightness):
    score = one_note(midi, 1.5, brightness=brightness)
    assert note_lufs(score) == pytest.approx(NOTE_LUFS, abs=0.1)


@pytest.mark.parametrize("level_db", [-2.0, 1.5])
def test_a_stroke_is_as_much_louder_as_it_asks(level_db):
    score = one_note(60, 1.5, level_db=level_db)
    assert note_lufs(score) == pytest.approx(NOTE_LUFS + level_db, abs=0.1)


def test_how_long_a_note_rings_after_the_window_does_not_change_its_loudness():
    heard = [note_lufs(one_note(60, duration_s)) for duration_s in (1.25, 2.0, 4.0)]
    assert np.ptp(heard) < 0.05


def test_a_short_note_is_the_beginning_of_a_long_one_and_no_louder():
    noise_end = round(0.3 * SAMPLE_RATE)
    short, long = render(one_note(60, 0.5)), render(one_note(60, 2.0))
    assert np.array_equal(short[noise_end : SAMPLE_RATE // 2], long[noise_end : SAMPLE_RATE // 2])


@pytest.mark.parametrize("cents", [-500.0, 700.0])
def test_a_meend_is_about_as_loud_as_a_steady_note(cents):
    path = ((0.0, 0.0), (0.2, 0.0), (0.5, cents))
    score = Score(midi_hz(60), (Stroke(0.0, 1.5, path),))
    assert note_lufs(score) == pytest.approx(NOTE_LUFS, abs=1.0)
