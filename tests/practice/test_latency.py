"""The tap test: known offsets are found again, and what cannot be measured is refused."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import median_abs_deviation

from audio import SAMPLE_RATE, render
from practice.errors import TapTestError
from practice.latency import (
    COUNTED,
    FEWEST,
    all_beats_ms,
    beats_ms,
    measured,
    tap_test_score,
)
from practice.settings import LEAST_LATENCY_MS, MOST_LATENCY_MS, Settings
from tests.audio.meters import onsets_s

BEATS = np.array([float(beat) for beat in beats_ms()])
offsets = st.floats(LEAST_LATENCY_MS, MOST_LATENCY_MS)


@given(offsets)
def test_every_offset_that_the_setting_holds_is_found_again(offset):
    found = measured(list(BEATS + offset))
    assert found.offset_ms == pytest.approx(offset, abs=0.051)
    assert found.spread_ms == pytest.approx(0, abs=0.051)
    assert found.counted == COUNTED
    Settings(tap_latency_ms=found.offset_ms)


@given(st.floats(LEAST_LATENCY_MS + 60, MOST_LATENCY_MS - 60), st.integers(0, 2**32 - 1))
def test_middle_and_spread_are_those_of_the_taps(offset, seed):
    offs = offset + np.random.default_rng(seed).normal(0, 20, COUNTED)
    found = measured(list(BEATS + offs))
    assert found.offset_ms == pytest.approx(np.median(offs), abs=0.051)
    # scipy's own median absolute deviation.
    assert found.spread_ms == pytest.approx(median_abs_deviation(offs), abs=0.11)


@pytest.mark.parametrize("edge", [LEAST_LATENCY_MS + 1, MOST_LATENCY_MS - 1])
def test_taps_on_both_sides_of_an_edge_are_not_taken_for_another_beat(edge):
    offs = edge + np.resize([-70.0, 0.0, 0.0, 70.0], COUNTED)
    assert measured(list(BEATS + offs)).offset_ms == pytest.approx(edge)


def test_taps_with_the_count_in_and_a_few_beats_missed_do_no_harm():
    early = [float(beat) + 205 for beat in all_beats_ms()[1:4]]
    found = measured([*early, *(BEATS[:6] + 200), *(BEATS[10:] + 200)])
    assert found.offset_ms == pytest.approx(200)
    assert found.counted == COUNTED - 4


def test_a_finger_that_bounces_does_no_harm():
    bounced = sorted([*(BEATS + 90), BEATS[3] + 170, BEATS[9] + 160])
    assert measured(bounced).offset_ms == pytest.approx(90)


@pytest.mark.parametrize(
    ("taps", "said"),
    [
        ([], "on 0 of 16"),
        (list(BEATS[: FEWEST - 1] + 20), "at least 10"),
        (list(BEATS + 850), "after it"),
        (list(BEATS - 150), "before the beat"),
        (list(np.arange(4000, 21000, 500.0)), "once on each"),
        (list(np.arange(4100, 21000, 870.0)), "too far apart"),
    ],
)
def test_what_cannot_be_measured_is_refused_with_reason_and_remedy(taps, said):
    with pytest.raises(TapTestError, match=said) as caught:
        measured(taps)
    assert "again" in str(caught.value)


def test_taps_anywhere_are_hardly_ever_taken_for_a_measurement():
    # 16 taps spread evenly over a second: their median deviation is 250 ms in the mean.
    taken = 0
    for seed in range(500):
        taps = np.random.default_rng(seed).uniform(BEATS[0] - 150, BEATS[-1] + 850, COUNTED)
        try:
            measured(sorted(taps))
            taken += 1
        except TapTestError:
            pass
    assert taken <= 1


def test_hands_without_training_are_measured_at_the_first_try():
    # Their standard deviation is 4 to 8 % of the time between two beats (from memory).
    for seed in range(100):
        offs = np.random.default_rng(seed).normal(150, 60, COUNTED)
        assert measured(sorted(BEATS + offs)).offset_ms == pytest.approx(150, abs=60)


def test_the_score_has_an_exact_stroke_on_each_beat_and_no_drone():
    score = tap_test_score(277.18)
    assert score.drone is None
    exact = [Fraction(score.lead_s) + Fraction(stroke.onset_s) for stroke in score.tabla]
    assert [at * 1000 for at in exact] == list(all_beats_ms())
    assert all_beats_ms()[-COUNTED:] == beats_ms()
    assert len({stroke.bol for stroke in score.tabla[-COUNTED:]}) == 1


def test_strokes_sound_where_the_beats_are():
    sound = np.concatenate(list(render.blocks(tap_test_score(277.18), drone=False)))
    heard = np.array(onsets_s(sound.astype(np.float64))) * 1000
    for beat in all_beats_ms():
        assert np.min(np.abs(heard - float(beat))) < 4, SAMPLE_RATE
