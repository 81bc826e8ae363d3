"""Room for peaks: what a stroke may reach, and that no mix passes the limit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from audio.format import SAMPLE_RATE
from audio.headroom import (
    DRONE_PEAK_DBTP,
    STROKE_FALL_DB_PER_S,
    STROKE_PEAK_DBTP,
    safe_gain,
)
from audio.render import drone_loop, render
from audio.score import Drone, Score, Stroke
from tests.audio.meters import midi_hz, one_note, peak_dbtp

LIMIT_DBTP = -1.0  # EBU R 128


@pytest.mark.parametrize("brightness", [-1.0, -0.5, 0.0, 0.5, 1.0])
def test_no_stroke_passes_the_peak_assumed_of_it(brightness):
    for midi in range(40, 88, 2):
        sound = render(one_note(midi, 1.0, brightness=brightness))
        for age_s in (0.0, 0.1, 0.3, 0.6):
            bound = STROKE_PEAK_DBTP - STROKE_FALL_DB_PER_S * age_s
            assert peak_dbtp(sound[round(age_s * SAMPLE_RATE) :]) < bound, (midi, age_s)


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
