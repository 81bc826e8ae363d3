"""Days and months as they are read, in the language in use; a clock has 24 hours in all."""

from __future__ import annotations

from datetime import date, datetime

from words import say, say_as, to_say

_DAYS = (
    to_say("Monday"),
    to_say("Tuesday"),
    to_say("Wednesday"),
    to_say("Thursday"),
    to_say("Friday"),
    to_say("Saturday"),
    to_say("Sunday"),
)


def day_word(day: date) -> str:
    """`Monday`."""
    return weekday_word(day.weekday())


def weekday_word(day: int) -> str:
    """`Monday` of 0."""
    return say(_DAYS[day])


def month_word(month: int) -> str:
    """`January` of 1."""
    return (
        say("January"),
        say("February"),
        say("March"),
        say("April"),
        say_as("a month", "May"),
        say("June"),
        say("July"),
        say("August"),
        say("September"),
        say("October"),
        say("November"),
        say("December"),
    )[month - 1]


def short_month_word(month: int) -> str:
    """`Jan` of 1: where there is little room."""
    return (
        say("Jan"),
        say("Feb"),
        say("Mar"),
        say("Apr"),
        say_as("a month in short", "May"),
        say("Jun"),
        say("Jul"),
        say("Aug"),
        say("Sep"),
        say("Oct"),
        say("Nov"),
        say("Dec"),
    )[month - 1]


def short_date_word(day: date) -> str:
    """`2 Nov`."""
    return say("{day} {month}", day=day.day, month=short_month_word(day.month))


def date_word(day: date) -> str:
    """`2 November`."""
    return say("{day} {month}", day=day.day, month=month_word(day.month))


def weekday_date_word(day: date) -> str:
    """`Monday 2 November`."""
    return say("{weekday} {date}", weekday=day_word(day), date=date_word(day))


def year_word(day: date) -> str:
    """`2 November 2026`."""
    return say("{date} {year}", date=date_word(day), year=day.year)


def moment_word(at: datetime) -> str:
    """`2 November 2026, 17:30`."""
    return say("{date}, {time}", date=year_word(at), time=f"{at:%H:%M}")
