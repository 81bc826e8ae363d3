"""Room for peaks: what a stroke may reach, and that no mix passes the limit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from audio.format import SAMPLE_RATE
from audio.headroom import DRONE_PEAK_DBTP, safe_gain
from audio.render import drone_loop, render
from audio.score import Drone, Score, Stroke
from audio.voices.pluck import VOICES
from tests.audio.meters import midi_hz, one_note, peak_dbtp

LIMIT_DBTP = -1.0  # EBU R 128


RANGE = {"chikari": (55, 79)}
"""MIDI numbers between which a voice is played, where it is not the whole range."""


@pytest.mark.parametrize("name", sorted(VOICES))
@pytest.mark.parametrize("brightness", [-1.0, 0.0, 1.0])
def test_no_stroke_passes_the_peak_assumed_of_its_voice(name, brightness):
    low, high = RANGE.get(name, (40, 88))
    for midi in range(low, high + 1, 4):
        within_its_bound(one_note(midi, 1.0, brightness=brightness, voice=name), name)


@settings(max_examples=40)
@given(
    st.sampled_from(sorted(VOICES)),
    st.floats(0.0, 1.0),
    st.floats(-1.0, 1.0),
    st.lists(
        st.tuples(st.floats(0.02, 0.3), st.floats(0.004, 0.1), st.integers(0, 5)), max_size=12
    ),
)
def test_no_bend_passes_the_peak_assumed_of_its_voice(name, place, brightness, turns):
    low, high = RANGE.get(name, (40, 88))
    midi = low + (high - 5 - low) * place
    path = [(0.0, 0.0)]
    for held_s, moved_s, semitones in turns:
        path.append((path[-1][0] + held_s, path[-1][1]))
        path.append((path[-1][0] + moved_s, 100.0 * semitones))
    stroke = Stroke(0.0, 1.5, tuple(path), brightness=brightness, voice=name)
    within_its_bound(Score(midi_hz(midi), (stroke,)), name)


def within_its_bound(score, name):
    sound, voice = render(score), VOICES[name]
    for age_s in (0.0, 0.1, 0.3, 0.6):
        bound = voice.peak_dbtp - voice.fall_db_per_s * age_s
        assert peak_dbtp(sound[round(age_s * SAMPLE_RATE) :]) < bound, (score, age_s)


@pytest.mark.parametrize("first", ["P", "m", "N"])
@pytest.mark.parametrize("sa_hz", [98.0, 138.6, 330.0])
def test_no_drone_passes_the_peak_assumed_of_it(first, sa_hz):
    assert peak_dbtp(drone_loop(Drone(first), sa_hz=sa_hz)) < DRONE_PEAK_DBTP


@settings(max_examples=40)
@given(
    st.lists(
        st.tuples(
            st.floats(0.0, 0.4), st.floats(0.1, 0.6), st.integers(-12, 24), st.floats(-3.0, 6.0)
        ),
        min_size=1,
        max_size=6,
    )
)
def test_no_mix_passes_the_limit(strokes):
    score = Score(
        138.6,
        tuple(
            Stroke(onset, length, ((0.0, 100.0 * steps),), level_db=level)
            for onset, length, steps, level in strokes
        ),
        drone=Drone(),
    )
    assert peak_dbtp(render(score)) <= LIMIT_DBTP


def test_common_cues_keep_their_level():
    single = one_note(60)
    phrase = Score(
        138.6, tuple(Stroke(0.5 * i, 0.5, ((0.0, 200.0 * i),), level_db=0.5) for i in range(8))
    )
    assert safe_gain(single) == 1.0
    assert safe_gain(phrase) == 1.0


def test_the_gain_knows_nothing_of_pitch_or_brightness():
    def gap(low, high, brightness):
        pitches = (((0.0, low),), ((0.0, high),))
        return Score(
            midi_hz(49), tuple(Stroke(0.0, 1.0, path, 2.0, brightness) for path in pitches)
        )

    gains = {safe_gain(gap(0.0, cents, b)) for cents in (100.0, 702.0) for b in (-1.0, 1.0)}
    assert len(gains) == 1
    assert gains.pop() < 1.0


def test_a_cue_is_equally_loud_with_and_without_its_drone():
    strokes = tuple(Stroke(0.0, 0.5, ((0.0, 100.0 * i),), level_db=3.0) for i in range(4))
    with_drone = render(Score(138.6, strokes, drone=Drone()), drone=False)
    assert np.array_equal(with_drone, render(Score(138.6, strokes)))
