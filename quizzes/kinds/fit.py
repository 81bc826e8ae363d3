"""`fit`: which laya, which tala and how much ornament suit a raga, a gat, a laya; and why.

Only clear cases are asked, as `assets/stages/fit.toml` or the student's teacher has them
(`quizzes.stages.fitting`). The ways to ask are in modules of their own.
"""

from __future__ import annotations

from collections.abc import Mapping

from quizzes.kinds.fit_gat import GatWay
from quizzes.kinds.fit_ornament import OrnamentWay
from quizzes.kinds.fit_raga import RagaWay
from quizzes.kinds.fit_tala import TalaWay
from quizzes.kinds.fit_way import FitWay
from quizzes.names import counted
from quizzes.question import Skill
from quizzes.stages.asking import StageKind
from quizzes.stages.stage import Form
from quizzes.stages.tradition import form
from quizzes.ways import ByWays
from words import to_say

WAYS: Mapping[str, FitWay] = {
    way.asks: way for way in (RagaWay(), TalaWay(), GatWay(), OrnamentWay())
}  # fmt: skip


class FitKind(ByWays[FitWay], StageKind):
    name = "fit"
    title = to_say("A raga, a gat, a laya: which laya, which tala, how much ornament suits it?")
    ways = WAYS

    def several(self, count: int) -> str:
        return counted(count, "{number} question of what suits", "{number} questions of what suits")

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        return tuple(skill for way in WAYS.values() for skill in way.skills("", known))

    def skills_taught(self, tradition: str) -> tuple[Skill, ...]:
        known = form(tradition)
        return tuple(skill for way in WAYS.values() for skill in way.skills(tradition, known))
