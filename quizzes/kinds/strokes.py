"""`strokes`: what the right hand does, written down, found, counted and named.

`strokes:write:dir:8`, `strokes:altered:da-ra`, `strokes:gat:masitkhani`, `strokes:chikari:3`,
`strokes:jhala:4-2`: each way of asking is a class of its own; this module hands on to it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from quizzes.errors import UnknownSkill
from quizzes.kinds.strokes_gat import Gats
from quizzes.kinds.strokes_jhala import Counts, Jhalas
from quizzes.kinds.strokes_written import Altered, Writing
from quizzes.names import counted
from quizzes.question import Explanation, Mark, Question, Setting, Skill


class Asking(Protocol):
    """One way of asking."""

    way: str
    """The second part of its skills' ids."""

    def skills(self) -> Sequence[Skill]: ...

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question: ...

    def mark(self, question: Question, given: str) -> Mark: ...

    def explain(self, question: Question, given: str) -> Explanation: ...

    def introduce(self, question: Question) -> str: ...


ASKINGS: dict[str, Asking] = {
    asking.way: asking for asking in (Writing(), Altered(), Counts(), Jhalas(), Gats())
}


class StrokesKind:
    name = "strokes"
    title = "The right hand: which strokes do you hear?"

    def skills(self) -> tuple[Skill, ...]:
        return tuple(skill for asking in ASKINGS.values() for skill in asking.skills())

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        return _asking(skill).make(skill, seed=seed, setting=setting)

    def mark(self, question: Question, given: str) -> Mark:
        return _asking(question.skill).mark(question, given)

    def explain(self, question: Question, given: str) -> Explanation:
        return _asking(question.skill).explain(question, given)

    def level(self, skill: str) -> None:
        return None

    def several(self, count: int) -> str:
        return f"{counted(count, 'pattern')} of strokes"

    def introduce(self, question: Question) -> str:
        return _asking(question.skill).introduce(question)


def _asking(skill: str) -> Asking:
    """The way in which a skill is asked. Raises UnknownSkill."""
    kind, _, rest = skill.partition(":")
    asking = ASKINGS.get(rest.partition(":")[0])
    if kind != "strokes" or asking is None:
        raise UnknownSkill(
            f"{skill!r} is not asked; after strokes: stands one of {', '.join(ASKINGS)}"
        )
    return asking
