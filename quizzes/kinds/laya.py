"""`laya`: slow, middle or fast; which of two is faster; how many matras a minute.

The ways to ask are in modules of their own.
"""

from __future__ import annotations

from collections.abc import Mapping

from quizzes.kinds.laya_class import ClassWay
from quizzes.kinds.laya_faster import FasterWay
from quizzes.kinds.laya_matras import MatrasWay
from quizzes.kinds.laya_way import LayaWay
from quizzes.levels import Level
from quizzes.names import counted
from quizzes.question import Skill
from quizzes.talas.asking import TalaKind
from quizzes.talas.tala import Tala
from quizzes.ways import ByWays
from words import to_say

WAYS: Mapping[str, LayaWay] = {way.asks: way for way in (ClassWay(), FasterWay(), MatrasWay())}


class LayaKind(ByWays[LayaWay], TalaKind):
    name = "laya"
    title = to_say("A theka: how fast is it?")
    by_ear = True
    ways = WAYS

    def skills_of(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        return tuple(skill for way in self.ways.values() for skill in way.skills(known))

    def several(self, count: int) -> str:
        return counted(count, "{number} question of laya", "{number} questions of laya")

    def level(self, skill: str) -> Level | None:
        return self.way_of(skill).level(skill)
