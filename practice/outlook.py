"""What today holds, in a few words that a student reads before beginning."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from quizzes.catalogue import name_of
from quizzes.kinds import KINDS
from quizzes.names import capital, listed
from scheduler import Plan, Planned, outlook

LINES_SHOWN = 5
KINDS_NAMED = 3
"""Kinds of which most is asked; the others are only counted."""

_TELLING = (
    "missed before", "confused", "new", "fading", "shaky", "coming", "contrast", "lesson",
    "missed today", "settling", "firm",
)  # fmt: skip
"""Reasons from the most to the least worth reading."""


@dataclass(frozen=True, slots=True)
class Outlook:
    """`headline` says how long and what; each line is a skill and why it is there."""

    headline: str
    lines: tuple[tuple[str, str], ...]


def outlook_of(
    plan: Plan, minutes: float, tradition: str = "", *, is_enough: bool = False
) -> Outlook:
    """The plan in words, the most telling skills first, named as in a teacher's `tradition`;
    `is_enough` where it is shorter than was asked for.
    """
    found = outlook(plan)
    named, others = found.kinds[:KINDS_NAMED], found.kinds[KINDS_NAMED:]
    words = [KINDS[kind].several(count) for kind, count in named]
    if others:
        words.append(f"{sum(count for _, count in others)} more")
    what = listed(words)
    time = f"{minutes:g} minute{'s' * (minutes != 1)}"
    are = "is" if minutes == 1 else "are"
    if not what:
        headline = f"{time} {are} too short for one question"
    else:
        headline = f"{time} {are} enough: {what}" if is_enough else f"{time}: {what}"
    return Outlook(headline, tuple(_line(planned, tradition) for planned in _told(found.planned)))


def _told(planned: Sequence[Planned]) -> list[Planned]:
    """The first skill for each reason, then the second for each, until the lines are full."""
    turns: list[tuple[int, int, Planned]] = []
    seen: Counter[str] = Counter()
    for one in planned:
        code = one.reason.code
        turns.append((seen[code], _TELLING.index(code) if code in _TELLING else 0, one))
        seen[code] += 1
    kept = sorted(turns, key=lambda turn: turn[:2])[:LINES_SHOWN]
    return [one for _, _, one in sorted(kept, key=lambda turn: turn[1])]


def _line(planned: Planned, tradition: str) -> tuple[str, str]:
    why = planned.reason.sentence(lambda skill: name_of(skill, tradition))
    return capital(name_of(planned.skill, tradition)), why
