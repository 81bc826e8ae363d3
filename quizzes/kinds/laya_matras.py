"""`laya:matras`: a theka is heard: how many matras a minute is that?

The numbers offered stand clearly apart, each at least a quarter more than the one before. They are
drawn first, and which of them sounds afterwards, so that no place among them is likelier.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction

from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.laya_way import (
    LayaWay,
    detail_of,
    explained,
    theka_asked,
)
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.talas.asking import asked_talas, tala_for
from quizzes.talas.steady import is_counted_one_way, struck_cue
from quizzes.talas.tala import Tala, ThekaText
from quizzes.talas.tradition import talas
from quizzes.wheel import Wheel
from words import say, to_say

SKILL = "laya:matras"
NAME = to_say("how many matras a minute")
OFFERED = 4
LOWEST = (44, 84)
"""The lowest number offered lies between these."""
APART = (1.25, 1.36)
"""How many times the one before each number is."""
SHORTEST_S, LONGEST_S = 7.0, 10.5


class MatrasWay(LayaWay):
    asks = "matras"

    def skills(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        if not _counted(known):
            return ()
        return (
            Skill(
                id=SKILL,
                kind="laya",
                name=say(NAME),
                family="perception",
                cluster="laya: matras a minute",
                chance=1 / OFFERED,
                seconds=18.0,
            ),
        )

    def name_of(self, skill: str) -> str:
        if skill != SKILL:
            raise not_asked(skill, "laya")
        return say(NAME)

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        fresh = Fresh(skill, seed)
        tala = tala_for(fresh, setting, of=_counted(talas(setting.tradition)))
        theka = fresh.one_of(_for_any(tala))
        numbers = ladder(fresh)
        right = fresh.one_of(numbers)
        matras = fresh.one_of(_lengths(right))
        cue = struck_cue(fresh, setting, tala, theka, matras=matras, matras_per_min=Fraction(right))
        return Question(
            kind="laya",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("The theka of {tala}. About how many matras a minute?", tala=tala.called),
            choices=tuple(Choice(str(number), str(number)) for number in numbers),
            right=(str(right),),
            cue=cue.score,
            sargam=cue.written,
            detail=detail_of(cue),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        right = question.right[0]
        tala, theka = theka_asked(question)
        cue = explained(question, tala, theka, Fraction(right))
        return Explanation(
            right_label=right,
            given_label=given,
            why=say(
                "{tempo} matras a minute: one lasts {seconds} seconds, and in ten seconds there "
                "are about {matras}.",
                tempo=right,
                seconds=f"{60 / int(right):.2f}",
                matras=round(int(right) / 6),
            ),
            right_cue=cue.score,
            given_cue=None
            if given == right
            else explained(question, tala, theka, Fraction(given)).score,
            given_plays=""
            if given == right
            else say("the same theka at {tempo} matras a minute", tempo=given),
            wheel=Wheel(tala.form, turning=cue.turning),
        )

    def introduce(self, question: Question) -> str:
        return say(
            "How fast is a theka, in matras a minute? One a second makes 60, two a second 120: "
            "feel a second, and count how many matras it holds. Filled matras count once."
        )


def ladder(fresh: Fresh) -> tuple[int, ...]:
    """The numbers to be offered, rising."""
    numbers = [round(fresh.between(*LOWEST))]
    while len(numbers) < OFFERED:
        numbers.append(math.ceil(numbers[-1] * fresh.between(*APART)))
    return tuple(numbers)


def _counted(known: Mapping[str, Tala]) -> tuple[str, ...]:
    """Talas of which nobody counts more or fewer matras in the same theka."""
    return tuple(
        tala.id
        for tala in asked_talas(known).values()
        if is_counted_one_way(tala) and _for_any(tala)
    )


def _for_any(tala: Tala) -> tuple[ThekaText, ...]:
    """The thekas that are not for one class of laya, and so tell nothing of the tempo."""
    return tuple(theka for theka in tala.thekas if not theka.laya)


def _lengths(matras_per_min: int) -> tuple[int, ...]:
    """The whole numbers of matras that last neither too long nor too short."""
    low, high = (lasts_s * matras_per_min / 60 for lasts_s in (SHORTEST_S, LONGEST_S))
    return tuple(range(math.ceil(low), math.floor(high) + 1))
