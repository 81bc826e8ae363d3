"""Measures of taps against beats, beside those of mir_eval (`mir_eval.beat`), and keeping tali."""

from fractions import Fraction

import mir_eval
import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from quizzes.talas.tapping import WINDOW_MS, asynchrony, cemgil, f_measure

times = st.lists(st.integers(0, 4000), min_size=1, max_size=14, unique=True).map(sorted)
thirds = st.lists(st.integers(0, 12_000), min_size=1, max_size=14, unique=True).map(
    lambda found: [Fraction(number, 3) for number in sorted(found)]
)


def seconds(moments):
    return np.array([float(moment) / 1000 for moment in moments])


@given(thirds, times)
def test_f_measure_is_that_of_mir_eval(beats, taps):
    # At the very edge of the window floats and fractions may differ.
    assume(all(abs(abs(tap - beat) - WINDOW_MS) > 0.001 for tap in taps for beat in beats))
    theirs = mir_eval.beat.f_measure(seconds(beats), seconds(taps))
    assert f_measure(beats, taps) == pytest.approx(theirs, abs=1e-9)


@given(thirds, times)
def test_cemgils_accuracy_is_that_of_mir_eval(beats, taps):
    assume(len(beats) > 1)  # mir_eval halves tempos, too, which needs two beats
    theirs, _ = mir_eval.beat.cemgil(seconds(beats), seconds(taps))
    assert cemgil(beats, taps) == pytest.approx(theirs, abs=1e-9)


@given(thirds, times)
def test_each_tap_is_for_one_beat_or_extra_and_no_other_is_nearer(beats, taps):
    found = asynchrony(beats, taps)
    assert len(found.offs_ms) == len(beats)
    assert len(found.met_ms) + found.extra == len(taps)
    for number, off in enumerate(found.offs_ms):
        gaps = [
            abs(beats[number] - beats[n])
            for n in (number - 1, number + 1)
            if n in range(len(beats))
        ]
        if off is not None:
            assert abs(off) <= max(gaps, default=1000) / 2 + 1e-9
            tap = float(beats[number]) + off
            assert min(abs(float(beat) - tap) for beat in beats) == pytest.approx(abs(off))
            assert any(abs(each - tap) < 1e-6 for each in taps)


@given(st.lists(st.integers(-240, 240), min_size=2, max_size=12))
def test_mean_spread_and_shares_are_those_of_the_taps(offs):
    beats = [Fraction(1000 * (number + 1)) for number in range(len(offs))]
    found = asynchrony(beats, [int(beat) + off for beat, off in zip(beats, offs, strict=True)])
    assert found.offs_ms == tuple(offs)
    assert found.mean_ms == pytest.approx(np.mean(offs))
    assert found.sd_ms == pytest.approx(np.std(offs, ddof=1))
    assert found.share_early == Fraction(sum(off < 0 for off in offs), len(offs))
    assert found.share_late == Fraction(sum(off > 0 for off in offs), len(offs))


def test_the_nearest_of_two_taps_counts_and_a_beat_without_one_is_told():
    found = asynchrony([Fraction(1000), Fraction(2000), Fraction(3000)], [940, 1010, 3100])
    assert found.offs_ms == (10.0, None, 100.0)
    assert found.extra == 1


def test_where_nothing_is_met_there_is_no_mean():
    found = asynchrony([Fraction(1000), Fraction(1200)], [5000])
    assert (found.mean_ms, found.sd_ms, found.share_early) == (None, None, 0)
