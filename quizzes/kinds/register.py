"""`register`: through which saptaks does this alap go; and does a raga live low or high?

`register:path:mandra-madhya-tar`, `register:home:sohni`: each way of asking is a class of its own;
this module hands on to it.
"""

from __future__ import annotations

from collections.abc import Mapping

from quizzes.kinds.register_home import Homes, home_of
from quizzes.kinds.register_path import Paths
from quizzes.names import counted
from quizzes.question import Skill
from quizzes.ragas.tradition import ragas
from quizzes.stages.asking import StageKind
from quizzes.stages.stage import Form
from quizzes.stages.tradition import form
from quizzes.ways import ByWays
from words import to_say

WAYS: Mapping[str, Paths | Homes] = {way.way: way for way in (Paths(), Homes())}


class RegisterKind(ByWays[Paths | Homes], StageKind):
    name = "register"
    title = to_say("An alap: through which saptaks does it go, and where does it live?")
    by_ear = True
    ways = WAYS

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        return tuple(skill for each in WAYS.values() for skill in each.skills_of(known))

    def several(self, count: int) -> str:
        return counted(count, "{number} register of an alap", "{number} registers of an alap")

    def skills_taught(self, tradition: str) -> tuple[Skill, ...]:
        paths = Paths().skills_of(form(tradition))
        return (*paths, *Homes().skills_among(ragas(tradition)))

    def asked(self, skill: str, tradition: str) -> bool:
        """A raga's home only where the teacher has not said otherwise."""
        raga = skill.rpartition(":")[2]
        moved = raga in ragas() and home_of(ragas(tradition)[raga]) != home_of(ragas()[raga])
        return super().asked(skill, tradition) and not moved
