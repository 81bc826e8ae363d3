"""`sam:mark:ID`, `sam:tap:ID`: a theka begins anywhere in its cycle: where is sam?

It is marked on a wheel that shows nothing of the tala, or tapped each time that it comes.
"""

from __future__ import annotations

from collections.abc import Mapping

from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds import sam_tapped
from quizzes.names import counted
from quizzes.question import Mark, Question, Setting, Skill
from quizzes.talas.asking import TalaKind, shipped_tala
from quizzes.talas.hearing import (
    askable,
    begun_anywhere,
    counting,
    cue_again,
    kept,
    longest_heard,
    luck_of,
    matra_of,
    once_round,
    plucked,
    point_of,
    point_told,
    points,
    times_of,
)
from quizzes.talas.tala import Tala
from quizzes.talas.wording import before_sam_told, bols_of, touched_told
from quizzes.wheel import Wheel
from words import say, to_say

MARK, TAP = "mark", "tap"
NAMES = {MARK: to_say("Sam of {tala} by ear"), TAP: to_say("Sam of {tala}, tapped")}
MARKED_CYCLES = 2
SECONDS = {MARK: 22.0, TAP: 20.0}
SAM = (1,)


class SamKind(TalaKind):
    name = "sam"
    title = to_say("A theka begins anywhere: where is sam?")
    by_ear = True

    def skills_of(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        return tuple(
            _skill(tala, sort)
            for sort in NAMES
            for tala in known.values()
            if askable(tala, _matras(tala, sort))
        )

    def name_of(self, skill: str) -> str:
        sort, name = self._parts(skill)
        return say(NAMES[sort], tala=shipped_tala(name, skill).called)

    def several(self, count: int) -> str:
        return counted(count, "{number} sam by ear", "{number} sams by ear")

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        sort, tala = self._asked(skill, setting)
        matras = _matras(tala, sort)
        cue, starts = begun_anywhere(
            Fresh(skill, seed),
            setting,
            tala,
            matras,
            how=counting(skill, setting),
            sam=False,
        )
        luck = luck_of(starts, SAM, tala.matras)
        if sort == TAP:
            return Question(
                kind=self.name,
                skill=skill,
                seed=seed,
                setting=setting,
                prompt=say(
                    "The theka of {tala}, begun somewhere in its cycle. Tap each sam, as soon as "
                    "you know where it is.",
                    tala=tala.called,
                ),
                choices=(),
                right=(sam_tapped.right_taps(cue),),
                cue=cue.score,
                sargam=cue.written,
                answer_on="taps",
                detail=kept(cue),
                luck=luck,
            )
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say(
                "The theka of {tala}, begun somewhere in its cycle. It begins at point 1: which "
                "point is sam?",
                tala=tala.called,
            ),
            choices=points(tala.matras),
            right=(str(point_of(1, int(cue.from_place), tala.matras)),),
            cue=cue.score,
            sargam=cue.written,
            answer_on="wheel",
            detail=kept(cue),
            luck=luck,
            wheel=Wheel(tala.form, blind=True, turning=cue.turning),
        )

    def mark(self, question: Question, given: str) -> Mark:
        if question.answer_on == "taps":
            _, tala = self._asked(question.skill, question.setting)
            return sam_tapped.mark(question, tala, given)
        return super().mark(question, given)

    def explain(self, question: Question, given: str) -> Explanation:
        sort, tala = self._asked(question.skill, question.setting)
        if sort == TAP:
            return sam_tapped.explain(question, tala, given)
        turn = once_round(question, tala)
        begun, theka = int(turn.from_place), turn.theka
        touched = matra_of(int(given), begun, tala.matras)
        why = say(
            "Sam, {bols}, comes after {before}, which is heard nowhere else in the cycle.",
            bols=bols_of(theka, 1),
            before=before_sam_told(theka),
        )
        marked = [(1, say("sam"))]
        if touched != 1:
            why += " " + touched_told(theka, touched)
            marked.append((touched, say("touched")))
        return Explanation(
            right_label=point_told(int(question.right[0]), begun, tala),
            given_label=point_told(int(given), begun, tala),
            why=why,
            right_cue=plucked(turn, times_of(turn, 1)),
            given_cue=None if touched == 1 else plucked(turn, times_of(turn, touched)),
            given_plays="" if touched == 1 else say("the sitar on the point you touched"),
            wheel=Wheel(tala.form, turning=turn.turning, marked=tuple(marked)),
        )

    def introduce(self, question: Question) -> str:
        _, tala = self._asked(question.skill, question.setting)
        theka = cue_again(question, tala).theka
        return say(
            "Sam is where the cycle begins anew. In {tala}, {before} leads to it, and sam itself "
            "is {bols}. The sitar strikes on sam.",
            tala=tala.called,
            before=before_sam_told(theka),
            bols=bols_of(theka, 1),
        )

    def _asked(self, skill: str, setting: Setting) -> tuple[str, Tala]:
        """The sort and the tala of a skill. Raises UnknownSkill."""
        return self._parts(skill)[0], self.tala_of(skill, setting, parts=2)

    def _parts(self, skill: str) -> tuple[str, str]:
        """The sort and the tala's id of a skill. Raises UnknownSkill."""
        sort, name = self.parts_of(skill, 2)
        if sort not in NAMES:
            raise not_asked(skill, self.name)
        return sort, name


def _matras(tala: Tala, sort: str) -> int:
    """How many are heard."""
    return sam_tapped.CYCLES * tala.matras if sort == TAP else longest_heard(tala, MARKED_CYCLES)


def _skill(tala: Tala, sort: str) -> Skill:
    return Skill(
        id=f"{SamKind.name}:{sort}:{tala.id}",
        kind=SamKind.name,
        name=say(NAMES[sort], tala=tala.called),
        family="perception",
        cluster=f"sam of {tala.matras} matras",
        chance=1 / (tala.matras - 1),
        seconds=SECONDS[sort],
    )
