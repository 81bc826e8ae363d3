"""`matra:ID`: a theka runs from sam, and once the sitar strikes: on which matra did it fall?

How loud, how bright and how high that stroke is says nothing; as many matras are heard whichever it
is.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import ORDINALS, counted, ordinal
from quizzes.question import Question, Setting, Skill
from quizzes.talas.asking import TalaKind, shipped_tala
from quizzes.talas.cues import theka_cue
from quizzes.talas.cycle import matra_at, place_in
from quizzes.talas.hearing import (
    LONGEST_S,
    Listening,
    counting,
    cue_again,
    drawn_laya,
    drawn_pace,
    drawn_theka,
    explained_tempo,
    kept,
    layas_for,
    plain_cue,
    plucked,
    points,
)
from quizzes.talas.tala import Tala, ThekaText
from quizzes.talas.wording import bols_of, on_matras
from quizzes.wheel import Wheel
from words import say, to_say

MOST_BEFORE = 2
"""So many whole cycles go before the one in which the sitar strikes, fewer where they are long."""
AFTER = 2
"""So many matras beyond the last on which it may strike."""
SA_CENTS = (0.0, 1200.0)
LONGEST_STROKE_S = 0.9
SECONDS = 22.0


class MatraKind(TalaKind):
    name = "matra"
    title = to_say("The sitar strikes once over a theka: on which matra?")
    by_ear = True

    def skills_of(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        return tuple(_skill(tala) for tala in known.values() if _layas(tala, 0))

    def name_of(self, skill: str) -> str:
        return _name(shipped_tala(self.parts_of(skill, 1)[0], skill))

    def several(self, count: int) -> str:
        return counted(count, "{number} tala to count", "{number} talas to count")

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        tala = self.tala_of(skill, setting)
        fresh = Fresh(skill, seed)
        how = counting(skill, setting)
        before = next(n for n in (1, 0) if _layas(tala, n, how))
        laya = drawn_laya(fresh, _layas(tala, before, how))
        tempo = drawn_pace(fresh, laya, _matras(tala, before), how)
        while before < MOST_BEFORE and 60 * _matras(tala, before + 1) <= LONGEST_S * tempo:
            before += 1
        cue = theka_cue(
            fresh,
            setting,
            tala,
            matras=_matras(tala, before),
            matras_per_min=tempo,
            theka=drawn_theka(fresh, tala.thekas_for(laya), met=skill in setting.met),
            lands=True,
        )
        at = before * tala.matras + fresh.one_of(range(1, tala.matras + 1))
        stroke = fresh.stroke(
            fresh.one_of(SA_CENTS),
            onset_s=float(Fraction(at * 60) / tempo),
            duration_s=min(LONGEST_STROKE_S, float(60 / tempo)),
        )
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say(
                "The theka of {tala}, from sam. The sitar strikes once: on which matra?",
                tala=tala.called,
            ),
            choices=points(tala.matras, named=True),
            right=(str(matra_at(place_in(at, tala.matras))),),
            cue=cue.with_strokes([stroke]),
            sargam=f"{cue.written}; the sitar after {at} matras",
            answer_on="wheel",
            detail=kept(cue),
            wheel=Wheel(tala.form),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        tala = self.tala_of(question.skill, question.setting)
        right, said, cue = int(question.right[0]), int(given), cue_again(question, tala)
        played = plain_cue(
            question,
            tala,
            cue.theka,
            explained_tempo(cue.matras_per_min, tala.matras),
        )
        marked = [(right, say("the sitar"))]
        if said != right:
            marked.append((said, say("said")))
        return Explanation(
            right_label=question.choice(str(right)).label,
            given_label=question.choice(given).label,
            why=_why(tala, cue.theka, right, said),
            right_cue=plucked(played, [right - 1]),
            given_cue=None if said == right else plucked(played, [said - 1]),
            given_plays="" if said == right else say("the sitar on matra {matra}", matra=said),
            wheel=Wheel(tala.form, turning=played.turning, marked=tuple(marked)),
        )

    def introduce(self, question: Question) -> str:
        tala = self.tala_of(question.skill, question.setting)
        return say(
            "Count {tala} with the theka, from sam: {matras} matras, with vibhags beginning on "
            "{starts}. The sitar strikes once; say on which matra.",
            tala=tala.called,
            matras=tala.matras,
            starts=on_matras(tala.form.starts),
        )


def _matras(tala: Tala, before: int) -> int:
    """How many are heard with so many cycles before the one in which the sitar strikes."""
    return (before + 1) * tala.matras + AFTER


def _layas(tala: Tala, before: int, how: Listening = Listening.COUNT) -> tuple[str, ...]:
    """The classes of laya in which so many cycles before it can be counted, too."""
    return layas_for(tala, _matras(tala, before), how)


def _why(tala: Tala, theka: ThekaText, right: int, given: int) -> str:
    fell = _fell(tala, theka, right)
    if given == right:
        return say("{fell}.", fell=fell)
    off = _off(given - right, tala.matras)
    return say("{fell}; {matra} is {off}.", fell=fell, matra=given, off=off)


def _fell(tala: Tala, theka: ThekaText, matra: int) -> str:
    """Where it fell; in which place of its vibhag, but where this is one matra or longer than words
    are."""
    bols, vibhag = bols_of(theka, matra), tala.form.vibhag_of(matra)
    inside = matra - tala.form.starts[vibhag]
    if tala.vibhags[vibhag] == 1 or inside >= len(ORDINALS):
        return say("It fell on matra {matra}, {bols}", matra=matra, bols=bols)
    return say(
        "It fell on matra {matra}, {bols}, the {place} of vibhag {vibhag}",
        matra=matra,
        bols=bols,
        place=ordinal(inside),
        vibhag=vibhag + 1,
    )


def _off(late: int, cycle: int) -> str:
    """How far an answer lies from what is right, the shorter way round."""
    late = (late + cycle // 2) % cycle - cycle // 2
    if abs(late) * 2 == cycle:
        return say("half a cycle away")
    if late > 0:
        return counted(late, "{number} matra late", "{number} matras late")
    return counted(-late, "{number} matra early", "{number} matras early")


def _name(tala: Tala) -> str:
    return say("The matra of a stroke in {tala}", tala=tala.called)


def _skill(tala: Tala) -> Skill:
    return Skill(
        id=f"{MatraKind.name}:{tala.id}",
        kind=MatraKind.name,
        name=_name(tala),
        family="perception",
        cluster=f"matras of {tala.matras}",
        chance=1 / tala.matras,
        seconds=SECONDS,
    )
