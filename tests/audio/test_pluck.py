"""The plucked voice: its pitch, its bends, its timbre, its beginning and its end."""

from __future__ import annotations

import numpy as np
import pytest

from audio.errors import AudioError
from audio.format import SAMPLE_RATE
from audio.render import render
from audio.score import Score, Stroke
from audio.voices.path import PitchPath
from audio.voices.pluck import RELEASE_FRAMES, voice_of
from tests.audio.meters import (
    centroid_hz,
    cents_between,
    fft_pitch,
    high_band,
    lock_in,
    midi_hz,
    one_note,
    praat_pitch,
    sinusoid,
)
from tests.audio.sines import beside_sines

PITCHES = (43, 50, 57, 64, 69, 74, 79, 84)
MEEND = ((0.0, 0.0), (0.3, 0.0), (0.55, 500.0), (0.9, 500.0), (1.3, -100.0), (1.8, -100.0))
KRINTAN = ((0.0, 400.0), (0.2, 400.0), (0.205, 200.0), (0.35, 200.0), (0.355, 0.0), (0.5, 0.0))
GAMAK = tuple((0.06 * i, 150.0 * (i % 2)) for i in range(20))


def stroke_of(path, duration_s=1.6, **more):
    return Stroke(0.0, duration_s, path, **more)


def settled(midi):
    return render(one_note(midi))[int(0.35 * SAMPLE_RATE) : int(2.4 * SAMPLE_RATE)]


@pytest.mark.parametrize("midi", PITCHES)
def test_the_meters_hear_a_sinusoid_right(midi):
    hz = midi_hz(midi)
    assert abs(cents_between(fft_pitch(sinusoid(hz), hz), hz)) < 0.005
    assert abs(cents_between(np.median(praat_pitch(sinusoid(hz), hz)[1]), hz)) < 0.01


@pytest.mark.parametrize("midi", range(43, 85))
def test_a_steady_note_is_in_tune_by_the_spectrum(midi):
    hz = midi_hz(midi)
    assert abs(cents_between(fft_pitch(settled(midi), hz), hz)) < 0.05


@pytest.mark.parametrize("midi", range(43, 85))
def test_a_steady_note_is_in_tune_by_praat(midi):
    hz = midi_hz(midi)
    _, heard = praat_pitch(settled(midi), hz)
    assert len(heard) > 100
    assert abs(cents_between(np.median(heard), hz)) < 0.1


@pytest.mark.parametrize("sa_hz", [147.0, 294.0, 587.0])
@pytest.mark.parametrize("path", [MEEND, GAMAK], ids=["meend", "gamak"])
def test_a_bend_keeps_to_its_path_and_its_phase_never_breaks(sa_hz, path):
    sound = render(Score(sa_hz, (stroke_of(path),)))[: int(1.6 * SAMPLE_RATE)]
    times = np.arange(len(sound)) / SAMPLE_RATE
    pitch = PitchPath(path, sa_hz=sa_hz)
    inner = slice(int(0.06 * SAMPLE_RATE), -int(0.06 * SAMPLE_RATE))
    phase = lock_in(sound, pitch.cycles(times))[inner]
    # Within a fiftieth of a vibration of one phase from the pluck to the damping.
    assert np.ptp(phase) < 0.02
    off_hz = np.gradient(phase) * SAMPLE_RATE
    hz = pitch.hz(times)[inner]
    assert np.abs(cents_between(hz + off_hz, hz)).max() < 1.0


def test_a_meend_is_heard_by_praat_as_written():
    pitch = PitchPath(MEEND, sa_hz=220.0)
    times, heard = praat_pitch(render(Score(220.0, (stroke_of(MEEND),)))[:70_000], 240.0)
    # Praat hears a mean over its window, so corners of the path are left out.
    corners = np.array([time for time, _ in MEEND])
    clear = (np.abs(times[:, None] - corners).min(axis=1) > 0.03) & (times > 0.1) & (times < 1.5)
    error = np.abs(cents_between(heard[clear], pitch.hz(times[clear])))
    assert np.count_nonzero(clear) > 80
    assert np.percentile(error, 95) < 2.0


def test_the_phase_of_a_path_is_the_integral_of_its_pitch():
    path = PitchPath((*MEEND, (2.0, 1234.5)), sa_hz=311.1)
    times = np.linspace(0.0, 2.4, 2_400_001)
    hz = path.hz(times)
    summed = np.concatenate([[0.0], np.cumsum((hz[1:] + hz[:-1]) / 2) * (times[1] - times[0])])
    assert np.abs(path.cycles(times) - summed).max() < 1e-6


def test_the_highest_pitch_near_a_time_sees_turns_between_times():
    path = PitchPath(((0.0, 0.0), (0.5, 1200.0), (1.0, 0.0)), sa_hz=100.0)
    highest = path.highest_hz_around(np.array([0.0, 0.4, 0.6, 1.0, 1.4]))
    assert highest == pytest.approx([100 * 2**0.8, 200.0, 200.0, 100 * 2**0.8, 100.0])


@pytest.mark.parametrize("midi", [43, 57, 74])
def test_the_sound_gets_darker_while_it_decays(midi):
    sound = render(one_note(midi))
    moments = [sound[int(at * SAMPLE_RATE) :][:8192] for at in (0.1, 0.5, 1.0, 1.8)]
    centroids = [centroid_hz(moment) for moment in moments]
    assert centroids == sorted(centroids, reverse=True)
    assert centroids[-1] < centroids[0] / 1.5


def partial_levels_db(sound, hz, at_s, partials, frames=4096):
    start = int(at_s * SAMPLE_RATE)
    times = np.arange(start, start + frames) / SAMPLE_RATE
    windowed = sound[start : start + frames] * np.hanning(frames)
    turned = np.exp(-2j * np.pi * hz * np.outer(partials, times)) @ windowed
    return 20 * np.log10(np.abs(turned) + 1e-12)


