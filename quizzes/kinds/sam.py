"""`sam:mark:ID`, `sam:tap:ID`: a theka begins anywhere in its cycle: where is sam?

It is marked on a wheel that shows nothing of the tala, or tapped each time that it comes.
"""

from __future__ import annotations

from collections.abc import Mapping

from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds import sam_tapped
from quizzes.question import Mark, Question, Setting, Skill
from quizzes.talas.asking import TalaKind
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
from quizzes.talas.wording import before_sam_told, bols_of
from quizzes.wheel import Wheel

MARK, TAP = "mark", "tap"
NAMES = {MARK: "Sam of {} by ear", TAP: "Sam of {}, tapped"}
MARKED_CYCLES = 2
SECONDS = {MARK: 22.0, TAP: 20.0}
SAM = (1,)


class SamKind(TalaKind):
    name = "sam"
    title = "A theka begins anywhere: where is sam?"
    thing = "sam"
    by_ear = True
    after_things = " by ear"

    def skills_of(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        return tuple(
            _skill(tala, sort)
            for sort in NAMES
            for tala in known.values()
            if askable(tala, _matras(tala, sort))
        )

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
        begins = f"The theka of {tala.name}, begun somewhere in its cycle."
        luck = luck_of(starts, SAM, tala.matras)
        if sort == TAP:
            return Question(
                kind=self.name,
                skill=skill,
                seed=seed,
                setting=setting,
                prompt=f"{begins} Tap each sam, as soon as you know where it is.",
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
            prompt=f"{begins} It begins at point 1: which point is sam?",
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
        why = (
            f"Sam, {bols_of(theka, 1)}, comes after {before_sam_told(theka)}, which is heard "
            "nowhere else in the cycle"
        )
        marked = [(1, "sam")]
        if touched != 1:
            why += f". The point touched is matra {touched}, {bols_of(theka, touched)}"
            marked.append((touched, "touched"))
        return Explanation(
            right_label=point_told(int(question.right[0]), begun, tala),
            given_label=point_told(int(given), begun, tala),
            why=f"{why}.",
            right_cue=plucked(turn, times_of(turn, 1)),
            given_cue=None if touched == 1 else plucked(turn, times_of(turn, touched)),
            given_plays="" if touched == 1 else "the sitar on the point you touched",
            wheel=Wheel(tala.form, turning=turn.turning, marked=tuple(marked)),
        )

    def introduce(self, question: Question) -> str:
        _, tala = self._asked(question.skill, question.setting)
        theka = cue_again(question, tala).theka
        return (
            f"Sam is where the cycle begins anew. In {tala.name}, {before_sam_told(theka)} leads "
            f"to it, and sam itself is {bols_of(theka, 1)}. The sitar strikes on sam."
        )

    def _asked(self, skill: str, setting: Setting) -> tuple[str, Tala]:
        """The sort and the tala of a skill. Raises UnknownSkill."""
        sort, _ = self.parts_of(skill, 2)
        if sort not in NAMES:
            raise not_asked(skill, self.name)
        return sort, self.tala_of(skill, setting, parts=2)


def _matras(tala: Tala, sort: str) -> int:
    """How many are heard."""
    return sam_tapped.CYCLES * tala.matras if sort == TAP else longest_heard(tala, MARKED_CYCLES)


def _skill(tala: Tala, sort: str) -> Skill:
    return Skill(
        id=f"{SamKind.name}:{sort}:{tala.id}",
        kind=SamKind.name,
        name=NAMES[sort].format(tala.name),
        family="perception",
        cluster=f"sam of {tala.matras} matras",
        chance=1 / (tala.matras - 1),
        seconds=SECONDS[sort],
    )
