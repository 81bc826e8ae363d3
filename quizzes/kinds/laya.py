"""`laya`: slow, middle or fast; which of two is faster; how many matras a minute.

The ways to ask are in modules of their own.
"""

from __future__ import annotations

from collections.abc import Mapping

from quizzes.errors import UnknownSkill
from quizzes.kinds.laya_class import ClassWay
from quizzes.kinds.laya_faster import FasterWay
from quizzes.kinds.laya_matras import MatrasWay
from quizzes.kinds.laya_way import Way
from quizzes.levels import Level
from quizzes.question import Explanation, Question, Setting, Skill
from quizzes.talas.asking import TalaKind
from quizzes.talas.tala import Tala

WAYS: dict[str, Way] = {way.asks: way for way in (ClassWay(), FasterWay(), MatrasWay())}


class LayaKind(TalaKind):
    name = "laya"
    title = "A theka: how fast is it?"
    thing = "question"
    after_things = " of laya"
    by_ear = True

    def skills_of(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        return tuple(skill for way in WAYS.values() for skill in way.skills(known))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        return self._way(skill).make(skill, seed=seed, setting=setting)

    def explain(self, question: Question, given: str) -> Explanation:
        return self._way(question.skill).explain(question, given)

    def introduce(self, question: Question) -> str:
        return self._way(question.skill).introduce(question)

    def level(self, skill: str) -> Level | None:
        return self._way(skill).level(skill)

    def _way(self, skill: str) -> Way:
        """How a skill is asked. Raises UnknownSkill."""
        kind, _, rest = skill.partition(":")
        way = WAYS.get(rest.partition(":")[0])
        if kind != self.name or way is None:
            raise UnknownSkill(f"{skill!r} is not asked; `main.py kinds {self.name}` lists what is")
        return way
