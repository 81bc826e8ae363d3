"""`register`: through which saptaks does this alap go; and does a raga live low or high?

`register:path:mandra-madhya-tar`, `register:home:sohni`: each way of asking is a class of its own;
this module hands on to it.
"""

from __future__ import annotations

from quizzes.errors import UnknownSkill
from quizzes.kinds.register_home import Homes, home_of
from quizzes.kinds.register_path import Paths
from quizzes.question import Explanation, Question, Setting, Skill
from quizzes.ragas.tradition import ragas
from quizzes.stages.asking import StageKind
from quizzes.stages.stage import Form

_ASKINGS: dict[str, Paths | Homes] = {asking.way: asking for asking in (Paths(), Homes())}


class RegisterKind(StageKind):
    name = "register"
    title = "An alap: through which saptaks does it go, and where does it live?"
    thing = "register"
    by_ear = True
    after_things = " of an alap"

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        return tuple(skill for each in _ASKINGS.values() for skill in each.skills_of(known))

    def asked(self, skill: str, tradition: str) -> bool:
        """A raga's home only where the teacher has not said otherwise."""
        raga = skill.rpartition(":")[2]
        moved = raga in ragas() and home_of(ragas(tradition)[raga]) != home_of(ragas()[raga])
        return super().asked(skill, tradition) and not moved

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        return self._asking(skill).make(skill, seed=seed, setting=setting)

    def explain(self, question: Question, given: str) -> Explanation:
        return self._asking(question.skill).explain(question, given)

    def introduce(self, question: Question) -> str:
        return self._asking(question.skill).introduce(question)

    def _asking(self, skill: str) -> Paths | Homes:
        way, _ = self.parts_of(skill, 2)
        if way not in _ASKINGS:
            raise UnknownSkill(f"{skill!r} is not asked; `main.py kinds {self.name}` lists what is")
        return _ASKINGS[way]
