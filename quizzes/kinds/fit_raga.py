"""`fit:laya:darbari`: which of two ragas bears a very slow laya better, or does not bear it well.

One is grave and nothing else and the other light, as `quizzes.kinds.raga_gait` tells them; only
such as a source or the teacher stands behind. There are no more than two, since one among several
of the other gait would be known whatever was asked.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from audio.sargam import parse, write
from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.fit_way import FitWay, cue_in, given_as_reason, phrase_in, played
from quizzes.kinds.raga_gait import GAITS, among, gait_of, is_clear
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import drone_for, known_to, label_of, possible_among, some_asked
from quizzes.ragas.choosing import shared_strings
from quizzes.ragas.raga import Raga
from quizzes.ragas.said import raga_name
from quizzes.ragas.sounding import TEMPOS
from quizzes.ragas.tradition import ragas
from quizzes.stages.fitting import Fit, fits
from quizzes.stages.stage import Form
from words import say

RULE = "very-slow"
VERY_SLOW = 40.0
"""In matras a minute: how an explanation lets hear what it is about."""


class RagaWay(FitWay):
    asks = "laya"
    chance = 1 / 2
    seconds = 16.0

    def skills(self, tradition: str, known: Form) -> tuple[Skill, ...]:
        rule = fits(tradition)[self.asks, RULE]
        if not rule.is_clear:
            return ()
        taught = [ragas(tradition)[one] for one in _asked(tradition)]
        return tuple(
            self.skill(raga.id, _name(raga))
            for raga in taught
            if _is_sure(raga, rule) and _has_opposite(raga, taught, rule)
        )

    def name_of(self, skill: str) -> str:
        raga = ragas().get(skill.rpartition(":")[2])
        if raga is None:
            raise not_asked(skill, "fit")
        return _name(raga)

    def rule(self, skill: str, setting: Setting) -> Fit:
        return super().rule(f"fit:{self.asks}:{RULE}", setting)

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        fresh, raga, rule = Fresh(skill, seed), known_to(setting, skill), self.rule(skill, setting)
        gait, asked = gait_of(raga), _asked(setting.tradition)
        offered = among(
            fresh,
            raga,
            setting,
            wrong=1,
            offers=lambda one: one.id in asked and _is_sure(one, rule),
        )
        choices = fresh.shuffled(
            [Choice(one.id, raga_name(one), f"fit:{self.asks}:{one.id}") for one in offered]
        )
        line = phrase_in(fresh, raga, gait)
        question = say(rule.best if gait in rule.suits else rule.least)
        return self.asked(
            skill,
            seed,
            setting,
            prompt=f"{question} {say('You hear a phrase of it.')}",
            choices=choices,
            right=raga.id,
            cue=cue_in(fresh, raga, line, gait, setting, drone_for(offered)),
            sargam=write(line),
            possible=possible_among(choices, raga.id, setting),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        raga, rule = known_to(question.setting, question.skill), self._rule_of(question)
        gait, why, given_cue, plays = gait_of(raga), [_why(raga, rule)], None, ""
        line = parse(question.sargam)
        if given not in question.right:
            other = ragas(question.setting.tradition)[given]
            why.append(_why(other, rule))
            its = gait_of(other)
            other_line = phrase_in(Fresh(f"laya of {given}", question.seed), other, its)
            given_cue = played(question, other, other_line, gait=its, tempo=_tempo(its))
            plays = say("a phrase of {raga}", raga=raga_name(other))
        return Explanation(
            right_label=label_of(question, raga.id),
            given_label=label_of(question, given),
            why=given_as_reason(*why),
            right_cue=played(question, raga, line, gait=gait, tempo=_tempo(gait)),
            given_cue=given_cue,
            given_plays=plays,
            slow_cue=played(question, raga, line, gait=gait, tempo=VERY_SLOW),
        )

    def introduce(self, question: Question) -> str:
        raga, rule = known_to(question.setting, question.skill), self._rule_of(question)
        return f"{say(rule.about)} {given_as_reason(_why(raga, rule))}"

    def _rule_of(self, question: Question) -> Fit:
        return self.rule(question.skill, question.setting)


@lru_cache(maxsize=8)
def _asked(tradition: str = "") -> tuple[str, ...]:
    """The ids of those that are asked, as shipped and what a teacher has besides: as many of each
    gait, or some would stand oftener beside the right one than be right."""
    rule, known = fits()[RagaWay.asks, RULE], ragas(tradition)
    shipped = set(_asked()) if tradition else set()
    sure = [raga for raga in known.values() if _is_sure(raga, rule) or raga.id in shipped]
    of_gait = [[raga for raga in sure if gait_of(raga) == gait] for gait in GAITS]
    count = min(map(len, of_gait))
    asked = (some_asked(known, some, count, lambda _: shipped) for some in of_gait)
    return tuple(one.id for some in asked for one in some)


def _is_sure(raga: Raga, rule: Fit) -> bool:
    """Whether the rule holds of a raga, and not from memory alone."""
    return is_clear(raga) and raga.gait.sure and raga.id not in rule.left_out


def _has_opposite(raga: Raga, known: Sequence[Raga], rule: Fit) -> bool:
    """Whether there is a raga to set beside it, over one tanpura."""
    return any(
        _is_sure(other, rule) and gait_of(other) != gait_of(raga) and shared_strings((raga, other))
        for other in known
    )


def _why(raga: Raga, rule: Fit) -> str:
    gait = gait_of(raga)
    why = say(rule.why if gait in rule.suits else rule.why_not)
    if gait == "grave":
        return say("{raga} is grave: it {why}", raga=raga_name(raga), why=why)
    return say("{raga} is light: it {why}", raga=raga_name(raga), why=why)


def _name(raga: Raga) -> str:
    return say("{raga} in a very slow laya", raga=raga_name(raga))


def _tempo(gait: str) -> float:
    return sum(TEMPOS[gait]) / 2
