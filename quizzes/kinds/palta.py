"""`palta`: patterns run through a scale, by ear: how they go on, what they are, where they break.

`palta:continue:three`, `palta:third:four`, `palta:name:skips`, `palta:altered:back`,
`palta:same:compound`: each way of asking is a class of its own; this module hands on to it. The
last part is the grade of the paltas that are asked.
"""

from __future__ import annotations

from collections.abc import Mapping

from quizzes.by_choice import ByChoice
from quizzes.kinds.palta_altered import Altered
from quizzes.kinds.palta_name import Name
from quizzes.kinds.palta_next import Continue
from quizzes.kinds.palta_same import Same
from quizzes.kinds.palta_third import Third
from quizzes.kinds.palta_way import KIND, PaltaWay
from quizzes.met import ALSO_MET
from quizzes.names import counted
from quizzes.paltas import grades
from quizzes.question import Mark, Question, Skill
from quizzes.ways import ByWays
from words import to_say

WAYS: Mapping[str, PaltaWay] = {
    way.way: way for way in (Altered(), Same(), Name(), Continue(), Third())
}
"""In the order in which they are usually met."""


class PaltaKind(ByWays[PaltaWay], ByChoice):
    name = KIND
    title = to_say("A palta by ear: how it goes on, its name, and where it is altered.")
    by_ear = True
    ways = WAYS
    also_met = ALSO_MET

    def skills(self) -> tuple[Skill, ...]:
        return tuple(way.skill_of(grade) for grade in grades() for way in WAYS.values())

    def several(self, count: int) -> str:
        return counted(count, "{number} palta by ear", "{number} paltas by ear")

    def mark(self, question: Question, given: str) -> Mark:
        return self.way_of(question.skill).mark(question, given)