def test_a_band_of_overtones_falls_in_frequency():
    hz = midi_hz(50)
    sound = render(one_note(50))
    partials = np.arange(5, 60)
    strongest = []
    for at_s in (0.1, 0.5, 0.9, 1.4):
        power = 10 ** (partial_levels_db(sound, hz, at_s, partials) / 10)
        strongest.append(hz * np.sum(power * partials) / np.sum(power))
    assert strongest == sorted(strongest, reverse=True)
    assert strongest[0] > 2.0 * strongest[-1]


def test_some_upper_partials_die_and_revive():
    sound = render(one_note(50, 2.8))
    partials = np.arange(6, 24)
    levels = np.array(
        [
            partial_levels_db(sound, midi_hz(50), at_s, partials)
            for at_s in np.arange(0.1, 2.4, 0.05)
        ]
    )
    fallen = np.minimum.accumulate(levels, axis=0)
    assert np.count_nonzero((levels - fallen).max(axis=0) > 3.0) >= 4


def test_brightness_changes_the_timbre():
    dull, plain, bright = (
        centroid_hz(render(one_note(57, 0.5, brightness=value))[:8192]) for value in (-1, 0, 1)
    )
    assert dull < 0.9 * plain < plain < 0.9 * bright


@pytest.mark.parametrize("midi", [43, 60, 84])
def test_the_attack_is_short_and_starts_from_rest(midi):
    sound = np.abs(render(one_note(midi, 0.5)))
    assert sound[0] < 0.003
    early = sound[: int(0.025 * SAMPLE_RATE)]
    assert early[: int(0.004 * SAMPLE_RATE)].max() > 0.4 * early.max()


def test_the_pluck_is_heard_as_a_short_noise():
    sound = render(one_note(69, 1.0))
    # Between partials, away from any, only noise can be.
    between = midi_hz(69) * (np.arange(3, 12) + 0.5)
    start, later = (
        np.median(partial_levels_db(sound, 1.0, at_s, between, 2048)) for at_s in (0.002, 0.5)
    )
    assert start > later + 40


@pytest.mark.parametrize("midi", [45, 62, 81])
@pytest.mark.parametrize("duration_s", [0.1, 0.4567, 1.3])
def test_the_end_of_a_note_does_not_click(midi, duration_s):
    sound = render(one_note(midi, duration_s))
    padded = np.pad(sound, 4096)
    clicks = np.abs(high_band(padded, 18_000.0))
    damping = 4096 + len(sound) - RELEASE_FRAMES - 200
    assert clicks[damping:].max() < 10 ** (-80 / 20)


def test_a_note_is_damped_to_silence_where_its_duration_says():
    longer, shorter = render(one_note(60, 1.0)), render(one_note(60, 0.5))
    touched = round(0.5 * SAMPLE_RATE)
    assert np.array_equal(np.abs(shorter[NOISE_END:touched]), np.abs(longer[NOISE_END:touched]))
    assert len(shorter) == touched + RELEASE_FRAMES
    assert np.abs(shorter[-20:]).max() < 1e-4
    assert np.abs(shorter[touched:]).sum() < 0.6 * np.abs(longer[touched:][:RELEASE_FRAMES]).sum()


NOISE_END = round(0.3 * SAMPLE_RATE)


@pytest.mark.parametrize("midi", [43, 57, 69, 84])
@pytest.mark.parametrize(
    "path", [((0.0, 0.0),), ((0.0, 0.0), (0.3, 0.0), (0.8, 500.0))], ids=["steady", "meend"]
)
def test_it_sounds_as_if_every_partial_were_a_sine_of_its_own(midi, path):
    signal_to_noise_db, worst_spur_db = beside_sines(stroke_of(path, 1.2), sa_hz=midi_hz(midi))
    assert signal_to_noise_db > 80
    assert worst_spur_db < -90


@pytest.mark.parametrize("midi", [44, 53, 57, 69])
def test_a_bright_stroke_does_too(midi):
    stroke = stroke_of(((0.0, 0.0),), 0.8, brightness=1.0)
    signal_to_noise_db, worst_spur_db = beside_sines(stroke, sa_hz=midi_hz(midi))
    assert signal_to_noise_db > 80
    assert worst_spur_db < -90


def test_a_steep_bend_to_a_high_note_folds_nothing_over():
    path = ((0.0, 0.0), (0.3, 0.0), (0.32, 2400.0), (0.6, 2400.0), (0.62, 0.0))
    sound = render(Score(110.0, (stroke_of(path, 1.0),)))
    later = np.abs(high_band(sound, 19_000.0))[NOISE_END : round(1.0 * SAMPLE_RATE)]
    assert later.max() < 10 ** (-75 / 20)


def test_the_same_stroke_sounds_the_same_and_another_has_other_noise():
    first, again = render(one_note(60, 0.3)), render(one_note(60, 0.3))
    later = Score(midi_hz(60), (Stroke(0.5, 0.3, ((0.0, 0.0),)),))
    other = render(later)[round(0.5 * SAMPLE_RATE) :]
    assert np.array_equal(first, again)
    assert not np.array_equal(first, other)
    # Apart from the noise they are one.
    assert np.abs(first - other)[NOISE_END:].max() < 1e-6


def test_a_voice_that_is_not_there_is_named_with_those_that_are():
    with pytest.raises(AudioError, match=r"'sarod'.*there are: chikari, sitar, string, tarab"):
        voice_of(Stroke(0.0, 1.0, ((0.0, 0.0),), voice="sarod"))
