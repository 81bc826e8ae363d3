"""`tihai:lands:matra`: a tihai over a theka; does its last stroke fall on sam?

The theka goes on beyond it, as long whatever is right, and begins now here, now there: neither how
long anything lasts nor how many strokes there are tells where sam is. In the first level it is told
where the theka begins, in the second sam has to be heard.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.tihai_sound import (
    drawn_tala,
    lead_to,
    least_lead,
    over_theka,
    played_out,
    shapes,
    tala_of,
)
from quizzes.kinds.tihai_way import ABOUT, TihaiWay, counted_on, fallen, tihai_skill
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import label_of
from quizzes.talas import Tala
from quizzes.talas.cycle import place_of
from quizzes.talas.tihai import Tihai
from words import say, to_say

HALF = Fraction(1, 2)
SIDES = {"before": -1, "sam": 0, "after": 1}
LABELS = {"before": to_say("Before sam"), "sam": to_say("On sam"), "after": to_say("After sam")}
TAILS = (4, 5, 6, 7)
"""Matras of theka from the last stroke on: more than it is ever off."""


@dataclass(frozen=True, slots=True)
class Lands:
    """One level: how far off it may be, and of what the tihai is made."""

    name: str
    off: tuple[Fraction, ...]
    missed: str
    """What is told of it before it is first asked, to be said."""
    phrases: tuple[Fraction, ...]
    gaps: tuple[Fraction, ...]
    told: bool
    """Whether it is told where the theka begins."""


LEVELS = {
    "matra": Lands(
        to_say("whether a tihai lands, by a matra"),
        (Fraction(1), Fraction(2)),
        to_say("Count the theka on while it is played: it may miss sam by one matra or two."),
        tuple(map(Fraction, (2, 3, 4))),
        tuple(map(Fraction, (0, 1, 2))),
        told=True,
    ),
    "half": Lands(
        to_say("whether a tihai lands, by half a matra"),
        (HALF, Fraction(1)),
        to_say(
            "Count the theka on while it is played: it may miss sam by half a matra or a whole one."
        ),
        tuple(n * HALF for n in range(4, 9)),
        tuple(n * HALF for n in range(4)),
        told=False,
    ),
}


class LandsWay(TihaiWay):
    way = "lands"

    def names(self) -> Mapping[str, str]:
        return {level: each.name for level, each in LEVELS.items()}

    def skills(self) -> tuple[Skill, ...]:
        return tuple(
            tihai_skill(self.way, level, each.name, chance=1 / len(SIDES), seconds=22.0)
            for level, each in LEVELS.items()
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        level, fresh = LEVELS[self.level_of(skill)], Fresh(skill, seed)
        tala = drawn_tala(fresh, setting)
        answer = fresh.one_of(tuple(SIDES))
        shortest = min(form.matras for form in tala.forms)
        size = fresh.one_of([off for off in level.off if 2 * off < shortest])
        besides = least_lead(tala) + tala.matras + TAILS[-1]
        tihai = fresh.one_of(shapes(level.phrases, level.gaps, besides=besides))
        start = tihai.start_for(SIDES[answer] * size, tala.matras)
        matras = tala.form.starts if level.told else range(1, tala.matras + 1)
        from_matra, lead = _begun(fresh, tala, matras, start)
        over = over_theka(
            fresh,
            setting,
            tala,
            tihai.phrase,
            begins=[lead + begin for begin in tihai.begins],
            from_place=place_of(from_matra),
            matras=int(lead + tihai.ends[-1]) + fresh.one_of(TAILS),
        )
        return Question(
            kind="tihai",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=_prompt(tala, from_matra if level.told else 0),
            choices=tuple(Choice(side, say(LABELS[side])) for side in SIDES),
            right=(answer,),
            cue=over.score,
            sargam=over.sargam,
            detail={
                **over.as_json(),
                "phrase": str(tihai.phrase),
                "gap": str(tihai.gap),
                "size": str(size),
            },
        )

    def explain(self, question: Question, given: str) -> Explanation:
        detail, cycle, right = question.detail, tala_of(question).matras, question.right[0]
        tihai = Tihai(Fraction(detail["phrase"]), Fraction(detail["gap"]))
        size = Fraction(detail["size"])
        start = tihai.start_for(SIDES[right] * size, cycle)
        score, wheel = played_out(question, tihai, start)
        heard = given_plays = None
        if given != right:
            other = tihai.start_for(SIDES[given] * size, cycle)
            heard, _ = played_out(question, tihai, other)
            given_plays = say(
                "the same tihai, its last stroke {fallen}", fallen=fallen(tihai, other, cycle)
            )
        return Explanation(
            right_label=label_of(question, right),
            given_label=label_of(question, given),
            why=counted_on(tihai, start, cycle),
            right_cue=score,
            given_cue=heard,
            given_plays=given_plays or "",
            wheel=wheel,
        )

    def introduce(self, question: Question) -> str:
        detail, cycle = question.detail, tala_of(question).matras
        tihai = Tihai(Fraction(detail["phrase"]), Fraction(detail["gap"]))
        start = tihai.start_for(SIDES[question.right[0]] * Fraction(detail["size"]), cycle)
        level = LEVELS[self.level_of(question.skill)]
        here = say("Here the last stroke falls {fallen}.", fallen=fallen(tihai, start, cycle))
        return f"{say(ABOUT)} {say(level.missed)} {here}"


def _prompt(tala: Tala, from_matra: int) -> str:
    """0 where it is not told from which matra the theka begins."""
    if from_matra:
        return say(
            "{tala} from matra {matra}, and a tihai over it. Where does its last stroke fall?",
            tala=tala.called,
            matra=from_matra,
        )
    return say(
        "{tala} from somewhere in its cycle, and a tihai over it. Where does its last stroke fall?",
        tala=tala.called,
    )


def _begun(
    fresh: Fresh, tala: Tala, matras: Sequence[int], start: Fraction
) -> tuple[int, Fraction]:
    """A matra, one of these, from which the theka comes to `start` soon, but not too soon, and
    after how many matras."""
    least = least_lead(tala)
    leads = {matra: lead_to(start, place_of(matra), tala.matras, least=least) for matra in matras}
    soon = [matra for matra, lead in leads.items() if 2 * (lead - least) < tala.matras]
    matra = fresh.one_of(soon or tuple(leads))
    return matra, leads[matra]
