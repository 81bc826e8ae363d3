"""`layakari`: so many notes to a matra, by ear; and where a theka said so must begin, how long it
takes.

The ways to ask are in modules of their own.
"""

from __future__ import annotations

from collections.abc import Mapping

from quizzes.kinds.layakari_hear import HearWay
from quizzes.kinds.layakari_place import StartWay, TakesWay
from quizzes.kinds.layakari_way import LayakariWay
from quizzes.names import counted
from quizzes.question import Skill
from quizzes.talas.asking import TalaKind
from quizzes.talas.layakari import Layakari, layakaris
from quizzes.talas.tala import Tala
from quizzes.talas.tradition import talas
from quizzes.ways import ByWays
from words import to_say

WAYS: Mapping[str, LayakariWay] = {way.asks: way for way in (HearWay(), TakesWay(), StartWay())}


class LayakariKind(ByWays[LayakariWay], TalaKind):
    name = "layakari"
    title = to_say("So many notes to a matra: how many, and where must they begin to reach sam?")
    ways = WAYS

    def skills_taught(self, tradition: str) -> tuple[Skill, ...]:
        return _skills(talas(tradition), layakaris(tradition))

    def skills_of(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        return _skills(known, layakaris())

    def several(self, count: int) -> str:
        return counted(count, "{number} question of layakari", "{number} questions of layakari")

    def is_heard(self, skill: str) -> bool:
        return isinstance(self.way_of(skill), HearWay)


def _skills(known: Mapping[str, Tala], ratios: Mapping[str, Layakari]) -> tuple[Skill, ...]:
    return tuple(skill for way in WAYS.values() for skill in way.skills(known, ratios))
