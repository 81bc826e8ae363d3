"""Who tries a question of a deck: somebody to whom the question alone is new."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime

from quizzes.kept import skills_of
from quizzes.question import Skill
from scheduler import Meeting, Memory


def memory_beside(skill: Skill, deck: Iterable[Skill], now: datetime) -> Memory:
    """The memory of who has met all else that is asked beside `skill`, in its `deck` or of its
    kind: what was never met is no possible answer, and a question that leaves one is only shown."""
    return Memory().after_all(_met(skill, deck, now))


def _met(skill: Skill, deck: Iterable[Skill], now: datetime) -> Iterator[Meeting]:
    of_kind = (each for each in deck if each.kind == skill.kind)
    beside = {each.id: None for each in (*of_kind, *skills_of(skill.kind)) if each.id != skill.id}
    for other in beside:
        yield Meeting(
            other,
            skill.kind,
            credit=1.0,
            heard=None,
            chance=1.0,
            response_ms=0,
            utc_ms=round(now.timestamp() * 1000),
            monotonic_s=0.0,
            device="",
            session="",
        )
