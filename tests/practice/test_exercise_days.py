"""Time on the instrument counts for the day on which it was, whenever the log could be written."""

import time as system_time
from datetime import UTC, date, datetime, timedelta, timezone

import pytest

from practice.instrument import CLEAN, GIVEN, minutes_by_day
from scheduler import LogError
from tests.practice.exercising import minutes_in


def hold(practice, monkeypatch):
    """As another program holds the log; what lets go of it again."""
    append = practice._log.append_all

    def refuse(rows):
        raise LogError("log", wrong="another program holds it", remedy="Close that")

    monkeypatch.setattr(practice._log, "append_all", refuse)
    return lambda: monkeypatch.setattr(practice._log, "append_all", append)


def test_what_is_owed_to_the_log_bears_the_time_at_which_it_was_said(on, time, clock, monkeypatch):
    practice, exercise = on()
    let_go, begun = hold(practice, monkeypatch), clock.now
    exercise.start()
    time.go(exercise, 60)
    clock.forward(minutes=1)
    exercise.clean()
    exercise.stop()
    clock.forward(days=1)
    exercise.done()
    assert practice.paltas_noted() == ()
    let_go()
    exercise.done()
    given, clean = practice.paltas_noted()
    assert (given.said, given.at, clean.said) == (GIVEN, begun, CLEAN)
    assert clean.at == begun + timedelta(minutes=1)
    ((day, minutes),) = minutes_by_day(practice._log.notes()).items()
    assert (day, minutes) == ((begun.date() - date(1970, 1, 1)).days, pytest.approx(1, abs=0.03))
    assert practice.minutes_today() == exercise.minutes_today == 0.0


def test_what_is_owed_keeps_the_day_of_the_place_where_it_was_said(open_practice, clock):
    practice = open_practice()
    said = datetime(2026, 3, 2, 22, 0, tzinfo=UTC).astimezone(timezone(timedelta(hours=5.5)))
    practice.note_minutes(5.0, when=said)
    practice.note_palta("three|S R G|17", when=said)
    assert practice.paltas_noted()[0].at.date() == date(2026, 3, 3)
    (day,) = minutes_by_day(practice._log.notes())
    assert day == (date(2026, 3, 3) - date(1970, 1, 1)).days


def test_what_sounds_over_midnight_counts_for_both_days(on, time, clock):
    practice, exercise = on()
    clock.now = datetime(2026, 3, 2, 23, 58, 30, tzinfo=UTC)
    exercise.start()
    for _ in range(240):
        clock.forward(seconds=1)
        time.go(exercise, 1, step_s=1.0)
    exercise.stop()
    before, after = minutes_by_day(practice._log.notes()).values()
    # How soon what sounds is counted hangs on the tempo, which is drawn.
    assert (before, after) == (pytest.approx(1.5, abs=0.2), pytest.approx(2.5, abs=0.2))
    assert exercise.minutes_today == pytest.approx(after, abs=0.01)


def test_minutes_of_today_follow_the_day_while_the_screen_stays(on, time, clock):
    _, exercise = on()
    exercise.start()
    time.go(exercise, 90)
    exercise.stop()
    assert exercise.minutes_today == pytest.approx(1.5, abs=0.03)
    clock.forward(days=1)
    exercise.tick()
    assert exercise.minutes_today == 0.0
    exercise.start()
    time.go(exercise, 30)
    assert exercise.minutes_today == pytest.approx(0.5, abs=0.03)


def test_another_palta_ends_the_theka_once_and_one_that_cannot_be_had_leaves_it(
    on, time, monkeypatch
):
    practice, exercise = on()
    exercise.start()
    time.go(exercise, 30)
    stops, stop = [], exercise.stop
    monkeypatch.setattr(exercise, "stop", lambda: (stops.append(1), stop()))
    with monkeypatch.context() as torn:

        def refuse(*_):
            raise LogError("log", wrong="it is torn", remedy="Mend it")

        torn.setattr(practice._log, "notes", refuse)
        exercise.another()
    assert (exercise.is_playing, stops) == (True, [])
    exercise.another()
    assert (exercise.is_playing, stops) == (False, [1])
    assert minutes_in(practice) == [pytest.approx(0.5, abs=0.03)]


def test_what_is_done_is_noted_once(on, time, monkeypatch):
    practice, exercise = on()
    exercise.start()
    time.go(exercise, 30)
    asked, note = [], exercise._note_minutes
    monkeypatch.setattr(exercise, "_note_minutes", lambda: (asked.append(1), note()))
    exercise.done()
    assert asked == [1]
    assert minutes_in(practice) == [pytest.approx(0.5, abs=0.03)]


def test_what_is_noted_at_night_counts_for_the_day_of_the_place(open_practice, clock, monkeypatch):
    # Half past three in the morning in India (UTC+5:30) is still the day before in UTC.
    clock.now = datetime(2026, 3, 2, 22, 0, tzinfo=UTC)
    with monkeypatch.context() as there:
        there.setenv("TZ", "Asia/Kolkata")
        system_time.tzset()
        try:
            practice = open_practice()
            practice.note_minutes(5.0)
            practice.note_palta("three|S R G|17")
            days = minutes_by_day(practice._log.notes())
            assert list(days) == [(date(2026, 3, 3) - date(1970, 1, 1)).days]
            assert practice.paltas_noted()[0].at.date() == date(2026, 3, 3) == practice.today()
            assert practice.minutes_today() == 5.0
        finally:
            there.undo()
            system_time.tzset()
