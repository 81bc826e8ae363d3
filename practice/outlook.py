"""What today holds, in a few words that a student reads before beginning."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from quizzes.catalogue import name_of
from quizzes.kinds import KINDS
from quizzes.names import capital, in_figures, listed
from scheduler import Plan, Planned, outlook
from scheduler.why import reason_for
from words import say, say_many, to_say

LINES_SHOWN, OF_LESSON_SHOWN = 5, 3
"""Lines in all, and how many of them at most are kept for the lesson."""
KINDS_NAMED = 3
"""Kinds of which most is asked; the others are only counted."""
LIKELIER_GONE = 50
"""Percent known: below that a skill is likelier gone than not."""

_TELLING = (
    "missed before", "confused", "new", "fading", "shaky", "coming", "contrast", "heard for",
    "lesson", "missed today", "settling", "again", "firm", "between",
)  # fmt: skip
"""Reasons from the most to the least worth reading."""
_COUNTED = {
    "new": to_say("{number} new"),
    "missed last time": to_say("{number} missed last time"),
    "about to fade": to_say("{number} about to fade"),
    "perhaps gone": to_say("{number} perhaps gone"),
}
"""To be said, by the state of a skill."""


@dataclass(frozen=True, slots=True)
class Outlook:
    """`headline` says how long and what, `counts` how much of it is new, missed or fading; each
    line is a skill and why it is there."""

    headline: str
    lines: tuple[tuple[str, str], ...]
    counts: str = ""


def outlook_of(
    plan: Plan,
    minutes: float,
    called: Callable[[str], str] = name_of,
    *,
    is_enough: bool = False,
    about: str = "",
) -> Outlook:
    """The plan in words, the most telling skills first, by what each is `called`; `is_enough` where
    it is shorter than was asked for. What the lesson is `about`, its ragas in words, comes first.
    """
    planned = outlook(plan).planned
    of_lesson = plan.lesson.skills if plan.lesson and about else frozenset()
    for_lesson = [one for one in planned if one.skill in of_lesson]
    others = [one for one in planned if one.skill not in of_lesson]
    words = [say("{number} for your lesson on {ragas}", number=len(for_lesson), ragas=about)]
    words = words if for_lesson else []
    what = listed([*words, *_kinds(others)])
    headline = _headline(minutes, what, is_enough=is_enough)
    first = _told(for_lesson, OF_LESSON_SHOWN)
    told = [*first, *_told(others, LINES_SHOWN - len(first))]
    if len(told) < LINES_SHOWN:
        told = [*_told(for_lesson, LINES_SHOWN), *_told(others, LINES_SHOWN)][:LINES_SHOWN]
    lines = tuple(_line(one, called, for_lesson=one.skill in of_lesson) for one in told)
    return Outlook(headline, lines, ", ".join(_counts(plan, planned)))


def _headline(minutes: float, what: str, *, is_enough: bool) -> str:
    count, number = 1 if minutes == 1 else 2, f"{minutes:g}"
    if not what:
        return say_many(
            "{number} minute is too short for one question",
            "{number} minutes are too short for one question",
            count,
            number=number,
        )
    if is_enough:
        return say_many(
            "{number} minute is enough: {what}",
            "{number} minutes are enough: {what}",
            count,
            number=number,
            what=what,
        )
    return say_many(
        "{number} minute: {what}", "{number} minutes: {what}", count, number=number, what=what
    )


def _kinds(planned: Sequence[Planned]) -> Iterator[str]:
    """`9 gaps`, `5 swaras`, and how many are of other kinds."""
    kinds = Counter(one.kind for one in planned).most_common()
    for kind, count in kinds[:KINDS_NAMED]:
        yield in_figures(KINDS[kind].several(count), count)
    if more := sum(count for _, count in kinds[KINDS_NAMED:]):
        yield say("{number} of other kinds", number=more)


def _counts(plan: Plan, planned: Sequence[Planned]) -> Iterator[str]:
    """`12 new`, `20 missed last time`: each skill once, whatever else it is asked for."""
    of = Counter(_state(plan, one) for one in planned)
    return (say(told, number=of[state]) for state, told in _COUNTED.items() if of[state])


def _state(plan: Plan, planned: Planned) -> str:
    if planned.is_new:
        return "new"
    if plan.memory.beliefs[planned.skill].missed:
        return "missed last time"
    why = reason_for(planned.skill, plan.memory, plan.started, lesson=None)
    if why.code != "fading":
        return ""
    return "about to fade" if why.numbers[1] >= LIKELIER_GONE else "perhaps gone"


def _told(planned: Sequence[Planned], most: int) -> list[Planned]:
    """The first skill for each reason, then the second for each, until there are so many."""
    turns: list[tuple[int, int, Planned]] = []
    seen: Counter[str] = Counter()
    for one in planned:
        code = one.reason.code
        turns.append((seen[code], _TELLING.index(code), one))
        seen[code] += 1
    kept = sorted(turns, key=lambda turn: turn[:2])[:most]
    return [one for _, _, one in sorted(kept, key=lambda turn: turn[1])]


def _line(planned: Planned, called: Callable[[str], str], *, for_lesson: bool) -> tuple[str, str]:
    why = planned.reason.sentence(called)
    if for_lesson and planned.reason.code == "new":
        why = say("new, for your lesson")
    return capital(called(planned.skill)), why
