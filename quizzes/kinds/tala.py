"""`tala:ID`, `tala:mid:ID`: a theka is heard, from sam or from anywhere: which tala is it?

Whichever tala it is, as many matras are heard, in a laya in which all that are offered are usual:
neither how long the cue lasts nor how fast it is tells which one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from quizzes.bols import tabla_bols
from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import capital, counted
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.talas.asking import TalaKind, asked_talas, shipped_tala, talas_in
from quizzes.talas.cues import ThekaCue, theka_cue
from quizzes.talas.hearing import (
    LEAST_S,
    LONGEST_S,
    cue_again,
    drawn_laya,
    drawn_pace,
    drawn_theka,
    explained_tempo,
    is_struck,
    kept,
    layas_for,
    plain_cue,
)
from quizzes.talas.likeness import sure_starts
from quizzes.talas.offering import CHOICES, offered, shared_laya
from quizzes.talas.tala import Tala
from quizzes.talas.tradition import talas
from quizzes.talas.wording import bols_told, form_told, parting_told
from quizzes.wheel import Wheel
from words import say, to_say

MID = "mid"
MOST_CYCLES = 2
"""As many cycles of the longest that is offered are heard at most."""
SECONDS = {"": 20.0, MID: 22.0}


class TalaNameKind(TalaKind):
    name = "tala"
    title = to_say("A theka: which tala is it?")
    by_ear = True

    def skills_of(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        return tuple(_skill(tala, sort) for sort in SECONDS for tala in _heard(known).values())

    def name_of(self, skill: str) -> str:
        sort, name = self._parts(skill)
        return _name(shipped_tala(name, skill), sort)

    def several(self, count: int) -> str:
        return counted(count, "{number} tala by ear", "{number} talas by ear")

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        sort, right = self._asked(skill, setting)
        fresh, known = Fresh(skill, seed), _heard(asked_talas(talas(setting.tradition)))
        met = tuple(_talas_of(sort, setting.met, known))
        ids = offered(
            fresh,
            right.id,
            known,
            anywhere=sort == MID,
            seed=seed,
            met=met,
            rivals=tuple(_talas_of(sort, setting.rivals, known)),
        )
        cue = _cue(fresh, setting, right, [known[one] for one in ids], sort)
        choices = [Choice(one, known[one].called, _skill_id(one, sort)) for one in ids]
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=_prompt(sort),
            choices=tuple(fresh.shuffled(choices)),
            right=(right.id,),
            cue=cue.score,
            sargam=cue.written,
            detail=kept(cue),
            possible=tuple(one for one in ids if one in {*met, right.id}),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        known, (right_id,) = talas(question.setting.tradition), question.right
        right, other, cue = known[right_id], known[given], cue_again(question, known[right_id])
        tempo = explained_tempo(cue.matras_per_min, max(right.matras, other.matras))
        why = say(
            "{tala} has {form}: {bols}.",
            tala=right.called,
            form=form_told(right.form),
            bols=bols_told(cue.theka),
        )
        played = plain_cue(question, right, cue.theka, tempo)
        given_cue = None
        if other is not right:
            why += f" {parting_told(right, cue.theka, other)}"
            given_cue = plain_cue(question, other, other.thekas[0], tempo).score
        return Explanation(
            right_label=right.called,
            given_label=other.called,
            why=why,
            right_cue=played.score,
            given_cue=given_cue,
            given_plays=""
            if other is right
            else say("{tala} at the same tempo", tala=other.called),
            wheel=Wheel(right.form, turning=played.turning),
            right_written=tabla_bols(cue.theka.bols),
            given_written="" if other is right else tabla_bols(other.thekas[0].bols),
        )

    def introduce(self, question: Question) -> str:
        sort, tala = self._asked(question.skill, question.setting)
        cue = cue_again(question, tala)
        told = say(
            "{tala}. {character}. Here it is {bols}.",
            tala=tala.called,
            character=capital(tala.told),
            bols=bols_told(cue.theka),
        )
        if sort == MID:
            told += " " + say("You will be asked it from anywhere in its cycle.")
        return told

    def _asked(self, skill: str, setting: Setting) -> tuple[str, Tala]:
        """The sort and the tala of a skill. Raises UnknownSkill."""
        sort, name = self._parts(skill)
        known = _heard(asked_talas(talas(setting.tradition)))
        if name not in known:
            raise not_asked(skill, "tala")
        return sort, known[name]

    def _parts(self, skill: str) -> tuple[str, str]:
        """The sort and the tala's id of a skill. Raises UnknownSkill."""
        parts = skill.split(":")[1:]
        if len(parts) == 2 and parts[0] == MID:
            return MID, parts[1]
        return "", self.parts_of(skill, 1)[0]


def _heard(known: Mapping[str, Tala]) -> Mapping[str, Tala]:
    """Those of which a cycle can be heard without waiting too long."""
    return {name: tala for name, tala in known.items() if layas_for(tala, tala.matras)}


def _cue(
    fresh: Fresh, setting: Setting, right: Tala, beside: Sequence[Tala], sort: str
) -> ThekaCue:
    """As many matras as the longest that is offered has, or more; the last stroke falls on one."""
    longest = max(tala.matras for tala in beside)
    laya = drawn_laya(fresh, shared_laya(beside) or layas_for(right, longest))
    tempo = drawn_pace(fresh, laya, longest)
    theka = drawn_theka(fresh, right.thekas_for(laya), met=f"tala:{right.id}" in setting.met)
    starts = [place for place in sure_starts(right, theka, longest) if place] or [0]
    start = fresh.one_of(starts) if sort == MID else 0
    least = max(longest, int(Fraction(LEAST_S) * tempo / 60))
    most = min(max(MOST_CYCLES * longest, least + 2), int(Fraction(LONGEST_S) * tempo / 60))
    ends = [matras for matras in range(least, most + 1) if is_struck(theka, start + matras)]
    return theka_cue(
        fresh,
        setting,
        right,
        matras=fresh.one_of(ends or [least]),
        matras_per_min=tempo,
        from_place=start,
        theka=theka,
        lands=True,
    )


def _skill(tala: Tala, sort: str) -> Skill:
    return Skill(
        id=_skill_id(tala.id, sort),
        kind=TalaNameKind.name,
        name=_name(tala, sort),
        family="perception",
        cluster=f"tala of {tala.matras} matras",
        chance=1 / CHOICES,
        seconds=SECONDS[sort],
    )


def _name(tala: Tala, sort: str) -> str:
    if sort == MID:
        return say("{tala} by ear, begun anywhere", tala=tala.called)
    return say("{tala} by ear", tala=tala.called)


def _prompt(sort: str) -> str:
    if sort == MID:
        return say("Which tala is this theka? It begins somewhere in its cycle.")
    return say("Which tala is this theka? It begins on sam.")


def _skill_id(tala: str, sort: str) -> str:
    return ":".join(part for part in (TalaNameKind.name, sort, tala) if part)


def _talas_of(sort: str, skills: Sequence[str], known: Mapping[str, Tala]) -> list[str]:
    """The talas of skills of this sort, in their order."""
    return [
        one for skill in skills for one in talas_in([skill], known) if skill == _skill_id(one, sort)
    ]
