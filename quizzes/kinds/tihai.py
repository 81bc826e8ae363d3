"""`tihai`: whether it lands on sam, with which gap, from where, and so of chakradars.

`tihai:lands:half`, `tihai:gap:whole`, `tihai:start:half`, `tihai:chakradar:gap`: each way of asking
is a class of its own; this module hands on to it.
"""

from __future__ import annotations

from collections.abc import Mapping

from quizzes.errors import UnknownSkill
from quizzes.kinds.tihai_chakradar import ChakradarWay
from quizzes.kinds.tihai_gap import GapWay
from quizzes.kinds.tihai_lands import LandsWay
from quizzes.kinds.tihai_start import StartWay
from quizzes.kinds.tihai_way import TihaiWay
from quizzes.question import Explanation, Question, Setting, Skill
from quizzes.talas import Tala
from quizzes.talas.asking import TalaKind

WAYS: dict[str, TihaiWay] = {
    way.way: way for way in (LandsWay(), GapWay(), StartWay(), ChakradarWay())
}


class TihaiKind(TalaKind):
    name = "tihai"
    title = "A tihai: does it land on sam, with which gap, from where?"
    thing = "way"
    after_things = " of bringing a tihai to sam"

    def skills_of(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        """The same in every tradition: they are asked in whichever tala."""
        return tuple(skill for way in WAYS.values() for skill in way.skills())

    def is_heard(self, skill: str) -> bool:
        """Whether it lands; all else is reckoned."""
        return isinstance(_way(skill), LandsWay)

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        return _way(skill).make(skill, seed=seed, setting=setting)

    def explain(self, question: Question, given: str) -> Explanation:
        return _way(question.skill).explain(question, given)

    def introduce(self, question: Question) -> str:
        return _way(question.skill).introduce(question)


def _way(skill: str) -> TihaiWay:
    """The way in which a skill is asked. Raises UnknownSkill."""
    kind, _, rest = skill.partition(":")
    way = WAYS.get(rest.partition(":")[0])
    if kind != "tihai" or way is None:
        raise UnknownSkill(f"{skill!r} is not asked; after tihai: stands one of {', '.join(WAYS)}")
    return way
