"""Ragas through the day: their hours from 6 o'clock on, and which of them surely follow another.

Hours are taught differently; two ragas are in a sure order only where it is the same whichever of
the hours taught for each one takes.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from quizzes.names import listed
from quizzes.ragas.choosing import shared_strings
from quizzes.ragas.raga import Raga
from quizzes.ragas.tradition import TEACHER
from words import say, to_say

DAWN = 6
"""The hour from which the day is counted (common practice)."""
LATEST = 21
"""So many hours after it begins the watch before sunrise, from 3 o'clock on: some count its ragas
as the first of the day, though they are heard last."""

NAMED = {0: to_say("midnight"), 12: to_say("noon")}
PARTS = ((3, "night"), (12, "morning"), (18, "afternoon"), (21, "evening"), (24, "night"))
"""Until which hour of the clock, and which part of the day it is (common practice)."""
AT = {
    "night": to_say("{hour} at night"),
    "morning": to_say("{hour} in the morning"),
    "afternoon": to_say("{hour} in the afternoon"),
    "evening": to_say("{hour} in the evening"),
}
NINE = to_say("9 in the evening")
"""By itself, as other languages count it to the night."""
WITHIN = {
    "night": to_say("from {first} to {last} at night"),
    "morning": to_say("from {first} to {last} in the morning"),
    "afternoon": to_say("from {first} to {last} in the afternoon"),
    "evening": to_say("from {first} to {last} in the evening"),
}

Span = tuple[int, int]
"""From and to, in hours after 6 o'clock; past 24 what goes on over the next 6 o'clock."""


@cache
def day_of(raga: Raga) -> Span:
    """From when to when anybody teaches it."""
    spans = _spans(raga)
    return min(begin for begin, _ in spans), max(end for _, end in spans)


def _spans(raga: Raga) -> list[Span]:
    """Every time that is taught, the earliest first."""
    begun = [((begin - DAWN) % 24, end - begin) for begin, end in raga.all_hours]
    return sorted((begin, begin + lasts) for begin, lasts in begun)


@cache
def has_hours(raga: Raga) -> bool:
    """Whether its hours are sure, adjoin where several are taught, do not reach into the watch
    before sunrise, and are not given up in its season or at a concert's end."""
    if not raga.hours.sure or len(_joined(raga)) > 1 or day_of(raga)[1] > LATEST:
        return False
    told = [raga.about, *raga.others("about")]
    is_free = bool(raga.season) or any("any hour" in text for text in told)
    return raga.hours.confidence == TEACHER or not is_free


def hours_in_words(raga: Raga) -> str:
    """All that is taught: `from 9 in the morning to noon`, `from 9 to 3 at night`."""
    return listed([_span_in_words(*span) for span in _joined(raga)], "or")


def _span_in_words(begin: int, end: int) -> str:
    first, last = on_clock(begin), on_clock(end)
    part, end_part = _part(first), _part((last - 1) % 24)
    if part == end_part and last not in NAMED and first not in NAMED:
        return say(WITHIN[part], first=first % 12, last=last % 12)
    since, until = _moment(first, part), _moment(last, end_part)
    return say("from {first} to {last}", first=since, last=until)


def _moment(clock: int, part: str) -> str:
    """`9 in the morning`, `noon`."""
    if (clock, part) == (21, "evening"):
        return say(NINE)
    return say(NAMED[clock]) if clock in NAMED else say(AT[part], hour=clock % 12)


def _part(clock: int) -> str:
    """The part of the day in which this hour begins."""
    return next(name for until, name in PARTS if clock < until)


def _joined(raga: Raga) -> list[Span]:
    """What is taught, with what adjoins or overlaps as one."""
    joined: list[Span] = []
    for begin, end in _spans(raga):
        if joined and begin <= joined[-1][1]:
            begin, end = joined[-1][0], max(joined.pop()[1], end)
        joined.append((begin, end))
    return joined


def on_clock(after_dawn: int) -> int:
    return (after_dawn + DAWN) % 24


def in_sure_order(chosen: tuple[Raga, ...], count: int, others: Sequence[Raga]) -> tuple[Raga, ...]:
    """`count` ragas, those chosen among them, that follow one another in a sure order and over one
    tanpura; empty where there are none."""
    if len(chosen) == count:
        return chosen
    for place, other in enumerate(others):
        beside = has_hours(other) and all(_parted(other, one) for one in chosen)
        if beside and shared_strings((*chosen, other)):
            found = in_sure_order((*chosen, other), count, others[place + 1 :])
            if found:
                return found
    return ()


def _parted(one: Raga, other: Raga) -> bool:
    """Whether all hours taught for the one lie before all those for the other."""
    (begin, end), (other_begin, other_end) = day_of(one), day_of(other)
    return end <= other_begin or other_end <= begin
