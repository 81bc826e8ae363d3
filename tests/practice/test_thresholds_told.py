"""A threshold is told for weeks that have been, from ten answers on, by the student's own clock."""

import time
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone

import pytest

from practice.progress import threshold_series
from tests import taken

IST = timezone(timedelta(hours=5, minutes=30))
THURSDAY = datetime(2026, 11, 26, 18, tzinfo=UTC)


@pytest.fixture
def in_india(monkeypatch):
    """The device is there."""
    if not hasattr(time, "tzset"):
        pytest.skip("here a program cannot change its zone")
    monkeypatch.setenv("TZ", "Asia/Kolkata")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


def tuned(count, at, **more):
    """So many answers at this moment."""
    return [
        taken.row("tune:P", right, "low", at=at + timedelta(seconds=9 * number), number=number,
                  chance=1 / 3, **{"setting": {"sa_hz": 140.0, "level": 25.0}} | more)
        for number, right in zip(range(count), ["low", "high"] * count, strict=False)
    ]  # fmt: skip


def points_of(tmp_path, rows, now=THURSDAY):
    with taken.standing_of(tmp_path / "log", rows, now=now) as standing:
        return [point for series in threshold_series(standing) for point in series.points]


def test_what_was_asked_most_is_told_first(tmp_path):
    rows = [
        replace(row, skill=skill)
        for skill, count in (("tune:P", 12), ("tune:G", 30), ("tune:m", 20))
        for row in tuned(count, THURSDAY - timedelta(hours=1))
    ]
    with taken.standing_of(tmp_path / "log", rows, now=THURSDAY) as standing:
        told = [series.skill for series in threshold_series(standing)]
    assert told == ["tune:G", "tune:m", "tune:P"]


@pytest.mark.parametrize(("count", "told"), [(9, 0), (10, 1), (20, 1)])
def test_a_figure_is_given_from_ten_answers_on_and_few_are_called_few(tmp_path, count, told):
    points = points_of(tmp_path, tuned(count, THURSDAY - timedelta(hours=1)))
    assert len(points) == told
    assert all((point.known.trials, point.is_few) == (count, count < 20) for point in points)


def test_the_running_week_is_told_as_of_today_and_no_day_to_come(tmp_path):
    last_week = tuned(12, THURSDAY - timedelta(days=7))
    points = points_of(tmp_path, last_week + tuned(12, THURSDAY - timedelta(hours=1)))
    assert [point.at for point in points] == [date(2026, 11, 22), date(2026, 11, 26)]


def test_a_week_ends_at_midnight_where_the_student_is(tmp_path, in_india):
    """At 18:35 UTC on a Sunday it is Monday in India."""
    sunday = datetime(2026, 11, 22, tzinfo=UTC)
    before = tuned(12, sunday.replace(hour=18, minute=20), offset_min=330)
    after = tuned(10, sunday.replace(hour=18, minute=35), offset_min=330)
    points = points_of(tmp_path, before + after, now=THURSDAY.astimezone(IST))
    assert [(point.at, point.known.trials) for point in points] == [
        (date(2026, 11, 22), 12), (date(2026, 11, 26), 22)
    ]  # fmt: skip


def test_rows_of_older_logs_say_nothing(tmp_path):
    """They lack the pitch of Sa, and so what was asked."""
    old = tuned(30, THURSDAY - timedelta(hours=2), setting={"level": 25.0})
    assert points_of(tmp_path, old) == []
    new = tuned(12, THURSDAY - timedelta(hours=1))
    assert [point.known.trials for point in points_of(tmp_path / "both", old + new)] == [12]
