"""The next lesson: on which day and at what time it is, and which skills it is about.

What is set is what a student reads on the wall: a day of the week and a time. Which moment that is
is worked out anew each time, so that the lesson stays at its hour when the clocks change and when
the student travels. A time that a change of the clocks leaves out counts as so much later, one that
it brings twice as the first. A lesson out of turn has a date of its own, and until it is over it is
the next one.
"""

from __future__ import annotations

import re
import time
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from datetime import time as time_of_day
from typing import NamedTuple

from practice.dates import day_word, weekday_date_word
from practice.errors import SettingsError
from practice.settings import DAYS, Settings
from quizzes.names import listed
from quizzes.ragas.tradition import ragas
from scheduler import Item
from words import say, say_many

NONE = "none"
_ASKS_OF_RAGAS = ("raga-", "shade:", "register:home:", "fit:laya:")
"""How ids of skills begin that end with a raga, or with two."""
RAGAS_NAMED = 3
LEAST_OF_DAY = 3
_TIME = re.compile("([0-9]{1,2})(?:[:.]([0-9]{2}))?")


def next_lesson(settings: Settings, now: datetime) -> datetime | None:
    """When the next lesson is, in local time; None where no day is set.

    `now` must be aware. A lesson of today that has begun is over: next week's is meant.
    """
    today = local(now).date()
    days: list[date] = []
    if settings.lesson_date:
        days.append(date.fromisoformat(settings.lesson_date))
    if settings.lesson_day:
        ahead = (DAYS.index(settings.lesson_day) - today.weekday()) % 7
        days += [today + timedelta(days=ahead), today + timedelta(days=ahead + 7)]
    hour, minute = map(int, settings.lesson_time.split(":"))
    for day in days:
        # By its timestamp: astimezone alone would read a time that is left out an hour too early.
        seconds = datetime.combine(day, time_of_day(hour, minute)).timestamp()
        lesson = datetime.fromtimestamp(seconds, UTC).astimezone()
        if lesson > now:
            return lesson
    return None


def is_out_of_turn(settings: Settings, now: datetime) -> bool:
    """Whether the next lesson is the one that has a date of its own."""
    lesson = next_lesson(settings, now)
    return lesson is not None and lesson.date().isoformat() == settings.lesson_date


class Dates(NamedTuple):
    """On which days a lesson out of turn may be."""

    today: date
    first: date
    """Today, or tomorrow where the hour of the lesson is past."""
    moved: date | None
    """The day of the next lesson if that is out of turn."""


def dates_for(settings: Settings, now: datetime) -> Dates:
    """The days from which to choose at `now`, which must be aware."""
    today = local(now).date()
    on_this_day = replace(settings, lesson_day="", lesson_date=today.isoformat())
    first = today if next_lesson(on_this_day, now) else today + timedelta(days=1)
    moved = date.fromisoformat(settings.lesson_date) if is_out_of_turn(settings, now) else None
    return Dates(today, first, moved)


def local(moment: datetime) -> datetime:
    """A moment in the zone in which this device is now."""
    if hasattr(time, "tzset"):
        time.tzset()  # it may have travelled since this program began
    return moment.astimezone()


def lesson_words(settings: Settings, now: datetime, tradition: str = "") -> str:
    """`Thursday at 17:30, in 2 days, on Yaman and Bhupali`; empty where no day is set. Of a lesson
    that has a date of its own it is said: `Friday 15 January at 17:30`."""
    lesson = next_lesson(settings, now)
    if lesson is None:
        return ""
    days = (lesson.date() - local(now).date()).days
    away = {0: say("today"), 1: say("tomorrow")}.get(days, "")
    away = away or say_many("in {count} day", "in {count} days", days)
    about = raga_words(settings.lesson_ragas, tradition)
    day = day_word(lesson)
    if is_out_of_turn(settings, now):
        day = weekday_date_word(lesson)
    words = say("{day} at {time}, {away}", day=day, time=settings.lesson_time, away=away)
    return say("{lesson}, on {ragas}", lesson=words, ragas=about) if about else words


