"""Days, thresholds over time, and what moved, from logs; the figures held to other reckonings."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone

import numpy as np
import pytest
from scipy.integrate import trapezoid
from scipy.stats import norm, weibull_min

from practice.progress import changed, days_done, threshold_series
from scheduler.staircase import LAPSE, SLOPE
from tests import taken

NOW = datetime(2026, 11, 29, 18, tzinfo=UTC)
IST = timezone(timedelta(hours=5, minutes=30))


def test_each_day_is_there_with_what_was_done_in_it_by_the_students_clock(tmp_path):
    late = datetime(2026, 11, 27, 18, 31, tzinfo=UTC)  # a minute past midnight, where it was
    rows = [
        taken.row("swara:R", "R", "R", at=late, number=1, offset_min=330),
        taken.row("swara:R", "R", "r", at=late, number=2, offset_min=330),
        taken.row("swara:G", "G", "G", at=late, number=3, offset_min=330, chance=1.0),
        taken.row("swara:R", "R", "R", at=late - timedelta(minutes=2), number=9, offset_min=330),
    ]
    with taken.standing_of(tmp_path / "log", rows, now=NOW.astimezone(IST)) as standing:
        days = days_done(standing, 28)
    assert [day.date for day in days] == [date(2026, 11, 2) + timedelta(n) for n in range(28)]
    done = {day.date: (day.asked, day.right, day.shown) for day in days if day.asked}
    assert done == {date(2026, 11, 28): (2, 1, 1), date(2026, 11, 27): (1, 1, 0)}
    assert days[-2].minutes == pytest.approx((2.5 + 2 * 12) / 60)
    assert sum(day.minutes for day in days[:-3]) == 0.0


def test_a_week_of_before_a_change_of_the_clocks_ends_at_its_own_midnight(tmp_path, monkeypatch):
    """Clocks went forward in Berlin on 29 March 2026 (Directive 2000/84/EC)."""
    monkeypatch.setenv("TZ", "Europe/Berlin")
    late = datetime(2026, 3, 22, 22, 30, tzinfo=UTC)  # Sunday, 23:30 there
    rows = [
        replace(row, utc=late + timedelta(seconds=number), offset_min=60)
        for number, row in enumerate(taken.tuned("tune:P", 30, (20.0, 20.0), until=late))
    ]
    now = datetime(2026, 4, 1, 12, tzinfo=timezone(timedelta(hours=2)))
    with taken.standing_of(tmp_path / "log", rows, now=now) as standing:
        (series,) = threshold_series(standing)
    assert [(point.at, point.known.trials > 0) for point in series.points] == [
        (date(2026, 3, 22), True)
    ]


def test_a_threshold_is_told_for_each_week_from_what_was_answered_until_then(tmp_path, monkeypatch):
    monkeypatch.setenv("TZ", "UTC")
    rows = taken.tuned("tune:P", 320, (30.0, 10.0), until=NOW)
    with taken.standing_of(tmp_path / "log", rows, now=NOW) as standing:
        (series,) = threshold_series(standing)
    assert (series.name, series.level.unit) == ("Pa in tune", "cents")
    assert [point.at for point in series.points] == [
        date(2026, 10, 11) + timedelta(weeks=week) for week in range(8)
    ]
    for point in series.points:
        until = [row for row in rows if row.utc.date() <= point.at][-200:]
        level, low, high = threshold_by_scipy(until, typical=series.level.typical)
        known = point.known
        assert known.level == pytest.approx(level, rel=0.01)
        assert (known.low, known.high) == pytest.approx((low, high), rel=0.02)
    assert series.points[0].is_few == (series.points[0].known.trials < 20)
    assert series.points[-1].known.level < series.points[0].known.level


def threshold_by_scipy(rows, *, typical):
    """Mean and 90 % of the posterior of log2(threshold), from a normal prior, trial by trial of
    those in which there was something to hear; scipy's Weibull distribution on a finer grid."""
    octaves = np.linspace(-5.0, 4.0, 4001)
    blanks = [row for row in rows if row.right == ("true",)]
    alarms = sum(row.given != "true" for row in blanks) / 2
    log = norm.logpdf(octaves, scale=1.5)
    for row in rows:
        if row.right == ("true",):
            continue
        guess = (2.0 * row.chance + alarms) / (2.0 + len(blanks))
        heard = weibull_min.cdf(row.setting["level"], SLOPE, scale=typical * 2.0**octaves)
        right = guess + (1.0 - guess - LAPSE) * heard
        log += np.log(right if row.given == row.right[0] else 1.0 - right)
    weights = np.exp(log - log.max())
    weights /= trapezoid(weights, octaves)
    mean = trapezoid(weights * octaves, octaves)
    below = np.cumsum(weights) * (octaves[1] - octaves[0])
    low, high = np.interp((0.05, 0.95), below, octaves)
    return tuple(typical * 2.0**each for each in (mean, low, high))


def test_few_answers_give_no_figure_and_rows_of_older_logs_say_nothing(tmp_path):
    few = taken.tuned("tune:G", 9, (20.0, 20.0), until=NOW, days=5)
    before = NOW - timedelta(hours=1)
    old = [taken.row("tune:m", "low", "low", at=before, setting={}) for _ in range(30)]
    gone = [taken.row("tune:x", "low", "low", at=before) for _ in range(30)]
    with taken.standing_of(tmp_path / "log", few + old + gone, now=NOW) as standing:
        assert threshold_series(standing) == ()


def test_what_became_firm_and_what_slipped_since_four_weeks(tmp_path):
    skills = ["swara:S", "swara:r", "swara:G"]
    rows = []
    for day in range(-80, 0):
        at = NOW + timedelta(days=day)
        then, lately = day < -30, day > -20
        if then or day > -8:  # Sa is well known all the time
            rows.append(taken.row("swara:S", "S", "S", at=at, number=day))
        if then or lately:  # komal Re was known, and is so no more
            rows.append(taken.row("swara:r", "r", "r" if then else "R", at=at, number=day))
        rows.append(taken.row("swara:G", "G", "g" if day < -25 else "G", at=at, number=day))
    rows.sort(key=lambda row: row.utc)
    with taken.standing_of(tmp_path / "log", rows, now=NOW, skills=skills) as standing:
        moved = changed(standing)
    assert moved.since == date(2026, 11, 1)
    assert [(one.name, one.after) for one in moved.firm] == [("Ga", "firm")]
    assert [(one.name, one.before) for one in moved.slipped] == [("komal Re", "firm")]


def test_before_any_answer_nothing_is_told(tmp_path):
    with taken.standing_of(tmp_path / "log", [], now=NOW, skills=["swara:S"]) as standing:
        assert not any(day.asked or day.minutes for day in days_done(standing))
        assert threshold_series(standing) == ()
        assert (changed(standing).firm, changed(standing).slipped) == ((), ())
