"""A kind that is asked in several ways, each a class of its own, to which it hands on.

The second part of a skill's id says in which way it is asked: `tihai:gap:whole`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Generic, Protocol, TypeVar

from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.question import Question, Setting


class Way(Protocol):
    """One way of asking."""

    def name_of(self, skill: str) -> str: ...

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question: ...

    def explain(self, question: Question, given: str) -> Explanation: ...

    def introduce(self, question: Question) -> str: ...


AWay = TypeVar("AWay", bound=Way)


class ByWays(Generic[AWay]):
    """Stands before the base of its kind; `ways` are by the second part of the skills' ids, in the
    order in which they are usually met."""

    name: str
    ways: Mapping[str, AWay]

    def name_of(self, skill: str) -> str:
        return self.way_of(skill).name_of(skill)

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        return self.way_of(skill).make(skill, seed=seed, setting=setting)

    def explain(self, question: Question, given: str) -> Explanation:
        return self.way_of(question.skill).explain(question, given)

    def introduce(self, question: Question) -> str:
        return self.way_of(question.skill).introduce(question)

    def way_of(self, skill: str) -> AWay:
        """In which way a skill is asked. Raises UnknownSkill."""
        kind, _, rest = skill.partition(":")
        way = self.ways.get(rest.partition(":")[0])
        if kind != self.name or way is None:
            raise not_asked(skill, self.name)
        return way
