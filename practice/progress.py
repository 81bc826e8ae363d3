"""How practice has gone: day by day, thresholds over time, what became firm and what slipped."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from practice.instrument import minutes_told
from practice.lesson import local
from practice.standing import Standing
from practice.summary import TRIALS_FOR_A_FIGURE, Moved
from practice.thresholds import Thresholds
from quizzes.catalogue import kind_of
from quizzes.errors import UnknownSkill
from quizzes.levels import Level
from quizzes.names import capital
from scheduler import Answer, Day, Threshold
from scheduler.history import date_of, day_of, first_day, week_of
from scheduler.reliability import FEW

DAYS_SHOWN = 28
WEEKS_SHOWN = 8
"""So far back thresholds are told, week by week."""
WEEKS_COMPARED = 4
"""What is known now is set against what was known so many weeks ago."""


@dataclass(frozen=True, slots=True)
class DayDone:
    """One day, practised in or not."""

    date: date
    asked: int
    right: int
    shown: int
    """What was only shown, as new or once more."""
    minutes: float
    """Of practice here."""
    on_instrument: float = 0.0
    """Minutes on the instrument."""


@dataclass(frozen=True, slots=True)
class Point:
    """A threshold as far as it was known at the end of a day, from all answers before."""

    at: date
    known: Threshold

    @property
    def is_few(self) -> bool:
        """Whether so few answers say little."""
        return self.known.trials < FEW


@dataclass(frozen=True, slots=True)
class Series:
    """The threshold of one skill over time, the earliest point first; at least one."""

    skill: str
    name: str
    level: Level
    """Its unit and what can be asked."""
    points: tuple[Point, ...]


def days_done(standing: Standing, count: int = DAYS_SHOWN) -> tuple[DayDone, ...]:
    """The last so many days up to today, in the student's local time; the earliest first."""
    today = day_of(standing.now)
    days = range(today - count + 1, today + 1)
    played = minutes_told(standing.notes)
    return tuple(
        _done(day, standing.history.days.get(day, Day()), played.get(day, 0.0)) for day in days
    )


def _done(day: int, done: Day, played: float) -> DayDone:
    return DayDone(date_of(day), done.asked, done.right, done.shown, done.seconds / 60.0, played)


def threshold_series(standing: Standing, weeks: int = WEEKS_SHOWN) -> tuple[Series, ...]:
    """The thresholds of all skills that have one and were asked in the last weeks, at the end of
    each of these weeks and now; those asked most first. A point is given from ten answers on.

    Reads the log: some hundred answers for each such skill and week. Raises LogError.
    """
    running = week_of(day_of(standing.now))
    shown = range(running - weeks + 1, running + 2)
    asked = {
        skill: count
        for skill in standing.history.weeks
        if (count := standing.history.tally(skill, shown).asked)
    }
    found = (_series(standing, skill, shown) for skill in sorted(asked, key=lambda s: -asked[s]))
    return tuple(series for series in found if series is not None)


def _series(standing: Standing, skill: str, weeks: range) -> Series | None:
    level = _level(skill)
    if level is None:
        return None
    points = []
    for week in weeks:
        asked = standing.history.tally(skill, [week]).asked
        ends = min(_midnight(first_day(week + 1)), standing.now)
        known = _known_at(standing, skill, ends) if asked else None
        if known is not None and known.trials >= TRIALS_FOR_A_FIGURE:
            last = (ends - timedelta(microseconds=1)).date()
            points.append(Point(last, known))
    name = capital(standing.name_of(skill))
    return Series(skill, name, level, tuple(points)) if points else None


def _known_at(standing: Standing, skill: str, at: datetime) -> Threshold | None:
    """The threshold from what had been answered until then, as it was told then."""

    def until(skill: str, count: int) -> list[Answer]:
        rows = standing.latest(skill, count, until=at)
        return [row for row in rows if "sa_hz" in row.setting]  # older ones say nothing

    known = Thresholds(until).of(skill)
    return None if known is None else known[0]


def _midnight(day: int) -> datetime:
    """When a day begins here, by the clock as it was on that day."""
    return local(datetime.combine(date_of(day), time()))


def _level(skill: str) -> Level | None:
    """None too for a skill of an older log that is no longer asked."""
    try:
        return kind_of(skill).level(skill)
    except UnknownSkill:
        return None


@dataclass(frozen=True, slots=True)
class Changed:
    """What is otherwise than it was at the end of a day some weeks ago, of what the course asks."""

    since: date
    firm: tuple[Moved, ...]
    """What has become firm."""
    slipped: tuple[Moved, ...]
    """What was firm then and is so no more."""


def changed(standing: Standing, weeks: int = WEEKS_COMPARED) -> Changed:
    """What became firm and what slipped, each in the order of the course; nothing where it is not
    known any more how all stood then."""
    week = week_of(day_of(standing.now)) - weeks
    then = standing.history.states_at(week, standing.memory)
    firm: list[Moved] = []
    slipped: list[Moved] = []
    for item in standing.begun:
        now = standing.state(item.skill)
        was = now if then is None else then.get(item.skill, "unheard")
        if "firm" in (was, now) and was != now:
            moved = Moved(item.skill, standing.name_of(item.skill), was, now)
            (firm if now == "firm" else slipped).append(moved)
    return Changed(date_of(first_day(week + 1) - 1), tuple(firm), tuple(slipped))
