"""Fast bends on one stroke: hammered, pulled, slid, shaken, without a break or a new onset."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy.signal

from audio.format import SAMPLE_RATE
from audio.render import blocks, render
from audio.score import Score, Stroke
from audio.voices.path import PitchPath
from tests.audio.meters import cents_between, high_band, lock_in, midi_hz, praat_pitch
from tests.audio.sines import beside_sines

TOUCH_S = 0.008
NOISE_END = round(0.3 * SAMPLE_RATE)


def touched(*cents, first_s=0.35, every_s=0.12):
    """A path that steps from each of `cents` to the next as a finger makes it step."""
    path, at_s = [(0.0, float(cents[0]))], first_s
    for value in cents[1:]:
        path += [(at_s, path[-1][1]), (at_s + TOUCH_S, float(value))]
        at_s += every_s
    return tuple(path)


def gamak_path(cents=200.0, rate_hz=5.5, length_s=1.4):
    times = np.arange(0.0, length_s, 1 / rate_hz / 24)
    return tuple((t, -0.5 * cents * (1 + math.cos(2 * math.pi * rate_hz * t))) for t in times)


GHASEET = (
    (0.0, 0.0),
    *((0.3 + 0.045 * i + s, 100.0 * (i + (s > 0))) for i in range(12) for s in (0.0, 0.009)),
)
PATHS = {
    "sparsh": touched(0, 400),
    "krintan": touched(500, 300, 0),
    "zamzama": touched(*[0, 200] * 6, every_s=0.071),
    "gamak": gamak_path(),
    "ghaseet": GHASEET,
}
every_path = pytest.mark.parametrize("path", PATHS.values(), ids=PATHS)


def one_stroke(midi, path, duration_s=1.3, **more):
    return Score(midi_hz(midi), (Stroke(0.0, duration_s, path, **more),))


@every_path
@pytest.mark.parametrize("midi", [43, 56, 73])
def test_a_bent_stroke_sounds_as_if_every_partial_were_a_sine_of_its_own(path, midi):
    stroke = Stroke(0.0, 1.2, path)
    signal_to_noise_db, worst_spur_db = beside_sines(stroke, sa_hz=midi_hz(midi))
    assert signal_to_noise_db > 80
    assert worst_spur_db < -90


@every_path
@pytest.mark.parametrize("partial", [1, 3])
def test_no_partial_leaves_its_phase_while_the_pitch_steps(path, partial):
    score = one_stroke(61, path)
    sound = render(score)[: round(1.3 * SAMPLE_RATE)]
    times = np.arange(len(sound)) / SAMPLE_RATE
    cycles = PitchPath(path, sa_hz=score.sa_hz).cycles(times)
    inner = slice(round(0.06 * SAMPLE_RATE), -round(0.06 * SAMPLE_RATE))
    phase = lock_in(sound, cycles, partial)[inner]
    assert np.ptp(phase) < 0.02


def energy_db(sound):
    """Energy over 30 ms without what the body hardly radiates."""
    sos = scipy.signal.butter(2, 100.0, "highpass", fs=SAMPLE_RATE, output="sos")
    window = np.hanning(round(0.03 * SAMPLE_RATE))
    power = scipy.signal.sosfilt(sos, np.asarray(sound, np.float64)) ** 2
    return 10 * np.log10(scipy.signal.fftconvolve(power, window, mode="same") + 1e-12)


def largest_rise_db(score):
    """By how much the energy, at its most, comes back after it had fallen."""
    energy = energy_db(render(score))[round(0.05 * SAMPLE_RATE) : round(1.25 * SAMPLE_RATE)]
    return float((energy - np.minimum.accumulate(energy)).max())


@every_path
@pytest.mark.parametrize("midi", [49, 56, 64, 73])
def test_nothing_but_the_pluck_begins_a_note(path, midi):
    # A still note swells a little, too, while the bridge feeds its overtones.
    still = largest_rise_db(one_stroke(midi, path[:1]))
    assert largest_rise_db(one_stroke(midi, path)) < still + 0.5


@pytest.mark.parametrize("first_s", [0.06, 0.3, 0.9])
@pytest.mark.parametrize("cents", [100, 500])
def test_a_note_hammered_on_is_no_louder_than_what_it_is_hammered_on(first_s, cents):
    def change_db(midi, path):
        energy = energy_db(render(one_stroke(midi, path)))
        before, after = (round((first_s + by_s) * SAMPLE_RATE) for by_s in (-0.02, 0.028))
        return energy[after] - energy[before]

    for midi in (50, 57, 62, 69):
        hammered = change_db(midi, touched(0, cents, first_s=first_s))
        assert hammered < 1.5
        assert hammered < change_db(midi, ((0.0, 0.0),)) + 0.7


@every_path
def test_a_step_does_not_click_and_folds_nothing_over(path):
    for midi in (50, 66, 81):
        sound = np.pad(render(one_stroke(midi, path)), 4096)
        above = np.abs(high_band(sound, 18_500.0))[4096 + NOISE_END :]
        assert above.max() < 10 ** (-85 / 20)


@pytest.mark.parametrize("block_frames", [333, 4096])
def test_blocks_of_a_shaken_stroke_are_the_whole_bit_for_bit(block_frames):
    score = one_stroke(43, PATHS["zamzama"], 0.9)
    joined = np.concatenate(list(blocks(score, block_frames=block_frames)))
    assert np.array_equal(joined, render(score))


def test_a_path_may_turn_at_every_frame_and_at_the_edges_of_steps():
    step_s = 64 / SAMPLE_RATE
    for times in (np.arange(1, 900) / SAMPLE_RATE, np.arange(1, 40) * step_s):
        path = ((0.0, 0.0), *((t, 60.0 * (i % 2)) for i, t in enumerate(times)))
        stroke = Stroke(0.0, 0.5, path)
        assert beside_sines(stroke, sa_hz=180.0)[0] > 80
        joined = np.concatenate(list(blocks(Score(180.0, (stroke,)), block_frames=101)))
        assert np.array_equal(joined, render(Score(180.0, (stroke,))))


@pytest.mark.parametrize("semitones", [1, 2, 3, 4, 5])
@pytest.mark.parametrize("midi", [49, 57])
def test_a_meend_of_any_span_keeps_to_its_path(semitones, midi):
    span = 100.0 * semitones
    path = ((0.0, 0.0), (0.3, 0.0), (0.55, span), (0.9, span), (1.15, 0.0))
    score = one_stroke(midi, path, 1.6)
    sound = render(score)[: round(1.6 * SAMPLE_RATE)]
    pitch = PitchPath(path, sa_hz=score.sa_hz)
    times = np.arange(len(sound)) / SAMPLE_RATE
    inner = slice(round(0.06 * SAMPLE_RATE), -round(0.06 * SAMPLE_RATE))
    off_hz = np.gradient(lock_in(sound, pitch.cycles(times)))[inner] * SAMPLE_RATE
    hz = pitch.hz(times)[inner]
    assert np.abs(cents_between(hz + off_hz, hz)).max() < 1.0

    at_s, heard = praat_pitch(sound, score.sa_hz * 2 ** (semitones / 24))
    # Praat hears a mean over its window, so corners of the path are left out.
    corners = np.array([time for time, _ in path])
    clear = (np.abs(at_s[:, None] - corners).min(axis=1) > 0.04) & (at_s > 0.1) & (at_s < 1.5)
    assert np.count_nonzero(clear) > 60
    assert np.percentile(np.abs(cents_between(heard[clear], pitch.hz(at_s[clear]))), 95) < 2.0
