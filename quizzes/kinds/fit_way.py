"""A way to ask what suits: what the ways share."""

from __future__ import annotations

from collections.abc import Sequence

from audio.line import Line
from audio.score import Score
from quizzes.errors import not_asked
from quizzes.fresh import Fresh
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.growing import grow
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import TEMPOS, cue_of, explained_cue, hand_of, raga_line
from quizzes.stages.fitting import Fit, fits
from quizzes.stages.stage import Form
from quizzes.ways import Way
from words import say, to_say

FEWEST, MOST = 5, 7
"""How many swaras a phrase has."""
LAYA_NAMES = {
    "vilambit": to_say("slow (vilambit)"),
    "madhya": to_say("middle (madhya)"),
    "drut": to_say("fast (drut)"),
}
"""To be said."""


class FitWay(Way):
    """One way of asking; `asks` is what its rules ask, the second part of its skills' ids."""

    asks: str
    chance: float
    seconds: float

    def skills(self, tradition: str, known: Form) -> tuple[Skill, ...]:
        """What can be asked in a teacher's tradition, in which a performance unfolds so."""
        return tuple(
            self.skill(rule.id, say(rule.name))
            for rule in fits(tradition).values()
            if rule.asks == self.asks and rule.is_clear and self.agrees(rule, known)
        )

    def agrees(self, rule: Fit, known: Form) -> bool:
        """Whether what is known of the stages does not speak against a rule."""
        return True

    def skill(self, last: str, name: str) -> Skill:
        return Skill(
            id=f"fit:{self.asks}:{last}",
            kind="fit",
            name=name,
            family="facts",
            cluster=f"what suits, {self.asks}",
            chance=self.chance,
            seconds=self.seconds,
        )

    def name_of(self, skill: str) -> str:
        """As its rule is called as shipped. Raises UnknownSkill."""
        rule = fits().get((self.asks, skill.rpartition(":")[2]))
        if rule is None:
            raise not_asked(skill, "fit")
        return say(rule.name)

    def rule(self, skill: str, setting: Setting) -> Fit:
        """As the student's teacher has it; as shipped where he leaves nothing to ask."""
        key = (self.asks, skill.rpartition(":")[2])
        taught = fits(setting.tradition)[key]
        return taught if taught.is_clear else fits()[key]

    def asked(
        self,
        skill: str,
        seed: int,
        setting: Setting,
        *,
        prompt: str,
        choices: Sequence[Choice],
        right: str,
        cue: Score,
        sargam: str,
        possible: tuple[str, ...] | None = None,
        detail: dict[str, str] | None = None,
    ) -> Question:
        return Question(
            kind="fit",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=prompt,
            choices=tuple(choices),
            right=(right,),
            cue=cue,
            sargam=sargam,
            possible=possible,
            detail=detail or {},
        )


def given_as_reason(*clauses: str) -> str:
    """`Dadra lives on its roll; tintal does not.`: clauses as one sentence."""
    return say("{reasons}.", reasons="; ".join(clauses))


def phrase_in(fresh: Fresh, raga: Raga, gait: str) -> Line:
    """A fresh phrase of a raga, played in this gait."""
    swaras = grow(fresh, raga, fewest=FEWEST, most=MOST, gait=gait)
    return raga_line(fresh, raga, swaras, gait=gait)


def cue_in(fresh: Fresh, raga: Raga, line: Line, gait: str, setting: Setting, drone: str) -> Score:
    return cue_of(
        fresh,
        line,
        sa_hz=setting.sa_hz,
        tuning=setting.tuning,
        drone=drone,
        tempo=TEMPOS[gait],
        hand=hand_of(gait),
        raga=raga,
    )


def played(question: Question, raga: Raga, line: Line, *, gait: str, tempo: float) -> Score:
    """A line as an explanation plays it, at the question's Sa; `tempo` in matras a minute."""
    drone = question.cue.drone
    return explained_cue(
        line,
        sa_hz=question.cue.sa_hz,
        tuning=question.setting.tuning,
        drone=None if drone is None else drone.first,
        matras_per_min=tempo,
        hand=hand_of(gait),
        raga=raga,
    )
