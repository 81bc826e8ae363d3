"""`fit:tala:slow`: which of these talas carries a slow gat, and which would one not take for it."""

from __future__ import annotations

from audio.sargam import write
from audio.score import Score
from audio.theka import read_theka, theka_strokes
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.fit_way import FitWay, cue_in, given_as_reason, phrase_in
from quizzes.names import listed
from quizzes.question import Choice, Question, Setting
from quizzes.ragas.asking import label_of
from quizzes.stages.asking import raga_for
from quizzes.stages.fitting import Fit
from quizzes.stages.tradition import form
from quizzes.talas import Tala, talas
from quizzes.talas.laya import layas
from words import say

WRONG = 3
GAITS = {"vilambit": "grave", "madhya": "light", "drut": "fast"}
"""How a phrase is played that lets hear a laya."""
HEARD_S = 9.0
"""As many whole cycles, at least one."""


class TalaWay(FitWay):
    asks = "tala"
    chance = 1 / 3
    seconds = 16.0

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        fresh, rule = Fresh(skill, seed), self.rule(skill, setting)
        right_ones, wrong_ones, prompt = fresh.one_of(_questions(rule))
        right = fresh.one_of(right_ones)
        offered = fresh.shuffled([right, *fresh.shuffled(wrong_ones)[:WRONG]])
        raga, gait = raga_for(fresh, setting, form(setting.tradition)), GAITS[rule.laya]
        known = talas(setting.tradition)
        line = phrase_in(fresh, raga, gait)
        return self.asked(
            skill,
            seed,
            setting,
            prompt=f"{say(prompt)} {say('You hear a phrase at such a pace.')}",
            choices=[Choice(one, known[one].called) for one in offered],
            right=right,
            cue=cue_in(fresh, raga, line, gait, setting, raga.drone),
            sargam=write(line),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        rule, right = self.rule(question.skill, question.setting), question.right[0]
        known = talas(question.setting.tradition)
        why = [_why(rule, known[right])]
        if given != right:
            why.append(_why(rule, known[given]))
        return Explanation(
            right_label=label_of(question, right),
            given_label=label_of(question, given),
            why=given_as_reason(*why),
            right_cue=_theka(question, known[right], rule.laya),
            given_cue=None if given == right else _theka(question, known[given], rule.laya),
            given_plays=""
            if given == right
            else say("{tala} at the same tempo", tala=known[given].called),
        )

    def introduce(self, question: Question) -> str:
        rule = self.rule(question.skill, question.setting)
        known = talas(question.setting.tradition)
        suits, unfit = (
            listed([known[one].called for one in each]) for each in (rule.suits, rule.unfit)
        )
        return " ".join(
            [
                say(rule.about),
                say("{talas}: each {why}.", talas=suits, why=say(rule.why)),
                say("{talas}: each {why}.", talas=unfit, why=say(rule.why_not)),
            ]
        )


def _questions(rule: Fit) -> list[tuple[tuple[str, ...], tuple[str, ...], str]]:
    """What is right, what is wrong, and how it is asked."""
    return [(rule.suits, rule.unfit, rule.best), (rule.unfit, rule.suits, rule.least)]


def _why(rule: Fit, tala: Tala) -> str:
    why = rule.why if tala.id in rule.suits else rule.why_not
    return say("{tala} {why}", tala=tala.called, why=say(why))


def _theka(question: Question, tala: Tala, laya: str) -> Score:
    """Whole cycles of its usual theka."""
    tempo = layas()[laya].plain
    cycles = max(1, int(HEARD_S * tempo / 60.0 / tala.matras))
    strokes = theka_strokes(
        read_theka(tala.theka), matras_per_min=tempo, matras=cycles * tala.matras
    )
    return Score(question.cue.sa_hz, (), question.cue.drone, tabla=strokes)
