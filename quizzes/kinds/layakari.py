"""`layakari`: so many notes to a matra, by ear; and where a theka said so must begin, how long it
takes.

The ways to ask are in modules of their own.
"""

from __future__ import annotations

from collections.abc import Mapping

from quizzes.errors import UnknownSkill
from quizzes.kinds.layakari_hear import HearWay
from quizzes.kinds.layakari_place import StartWay, TakesWay
from quizzes.kinds.layakari_way import Way
from quizzes.question import Explanation, Question, Setting, Skill
from quizzes.talas.asking import TalaKind
from quizzes.talas.layakari import Layakari, layakaris
from quizzes.talas.tala import Tala
from quizzes.talas.tradition import talas

WAYS: dict[str, Way] = {way.asks: way for way in (HearWay(), TakesWay(), StartWay())}


class LayakariKind(TalaKind):
    name = "layakari"
    title = "So many notes to a matra: how many, and where must they begin to reach sam?"
    thing = "question"
    after_things = " of layakari"

    def skills_taught(self, tradition: str) -> tuple[Skill, ...]:
        return _skills(talas(tradition), layakaris(tradition))

    def skills_of(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        return _skills(known, layakaris())

    def is_heard(self, skill: str) -> bool:
        return isinstance(self._way(skill), HearWay)

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        return self._way(skill).make(skill, seed=seed, setting=setting)

    def explain(self, question: Question, given: str) -> Explanation:
        return self._way(question.skill).explain(question, given)

    def introduce(self, question: Question) -> str:
        return self._way(question.skill).introduce(question)

    def _way(self, skill: str) -> Way:
        """How a skill is asked. Raises UnknownSkill."""
        kind, _, rest = skill.partition(":")
        way = WAYS.get(rest.partition(":")[0])
        if kind != self.name or way is None:
            raise UnknownSkill(f"{skill!r} is not asked; `main.py kinds {self.name}` lists what is")
        return way


def _skills(known: Mapping[str, Tala], ratios: Mapping[str, Layakari]) -> tuple[Skill, ...]:
    return tuple(skill for way in WAYS.values() for skill in way.skills(known, ratios))
