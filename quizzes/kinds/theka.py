"""`theka`: the theka of a tala put in order, written, filled in, and counted on the hand.

`theka:order:jhaptal`, `theka:write:tintal`, `theka:fill:rupak`, `theka:clap:ektal`: each way of
asking is a class of its own; this module hands on to it.
"""

from __future__ import annotations

from collections.abc import Mapping

from quizzes.kinds.theka_clap import Clapping
from quizzes.kinds.theka_fill import Filling
from quizzes.kinds.theka_order import Ordering
from quizzes.kinds.theka_way import ThekaWay
from quizzes.kinds.theka_written import Writing
from quizzes.names import counted
from quizzes.question import Mark, Question, Skill
from quizzes.talas.asking import TalaKind, asked_talas
from quizzes.talas.tala import Tala
from quizzes.ways import ByWays
from words import to_say

WAYS: Mapping[str, ThekaWay] = {
    way.way: way for way in (Clapping(), Filling(), Ordering(), Writing())
}
"""In the order in which they are usually met."""


class ThekaKind(ByWays[ThekaWay], TalaKind):
    name = "theka"
    title = to_say("The theka of a tala: its bols, their order, and its claps")
    ways = WAYS

    def skills_of(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        found = (
            way.skill_of(tala) for way in WAYS.values() for tala in asked_talas(known).values()
        )
        return tuple(skill for skill in found if skill is not None)

    def several(self, count: int) -> str:
        return counted(count, "{number} question on thekas", "{number} questions on thekas")

    def mark(self, question: Question, given: str) -> Mark:
        return self.way_of(question.skill).mark(question, given)
