"""`matra:ID`: a theka runs from sam, and once the sitar strikes: on which matra did it fall?

How loud, how bright and how high that stroke is says nothing; as many matras are heard whichever it
is.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import ORDINALS, counted
from quizzes.question import Question, Setting, Skill
from quizzes.talas.asking import TalaKind
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
from quizzes.talas.tala import Tala
from quizzes.talas.wording import bols_of, on_matras
from quizzes.wheel import Wheel

MOST_BEFORE = 2
"""So many whole cycles go before the one in which the sitar strikes, fewer where they are long."""
AFTER = 2
"""So many matras beyond the last on which it may strike."""
SA_CENTS = (0.0, 1200.0)
LONGEST_STROKE_S = 0.9
SECONDS = 22.0


class MatraKind(TalaKind):
    name = "matra"
    title = "The sitar strikes once over a theka: on which matra?"
    thing = "tala"
    by_ear = True
    after_things = " to count"

    def skills_of(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        return tuple(_skill(tala) for tala in known.values() if _layas(tala, 0))

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
            prompt=(f"The theka of {tala.name}, from sam. The sitar strikes once: on which matra?"),
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
        why = f"It fell on matra {right}, {bols_of(cue.theka, right)}{_where(tala, right)}"
        marked = [(right, "the sitar")]
        if said != right:
            why += f"; {said} is {_off(said - right, tala.matras)}"
            marked.append((said, "said"))
        return Explanation(
            right_label=question.choice(str(right)).label,
            given_label=question.choice(given).label,
            why=f"{why}.",
            right_cue=plucked(played, [right - 1]),
            given_cue=None if said == right else plucked(played, [said - 1]),
            given_plays="" if said == right else f"the sitar on matra {said}",
            wheel=Wheel(tala.form, turning=played.turning, marked=tuple(marked)),
        )

    def introduce(self, question: Question) -> str:
        tala = self.tala_of(question.skill, question.setting)
        return (
            f"Count {tala.name} with the theka, from sam: {tala.matras} matras, with vibhags "
            f"beginning on {on_matras(tala.form.starts)}. The sitar strikes once; say on which "
            "matra."
        )


def _matras(tala: Tala, before: int) -> int:
    """How many are heard with so many cycles before the one in which the sitar strikes."""
    return (before + 1) * tala.matras + AFTER


def _layas(tala: Tala, before: int, how: Listening = Listening.COUNT) -> tuple[str, ...]:
    """The classes of laya in which so many cycles before it can be counted, too."""
    return layas_for(tala, _matras(tala, before), how)


def _where(tala: Tala, matra: int) -> str:
    """`, the third of vibhag 2`; nothing where a vibhag is one matra or longer than words are."""
    vibhag = tala.form.vibhag_of(matra)
    inside = matra - tala.form.starts[vibhag]
    if tala.vibhags[vibhag] == 1 or inside >= len(ORDINALS):
        return ""
    return f", the {ORDINALS[inside]} of vibhag {vibhag + 1}"


def _off(late: int, cycle: int) -> str:
    """How far an answer lies from what is right, the shorter way round."""
    late = (late + cycle // 2) % cycle - cycle // 2
    if abs(late) * 2 == cycle:
        return "half a cycle away"
    return f"{counted(abs(late), 'matra')} {'late' if late > 0 else 'early'}"


def _skill(tala: Tala) -> Skill:
    return Skill(
        id=f"{MatraKind.name}:{tala.id}",
        kind=MatraKind.name,
        name=f"The matra of a stroke in {tala.name}",
        family="perception",
        cluster=f"matras of {tala.matras}",
        chance=1 / tala.matras,
        seconds=SECONDS,
    )
