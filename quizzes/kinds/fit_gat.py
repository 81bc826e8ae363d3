"""`fit:gat:masitkhani`: the strokes of a gat at a middle tempo; for which laya is it made?"""

from __future__ import annotations

from dataclasses import replace

from audio.mizrab import Gat, mizrab
from audio.score import Score
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.fit_way import LAYA_NAMES, FitWay, given_as_reason
from quizzes.kinds.strokes_gat import MATRAS
from quizzes.kinds.strokes_gat import TEMPO as MIDDLE
from quizzes.names import capital
from quizzes.question import Choice, Question, Setting
from quizzes.ragas.asking import label_of
from quizzes.right_hand import Hand, fresh_hand, written
from quizzes.talas.laya import layas
from words import say

SWARAS = 4


class GatWay(FitWay):
    asks = "gat"
    chance = 1 / 2
    seconds = 16.0

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        rule, gat = self.rule(skill, setting), _gat(skill)
        hand = _hand(skill, seed, setting)
        fresh = Fresh(f"{skill} choices", seed)
        right, wrong = fresh.one_of(rule.suits), fresh.one_of(rule.unfit)
        line = _line(gat)
        return self.asked(
            skill,
            seed,
            setting,
            prompt=say(rule.best),
            choices=[
                Choice(laya, capital(say(LAYA_NAMES[laya])))
                for laya in fresh.shuffled([right, wrong])
            ],
            right=right,
            cue=hand.score(line),
            sargam=written(line, hand),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        rule, gat = self.rule(question.skill, question.setting), _gat(question.skill)
        right = question.right[0]
        why = [say("{gat} {why}", gat=capital(say(gat.name)), why=say(rule.why))]
        if given != right:
            why.append(say(rule.why_not))
        return Explanation(
            right_label=label_of(question, right),
            given_label=label_of(question, given),
            why=given_as_reason(*why),
            right_cue=_played(question, gat, right),
            given_cue=None if given == right else _played(question, gat, given),
            given_plays=""
            if given == right
            else say("the same gat, {laya}", laya=say(LAYA_NAMES[given])),
        )

    def introduce(self, question: Question) -> str:
        rule, gat = self.rule(question.skill, question.setting), _gat(question.skill)
        made_for = say(
            "{gat} is made for a {laya} laya: it {why}.",
            gat=capital(say(gat.name)),
            laya=say(LAYA_NAMES[question.right[0]]),
            why=say(rule.why),
        )
        return f"{say(rule.about)} {made_for}"


def _hand(skill: str, seed: int, setting: Setting) -> Hand:
    return fresh_hand(Fresh(skill, seed), setting, tempo=MIDDLE, swaras=SWARAS)


def _line(gat: Gat) -> list[str]:
    """The bols that fill a cycle."""
    return gat.bols.split() * gat.times


def _played(question: Question, gat: Gat, laya: str) -> Score:
    """The cycle over its theka, by the hand of the cue."""
    hand = _hand(question.skill, question.seed, question.setting).explained()
    hand = replace(hand, matras_per_min=float(layas()[laya].plain))
    tabla = hand.theka(gat.tala, matras=MATRAS, from_matra=gat.from_matra)
    return hand.score(_line(gat), tabla=tabla)


def _gat(skill: str) -> Gat:
    return next(gat for gat in mizrab().gats if gat.name == skill.rpartition(":")[2])
