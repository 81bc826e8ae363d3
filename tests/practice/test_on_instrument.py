"""What is played on the instrument is noted as minutes and as paltas given, and never as marks."""

from datetime import timedelta

import pytest

from practice.instrument import (
    CLEAN,
    GIVEN,
    LONGEST_MIN,
    MINUTES,
    PALTA,
    minutes_by_day,
    paltas_given,
    paltas_of,
)
from practice.pages.practised import practised_in
from practice.progress import days_done
from scheduler import AnswerError, LogError, Note


def note(what, at_min=0.0, offset_min=0, **data):
    at_ms = 1_796_000_400_000 + round(60_000 * at_min)  # 29 November 2026, 01:00
    return Note(
        student="mira",
        what=what,
        data=data,
        utc_ms=at_ms,
        offset_min=offset_min,
        device="tablet",
    )


def test_a_palta_that_was_given_is_known_in_every_later_practice(open_practice, clock):
    practice = open_practice()
    practice.note_palta("three|S R G|17", detail={"tala": "tintal", "of": [17, 24]})
    clock.forward(minutes=4)
    practice.note_palta("three|S R G|17", CLEAN, tempo=66)
    later = open_practice()
    assert {each.key for each in later.paltas_noted()} == {"three|S R G|17"}
    given, clean = later.paltas_noted()
    assert (given.said, given.tempo, given.detail) == (
        GIVEN,
        0.0,
        {"tala": "tintal", "of": [17, 24]},
    )
    assert (clean.said, clean.tempo, clean.detail) == (CLEAN, 66.0, {})
    assert clean.at - given.at == timedelta(minutes=4)


def test_what_cannot_be_noted_is_refused(open_practice):
    practice = open_practice()
    for key, said in (("three", "perfect"), ("", GIVEN)):
        with pytest.raises(AnswerError, match="give "):
            practice.note_palta(key, said)
    for minutes in (0, -3, float("nan"), LONGEST_MIN + 1):
        with pytest.raises(AnswerError, match="minutes="):
            practice.note_minutes(minutes)
    assert practice._log.notes() == []


def test_minutes_are_shown_with_their_day_and_move_no_mark(open_practice, clock):
    practice = open_practice()
    before = practice.standing()
    practice.note_minutes(12.5, palta="three")
    clock.forward(hours=2)
    practice.note_minutes(7.5)
    clock.forward(days=1)
    practice.note_minutes(30)
    practice.refresh()
    standing = practice.standing()
    assert (standing.memory, standing.history) == (before.memory, before.history)
    days = days_done(standing)
    assert [day.on_instrument for day in days[-3:]] == [0.0, 20.0, 30.0]
    assert not any(day.minutes or day.asked or day.right for day in days)
    practised = practised_in(standing)
    assert practised.on_instrument == "On the instrument: 50 minutes, on 2 days."
    assert practised.words == "No question was answered."


def test_a_minute_counts_for_the_day_on_the_wall_where_it_was_played():
    last = note(MINUTES, offset_min=-120, minutes=5)  # an hour before midnight there
    first = note(MINUTES, minutes=7)
    (one, five), (other, seven) = sorted(minutes_by_day([first, last]).items())
    assert (other - one, five, seven) == (1, 5.0, 7.0)


@pytest.mark.parametrize(
    "data",
    [
        {},
        {"key": "", "said": GIVEN},
        {"key": 7, "said": GIVEN},
        {"key": "three", "said": "perfect"},
        {"key": "three", "said": []},
        {"key": "three", "said": GIVEN, "tempo": -1.0},
        {"key": "three", "said": GIVEN, "tempo": "fast"},
        {"key": "three", "said": GIVEN, "detail": 7},
        {"minutes": -5, "key": None},
        {"minutes": "many"},
        {"minutes": 1e308},
        {"minutes": 10**400},
        {"minutes": True},
        {"key": "three", "said": GIVEN, "tempo": 10**400},
        {"key": "three", "said": GIVEN, "tempo": True},
    ],
)
def test_what_another_program_wrote_otherwise_is_left_out(data):
    assert paltas_of([note(PALTA, **data)]) == ()
    assert paltas_given([note(PALTA, **data)]) == frozenset()
    assert minutes_by_day([note(MINUTES, **data)]) == {}


def test_days_are_shown_though_the_log_cannot_be_read_for_a_moment(open_practice, monkeypatch):
    practice = open_practice()
    practice.note_minutes(5)
    standing = practice.standing()

    def busy(*_):
        raise LogError("log.sqlite", wrong="another program holds it", remedy="Close it")

    monkeypatch.setattr(practice._log, "notes", busy)
    assert days_done(standing)[-1].on_instrument == 0.0
