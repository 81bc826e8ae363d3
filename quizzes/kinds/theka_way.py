"""What the ways share to ask for a theka: how it is heard, and how it is explained."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from audio.score import Score
from audio.theka import theka_strokes
from quizzes.errors import UnknownSkill, not_asked
from quizzes.fresh import Fresh
from quizzes.names import counted
from quizzes.question import Mark, Question, Setting, Skill
from quizzes.talas.asking import shipped_tala
from quizzes.talas.cues import ThekaCue, drawn_tempo, middle_laya, theka_cue
from quizzes.talas.laya import Laya, Tempos, layas
from quizzes.talas.sounds import sounds, words_of
from quizzes.talas.tala import Tala, ThekaText
from quizzes.talas.tradition import talas
from quizzes.ways import Way
from quizzes.wheel import Wheel
from words import say

ONCE_FROM = 12
"""From so many matras on a cycle is heard once, else twice."""


class ThekaWay(Way):
    """One way of asking; a question keeps the theka it is about in its detail."""

    way: str
    """The second part of its skills' ids."""
    asks: str
    """The name of a skill, to be said."""
    family = "perception"

    def skill_of(self, tala: Tala) -> Skill | None:
        """The skill of this tala; None where it cannot be asked so."""
        raise NotImplementedError

    def make_of(self, tala: Tala, skill: str, *, seed: int, setting: Setting) -> Question:
        raise NotImplementedError

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        """A question on a theka as the student's teacher has it. Raises UnknownSkill."""
        tala = talas(setting.tradition).get(skill.rpartition(":")[2])
        if tala is None or self.skill_of(tala) is None:
            raise not_asked(skill, "theka")
        return self.make_of(tala, skill, seed=seed, setting=setting)

    def mark(self, question: Question, given: str) -> Mark:
        raise NotImplementedError

    def name_of(self, skill: str) -> str:
        return self._name(shipped_tala(skill.rpartition(":")[2], skill))

    def _name(self, tala: Tala) -> str:
        return say(self.asks, tala=tala.called)

    def skill(self, tala: Tala, *, chance: float, seconds: float) -> Skill:
        return Skill(
            id=f"theka:{self.way}:{tala.id}",
            kind="theka",
            name=self._name(tala),
            family=self.family,
            cluster=f"theka {self.way}",
            chance=chance,
            seconds=seconds,
        )

    def tala_of(self, question: Question) -> Tala:
        """As the student's teacher has it. Raises UnknownSkill."""
        name = question.skill.rpartition(":")[2]
        known = talas(question.setting.tradition)
        if name not in known:
            raise UnknownSkill(f"{question.skill!r} asks of a tala that is not known")
        return known[name]

    def usable(self, tala: Tala) -> list[ThekaText]:
        """The thekas of the laya in which it is heard that can be asked so."""
        return [each for each in thekas_heard(tala) if self.can_use(each)]

    def tempos(self, laya: Laya) -> Tempos:
        """From where to where it is heard, in matras a minute: so that each bol is."""
        return laya.bols

    def can_use(self, theka: ThekaText) -> bool:
        return True

    def heard(
        self,
        fresh: Fresh,
        setting: Setting,
        tala: Tala,
        theka: ThekaText,
        *,
        from_place: int = 0,
        lands: bool = False,
    ) -> ThekaCue:
        """Whole cycles of it; one, or two of a short tala."""
        return theka_cue(
            fresh,
            setting,
            tala,
            matras=tala.matras * cycles_of(tala),
            matras_per_min=drawn_tempo(fresh, *self.tempos(layas()[middle_laya(tala)])),
            from_place=from_place,
            theka=theka,
            lands=lands,
        )


def thekas_heard(tala: Tala) -> tuple[ThekaText, ...]:
    return tala.thekas_for(middle_laya(tala))


def cycles_of(tala: Tala) -> int:
    return 1 if tala.matras >= ONCE_FROM else 2


def cycles_told(tala: Tala) -> str:
    """How many cycles are heard: `one cycle`."""
    return counted(cycles_of(tala), "{number} cycle", "{number} cycles")


def played(question: Question, bols: str) -> Score:
    """One cycle of some bols from their first on, and the stroke after it, evenly, at the tempo and
    the Sa of the question; of rests alone nothing sounds but the drone."""
    if not any(sounds(words_of(bols))):
        return replace(question.cue, strokes=(), tabla=())
    theka = ThekaText(bols, "", "").theka
    strokes = theka_strokes(
        theka,
        matras_per_min=_tempo(question),
        matras=len(theka.matras),
        lands=True,
    )
    return replace(question.cue, strokes=(), tabla=strokes)


def cycle_again(question: Question, tala: Tala) -> ThekaCue:
    """The theka of a question, one cycle from sam to sam; in words as it is struck, not as it is
    said, since what is offered, written and filled in are strokes."""
    bols = str(question.detail["theka"])
    return ThekaCue(
        tala,
        ThekaText(bols, "", ""),
        Fraction(0),
        Fraction(tala.matras),
        _tempo(question),
        played(question, bols),
    )


def turning_wheel(cue: ThekaCue, *, marked: tuple[tuple[int, str], ...] = ()) -> Wheel:
    """The cycle of a theka, turning with it."""
    return Wheel(cue.tala.form, turning=cue.turning, marked=marked)


def _tempo(question: Question) -> Fraction:
    return Fraction(question.detail["tempo"])
