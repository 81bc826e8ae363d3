"""`prastara`: all orders of a few swaras in the succession of the treatises.

`prastara:next:3`, `prastara:missing:3`, `prastara:count`, `prastara:number:4`: each way of asking
is a class of its own; this module hands on to it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

from quizzes.by_choice import ByChoice
from quizzes.kinds.prastara_count import Count
from quizzes.kinds.prastara_missing import Missing
from quizzes.kinds.prastara_next import Next
from quizzes.kinds.prastara_number import Number
from quizzes.met import ALSO_MET
from quizzes.names import counted
from quizzes.question import Skill
from quizzes.ways import ByWays, Way
from words import to_say


class Asking(Way, Protocol):
    """One way of asking."""

    way: str
    """The second part of its skills' ids."""

    def skills(self) -> Sequence[Skill]: ...


WAYS: Mapping[str, Asking] = {
    asking.way: asking for asking in (Missing(), Next(), Count(), Number())
}
"""In the order in which they are usually met."""


class PrastaraKind(ByWays[Asking], ByChoice):
    name = "prastara"
    title = to_say("Prastara: all orders of a few swaras, and the place of each.")
    ways = WAYS
    also_met = ALSO_MET

    def skills(self) -> tuple[Skill, ...]:
        return tuple(skill for asking in WAYS.values() for skill in asking.skills())

    def several(self, count: int) -> str:
        return counted(count, "{number} question on prastara", "{number} questions on prastara")