def raga_words(chosen: Sequence[str], tradition: str = "") -> str:
    """Ragas by name, the first of them where they are many: `Yaman and Bhupali`."""
    if not chosen:
        return ""
    known = ragas(tradition)
    named = [say(known[raga].name) for raga in chosen if raga in known]
    words = named[:RAGAS_NAMED]
    if len(named) > RAGAS_NAMED:
        words.append(say("{number} more", number=len(named) - RAGAS_NAMED))
    return listed(words)


def ragas_asked(skill: str) -> frozenset[str]:
    """The ragas that a skill asks of; none where it is of no raga."""
    if not skill.startswith(_ASKS_OF_RAGAS):  # some talas and stages bear the name of a raga
        return frozenset()
    return frozenset(skill.rpartition(":")[2].split("-"))


def ragas_to_choose(
    items: Iterable[Item], chosen: Iterable[str], begun: Iterable[str], tradition: str = ""
) -> tuple[tuple[str, str], ...]:
    """(id, name) of the ragas of which `items` ask, and of those chosen already; first those that
    are chosen, then those of the skills that are `begun`, then the others, each by name."""
    first, then = frozenset(chosen), _ragas_of(begun)
    found = first | _ragas_of(item.skill for item in items)
    if not found:
        return ()
    known = ragas(tradition)
    told = [raga for raga in found if raga in known]
    named = ((raga not in first, raga not in then, say(known[raga].name), raga) for raga in told)
    return tuple((raga, name) for _, _, name, raga in sorted(named))


def _ragas_of(skills: Iterable[str]) -> frozenset[str]:
    return frozenset[str]().union(*map(ragas_asked, skills))


def skills_for(items: Iterable[Item], chosen: Iterable[str]) -> frozenset[str]:
    """Those of `items` that ask of one of these ragas."""
    wanted = frozenset(chosen)
    return frozenset(item.skill for item in items if wanted & ragas_asked(item.skill))


def read_lesson(text: str, settings: Settings, tradition: str = "") -> Settings:
    """The settings with the lesson of `text`, such as "thursday 17:30 yaman bhupali", "2027-01-15"
    for the next one only, or "none".

    Three letters of a day are enough, and "9" is nine o'clock. A time or ragas that are not written
    stay as they were; it may be of a raga that the `tradition` adds. Raises SettingsError.
    """
    first, *rest = text.lower().split() or [NONE]
    if first == NONE and not rest:
        return replace(settings, lesson_day="", lesson_date="")
    if first[0].isdigit():
        changed = replace(settings, lesson_date=_read_date(first))
    else:
        changed = replace(settings, lesson_day=_read_day(first), lesson_date="")
    if rest and rest[0][0].isdigit():
        changed = replace(changed, lesson_time=_read_time(rest.pop(0)))
    for raga in rest:
        if raga not in ragas(tradition):
            raise SettingsError(
                f"lesson: {raga!r} is no raga known here; give ids as `main.py raga` lists them"
            )
    return replace(changed, lesson_ragas=tuple(dict.fromkeys(rest))) if rest else changed


def _read_day(text: str) -> str:
    for day in DAYS:
        if day.startswith(text) and len(text) >= LEAST_OF_DAY:
            return day
    raise SettingsError(
        f"lesson: {text!r} is no day; give {listed(DAYS, 'or')}, or none where there is no lesson"
    )


def _read_date(text: str) -> str:
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise SettingsError(
            f"lesson: {text!r} is no day; give it as in 2027-01-15, or a day of the week"
        ) from None


def _read_time(text: str) -> str:
    found = _TIME.fullmatch(text)
    hour, minute = (int(part or 0) for part in found.groups()) if found else (24, 0)
    if hour > 23 or minute > 59:
        raise SettingsError(f"lesson: {text!r} is no time; give one such as 9, 9:30 or 17:30")
    return f"{hour:02}:{minute:02}"
