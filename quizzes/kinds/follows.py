"""`follows`: from one stage to another: what can come next, what just before, what never there?

Only stages that surely cannot come there in any tradition known are offered as wrong. Where a stage
may be left out, what comes after it can come next too, and is not offered, unless it needs that
stage.
"""

from __future__ import annotations

from collections.abc import Sequence

from quizzes.errors import UnknownSkill
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import capital, counted, listed
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import label_of
from quizzes.ragas.said import raga_name
from quizzes.stages.asking import StageKind, raga_suiting, stage_name, title_of
from quizzes.stages.following import (
    SORTS,
    WRONG,
    Case,
    can_be_right,
    cases_in,
    cases_of,
    drawn_wrong,
)
from quizzes.stages.frames import between_surely
from quizzes.stages.glimpses import glimpse, in_orders
from quizzes.stages.stage import Form
from quizzes.stages.tradition import form
from quizzes.stages.wording import about_in_words, number_of, pair_in_words
from words import say, say_as, say_many, to_say

PASSAGE_S = 8.0, 14.0
SECONDS = 24.0
MOST_NAMED = 3
"""Of stages that lie between two; of more, the first ones are named."""
NAMES = {
    "next": to_say("What comes after {stage}"),
    "before": to_say("What comes before {stage}"),
    "never": to_say("What may not come after {stage}, or not before"),
}
ASKS = {
    ("next", "after"): to_say("Which of these can come next?"),
    ("before", "before"): to_say("Which of these can come just before?"),
    ("never", "after"): to_say("Which of these may not come later?"),
    ("never", "before"): to_say("Which of these may not come earlier?"),
}


class FollowsKind(StageKind):
    name = "follows"
    title = to_say(
        "A stage of a performance: what can come next, what just before, what never there?"
    )

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        return tuple(
            self._skill(known, sort, stage, cases)
            for sort in SORTS
            for stage, cases in cases_of(known, sort).items()
        )

    def name_of(self, skill: str) -> str:
        sort, stage, _ = self._asked(skill, "")
        return _name(form(), sort, stage)

    def several(self, count: int) -> str:
        return counted(
            count, "{number} step from stage to stage", "{number} steps from stage to stage"
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        known, fresh = form(setting.tradition), Fresh(skill, seed)
        sort, stage, cases = self._asked(skill, setting.tradition)
        case = fresh.one_of(cases)
        right = fresh.one_of(case.right)
        possible = can_be_right(setting.tradition, sort)
        wrong = drawn_wrong(fresh, setting.tradition, sort, case, stage, right)
        offered = fresh.shuffled([right, *wrong])
        raga = raga_suiting(fresh, setting, known, (stage, *offered))
        heard = glimpse(skill, seed, setting, raga, stage, PASSAGE_S)
        heard_first = say(
            "You hear {stage}, in {raga}.", stage=stage_name(known, stage), raga=raga_name(raga)
        )
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=f"{heard_first} {say(ASKS[sort, case.side])}",
            choices=tuple(Choice(one, title_of(known, one)) for one in offered),
            right=(right,),
            cue=heard.score,
            sargam=heard.sargam,
            detail={"raga": raga.id, "side": case.side},
            possible=tuple(one for one in offered if one in possible),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        known, right = form(question.setting.tradition), question.right[0]
        sort, stage, _ = self._asked(question.skill, question.setting.tradition)
        side = question.detail["side"]
        lines, plays = [_why_right(known, sort, side, stage, right)], ""
        put = _put(side, stage, given)
        right_cue, given_cue = in_orders(question, _rightly(sort, side, stage, right), put)
        if given != right:
            lines.append(_why_wrong(known, sort, side, stage, given))
            first, then = (stage_name(known, one) for one in put)
            plays = say("{first} and then {then}", first=first, then=then)
        return Explanation(
            right_label=label_of(question, right),
            given_label=label_of(question, given),
            why="\n".join(lines),
            right_cue=right_cue,
            given_cue=None if given == right else given_cue,
            given_plays=plays,
        )

    def introduce(self, question: Question) -> str:
        known, right = form(question.setting.tradition), question.right[0]
        sort, stage, _ = self._asked(question.skill, question.setting.tradition)
        why = _why_right(known, sort, question.detail["side"], stage, right)
        return f"{about_in_words(known, stage)} {why}"

    def _skill(self, known: Form, sort: str, stage: str, cases: Sequence[Case]) -> Skill:
        return Skill(
            id=f"{self.name}:{sort}:{stage}",
            kind=self.name,
            name=_name(known, sort, stage),
            family="facts",
            cluster=f"around {known.whole_of(stage).id}",
            chance=1 / (1 + min(WRONG, *(len(case.wrong) for case in cases))),
            seconds=SECONDS,
        )

    def _asked(self, skill: str, tradition: str) -> tuple[str, str, tuple[Case, ...]]:
        sort, stage = self.parts_of(skill, 2)
        cases = cases_in(tradition, sort).get(stage) if sort in SORTS else None
        if cases is None:
            raise UnknownSkill(f"{skill!r} is not asked in this order of stages")
        return sort, stage, cases


def _name(known: Form, sort: str, stage: str) -> str:
    return say(NAMES[sort], stage=stage_name(known, stage))


def _put(side: str, stage: str, other: str) -> tuple[str, str]:
    """The two in the order in which they would come."""
    return (other, stage) if side == "before" else (stage, other)


def _rightly(sort: str, side: str, stage: str, right: str) -> tuple[str, str]:
    """The two as they do come: what may not come after a stage comes before it."""
    first, then = _put(side, stage, right)
    return (then, first) if sort == "never" else (first, then)


def _why_right(known: Form, sort: str, side: str, stage: str, right: str) -> str:
    pair = known.order.pair(*_rightly(sort, side, stage, right))
    assert pair is not None
    return pair_in_words(known, pair)


def _why_wrong(known: Form, sort: str, side: str, stage: str, given: str) -> str:
    """What keeps the given stage from standing there; of what is never there, that this may be."""
    name, its = stage_name(known, stage), stage_name(known, given)
    if sort == "never":
        two = {"other": capital(its), "stage": name}
        if side == "before":
            return say("{other} may come before {stage}.", **two)
        return say("{other} may come after {stage}.", **two)
    if given in known.stages[stage].instead_of:
        return say_many(
            "{stage} is played instead of {other}.",
            "{stage} are played instead of {other}.",
            number_of(known, stage),
            stage=capital(name),
            other=its,
        )
    first, then = _put(side, stage, given)
    wrong_way = known.order.pair(then, first)
    if wrong_way is not None:
        return pair_in_words(known, wrong_way)
    between = [stage_name(known, one) for one in between_surely(known, first, then)]
    if len(between) > MOST_NAMED:
        between = [*between[: MOST_NAMED - 1], say_as("stages", "more")]
    return say_many(  # what may lack can come there too
        "Between {first} and {then} comes at least {stages}.",
        "Between {first} and {then} come at least {stages}.",
        len(between),
        first=stage_name(known, first),
        then=stage_name(known, then),
        stages=listed(between),
    )
