"""`fit:laya:darbari`: which of these ragas bears a very slow laya, or bears it least.

A raga that is grave and nothing else stands among light ones, or a light one among grave ones, as
`quizzes.kinds.raga_gait` tells them; only such as a source or the teacher stands behind.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations

from audio.sargam import parse, write
from quizzes.fresh import Fresh
from quizzes.kinds.fit_way import Way, cue_in, phrase_in, played
from quizzes.kinds.raga_gait import GAITS, WRONG, among, gait_of, is_clear
from quizzes.question import Choice, Explanation, Question, Setting, Skill
from quizzes.ragas.asking import drone_for, evenly, known_to, label_of, possible_among
from quizzes.ragas.choosing import shared_strings
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import TEMPOS
from quizzes.ragas.tradition import ragas
from quizzes.stages.fitting import Fit, fits
from quizzes.stages.stage import Form
from quizzes.stages.tradition import form

RULE = "very-slow"
VERY_SLOW = 40.0
"""In matras a minute: how an explanation lets hear what it is about."""


class RagaWay(Way):
    asks = "laya"
    chance = 1 / (1 + WRONG)
    seconds = 18.0

    def skills(self, tradition: str, known: Form) -> tuple[Skill, ...]:
        rule = fits(tradition)[self.asks, RULE]
        if not rule.is_clear:
            return ()
        shipped = fits()[self.asks, RULE]
        clear = [raga for raga in ragas().values() if _is_sure(raga, shipped)]
        of_gait = [[raga for raga in clear if gait_of(raga) == gait] for gait in GAITS]
        # As many of each: else the odd one would mostly be of the gait that has more ragas.
        count = min(map(len, of_gait))
        taught = ragas(tradition)
        return tuple(
            self.skill(raga.id, f"{raga.name} in a very slow laya")
            for some in of_gait
            for raga in evenly(some, count)
            if _is_sure(taught[raga.id], rule) and _has_opposites(taught[raga.id], taught, rule)
        )

    def rule(self, skill: str, setting: Setting) -> Fit:
        return super().rule(f"fit:{self.asks}:{RULE}", setting)

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        fresh, raga, rule = Fresh(skill, seed), known_to(setting, skill), self.rule(skill, setting)
        gait = gait_of(raga)
        offered = among(fresh, raga, setting, offers=lambda one: _is_sure(one, rule))
        asked = {each.id for each in self.skills("", form())}
        ids = {one: f"fit:{self.asks}:{one.id}" for one in offered}
        choices = fresh.shuffled(
            [Choice(one.id, one.name, its if its in asked else None) for one, its in ids.items()]
        )
        line = phrase_in(fresh, raga, gait)
        question = rule.best if gait in rule.suits else rule.least
        return self.asked(
            skill,
            seed,
            setting,
            prompt=f"{question} You hear a phrase of it.",
            choices=choices,
            right=raga.id,
            cue=cue_in(fresh, raga, line, gait, setting, drone_for(offered)),
            sargam=write(line),
            possible=possible_among(choices, raga.id, setting),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        raga, rule = known_to(question.setting, question.skill), self._rule_of(question)
        gait, why, given_cue, plays = gait_of(raga), _why(raga, rule), None, ""
        line = parse(question.sargam)
        if given not in question.right:
            other = ragas(question.setting.tradition)[given]
            why += f"; {_why(other, rule)}"
            its = gait_of(other)
            other_line = phrase_in(Fresh(f"laya of {given}", question.seed), other, its)
            given_cue = played(question, other, other_line, gait=its, tempo=_tempo(its))
            plays = f"a phrase of {other.name}"
        return Explanation(
            right_label=label_of(question, raga.id),
            given_label=label_of(question, given),
            why=f"{why}.",
            right_cue=played(question, raga, line, gait=gait, tempo=_tempo(gait)),
            given_cue=given_cue,
            given_plays=plays,
            slow_cue=played(question, raga, line, gait=gait, tempo=VERY_SLOW),
        )

    def introduce(self, question: Question) -> str:
        raga, rule = known_to(question.setting, question.skill), self._rule_of(question)
        return f"{rule.about} {_why(raga, rule)}."

    def _rule_of(self, question: Question) -> Fit:
        return self.rule(question.skill, question.setting)


def _is_sure(raga: Raga, rule: Fit) -> bool:
    """Whether the rule holds of a raga, and not from memory alone."""
    return is_clear(raga) and raga.gait.sure and raga.id not in rule.left_out


def _has_opposites(raga: Raga, known: Mapping[str, Raga], rule: Fit) -> bool:
    """Whether there are ragas enough to set beside it, over one tanpura."""
    opposites = [
        other
        for other in known.values()
        if _is_sure(other, rule) and gait_of(other) != gait_of(raga)
    ]
    return any(shared_strings((raga, *some)) for some in combinations(opposites, WRONG))


def _why(raga: Raga, rule: Fit) -> str:
    gait = gait_of(raga)
    return f"{raga.name} is {gait}: it {rule.why if gait in rule.suits else rule.why_not}"


def _tempo(gait: str) -> float:
    return sum(TEMPOS[gait]) / 2
