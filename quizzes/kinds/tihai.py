"""`tihai`: whether it lands on sam, with which gap, from where, and so of chakradars.

`tihai:lands:half`, `tihai:gap:whole`, `tihai:start:half`, `tihai:chakradar:gap`: each way of asking
is a class of its own; this module hands on to it.
"""

from __future__ import annotations

from collections.abc import Mapping

from quizzes.kinds.tihai_chakradar import ChakradarWay
from quizzes.kinds.tihai_gap import GapWay
from quizzes.kinds.tihai_lands import LandsWay
from quizzes.kinds.tihai_start import StartWay
from quizzes.kinds.tihai_way import TihaiWay
from quizzes.names import counted
from quizzes.question import Skill
from quizzes.talas import Tala
from quizzes.talas.asking import TalaKind
from quizzes.ways import ByWays
from words import to_say

WAYS: Mapping[str, TihaiWay] = {
    way.way: way for way in (LandsWay(), GapWay(), StartWay(), ChakradarWay())
}


class TihaiKind(ByWays[TihaiWay], TalaKind):
    name = "tihai"
    title = to_say("A tihai: does it land on sam, with which gap, from where?")
    ways = WAYS

    def skills_of(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        """The same in every tradition: they are asked in whichever tala."""
        return tuple(skill for way in WAYS.values() for skill in way.skills())

    def several(self, count: int) -> str:
        return counted(
            count,
            "{number} way of bringing a tihai to sam",
            "{number} ways of bringing a tihai to sam",
        )

    def is_heard(self, skill: str) -> bool:
        """Whether it lands; all else is reckoned."""
        return isinstance(self.way_of(skill), LandsWay)
