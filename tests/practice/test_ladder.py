"""The ladder of tempo: where it goes, where it begins, and when it rests."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from audio.theka import FASTEST, SLOWEST
from practice.instrument import AGAIN, CLEAN, GIVEN, SLOWER, PaltaNoted
from practice.ladder import (
    FIRST_RATE,
    HANDS,
    REST_AFTER_HANDS_MIN,
    Ladder,
    is_to_rest,
    ladder_for,
)
from practice.summary import REST_AFTER_MIN

DAY = datetime(2026, 3, 2, 18, tzinfo=UTC)
TWO, FOUR = {"n": 3, "layout": "two"}, {"n": 3, "layout": "four"}


def noted(said, tempo, day=0, detail=TWO):
    return PaltaNoted("some", said, tempo, DAY + timedelta(days=day), detail)


@given(
    st.integers(round(SLOWEST), round(FASTEST)), st.lists(st.sampled_from([CLEAN, AGAIN, SLOWER]))
)
def test_it_goes_up_down_or_stays_and_never_beyond_what_a_theka_plays(tempo, words):
    ladder = Ladder(float(tempo))
    for said in words:
        after = ladder.after(said)
        assert SLOWEST <= after.tempo <= FASTEST
        assert after.tempo == round(after.tempo)
        if said == CLEAN:
            assert after.tempo > ladder.tempo or ladder.is_at_top
        elif said == SLOWER:
            assert after.tempo < ladder.tempo or ladder.tempo == SLOWEST
        else:
            assert after == ladder
        ladder = after


@given(st.integers(30, 300))
def test_slower_goes_down_past_the_rung_that_was_clean(tempo):
    ladder = Ladder(float(tempo))
    assert ladder.after(CLEAN).after(SLOWER).tempo < tempo


@given(st.integers(50, 300))
def test_a_rung_is_small_enough_for_the_hand_to_follow(tempo):
    # Drake and Botte 1993: the least change of tempo that is noticed is about 3 %; and no rung is
    # twice of that.
    assert 1.0 < Ladder(float(tempo)).after(CLEAN).tempo / tempo < 1.06


def test_what_is_not_said_is_told():
    with pytest.raises(ValueError, match="'given': give clean, again or slower"):
        Ladder(60.0).after(GIVEN)


def test_the_first_ladder_begins_at_two_swaras_a_second_in_any_layout():
    for layout, swaras in (("two", 2), ("three", 3), ("four", 4)):
        assert ladder_for([], swaras=3, layout=layout).tempo == FIRST_RATE / swaras


def test_a_day_begins_a_little_below_where_the_last_clean_one_stood():
    day = [noted(CLEAN, tempo) for tempo in (60, 70, 80, 100)] + [noted(SLOWER, 104)]
    assert ladder_for(day, swaras=3, layout="two").tempo == 90
    assert ladder_for(day, swaras=3, layout="four").tempo == 45


def test_who_says_clean_once_a_day_does_not_sink():
    days = []
    for day in range(30):
        ladder = ladder_for(days, swaras=3, layout="two")
        days.append(noted(CLEAN, ladder.tempo, day))
    assert {each.tempo for each in days} == {FIRST_RATE / 2}


def test_groups_that_grow_begin_slower():
    day = [noted(CLEAN, 100.0)]
    tempos = [ladder_for(day, swaras=swaras, layout="two").tempo for swaras in (3, 4, 5)]
    assert tempos == sorted(tempos, reverse=True)
    assert len(set(tempos)) == 3


def test_where_nothing_was_clean_it_begins_where_the_last_one_was_left():
    assert ladder_for([noted(AGAIN, 64.0)], swaras=3, layout="two").tempo == 64
    left = [noted(AGAIN, 64.0), noted(SLOWER, 64.0), noted(GIVEN, 99.0)]
    assert ladder_for(left, swaras=3, layout="two").tempo == Ladder(64.0).after(SLOWER).tempo


def test_a_note_of_another_layout_or_of_none_known_is_reckoned_by_swaras():
    assert ladder_for([noted(AGAIN, 40.0, detail=FOUR)], swaras=3, layout="two").tempo == 80
    assert ladder_for([noted(AGAIN, 40.0, detail={})], swaras=3, layout="two").tempo == 40


def test_hands_rest_before_ears_do():
    assert REST_AFTER_HANDS_MIN < REST_AFTER_MIN
    assert not is_to_rest(REST_AFTER_HANDS_MIN - 0.1)
    assert is_to_rest(REST_AFTER_HANDS_MIN)
    assert "before it hurts" in HANDS
