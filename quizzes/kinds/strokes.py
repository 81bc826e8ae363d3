"""`strokes`: what the right hand does, written down, found, counted and named.

`strokes:write:dir:8`, `strokes:altered:da-ra`, `strokes:gat:masitkhani`, `strokes:chikari:3`,
`strokes:jhala:4-2`: each way of asking is a class of its own; this module hands on to it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

from quizzes.kinds.strokes_gat import Gats
from quizzes.kinds.strokes_jhala import Counts, Jhalas
from quizzes.kinds.strokes_written import Altered, Writing
from quizzes.names import counted
from quizzes.question import Mark, Question, Skill
from quizzes.ways import ByWays, Way
from words import to_say


class Asking(Way, Protocol):
    """One way of asking."""

    way: str
    """The second part of its skills' ids."""

    def skills(self) -> Sequence[Skill]: ...

    def mark(self, question: Question, given: str) -> Mark: ...


WAYS: Mapping[str, Asking] = {
    asking.way: asking for asking in (Writing(), Altered(), Counts(), Jhalas(), Gats())
}


class StrokesKind(ByWays[Asking]):
    name = "strokes"
    title = to_say("The right hand: which strokes do you hear?")
    ways = WAYS

    def skills(self) -> tuple[Skill, ...]:
        return tuple(skill for asking in WAYS.values() for skill in asking.skills())

    def mark(self, question: Question, given: str) -> Mark:
        return self.way_of(question.skill).mark(question, given)

    def level(self, skill: str) -> None:
        return None

    def several(self, count: int) -> str:
        return counted(count, "{number} pattern of strokes", "{number} patterns of strokes")
