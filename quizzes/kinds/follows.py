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
from quizzes.names import capital, listed
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import label_of
from quizzes.stages.asking import StageKind, raga_suiting, stage_name
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
from quizzes.stages.wording import is_or_are, pair_in_words

PASSAGE_S = 8.0, 14.0
SECONDS = 24.0
MOST_NAMED = 3
"""Of stages that lie between two; of more, the first ones are named."""
NAMES = {
    "next": "What comes after {}",
    "before": "What comes before {}",
    "never": "What may not come after {}, or not before",
}
ASKS = {
    ("next", "after"): "Which of these can come next?",
    ("before", "before"): "Which of these can come just before?",
    ("never", "after"): "Which of these may not come later?",
    ("never", "before"): "Which of these may not come earlier?",
}


class FollowsKind(StageKind):
    name = "follows"
    title = "A stage of a performance: what can come next, what just before, what never there?"
    thing = "step"
    after_things = " from stage to stage"

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        return tuple(
            self._skill(known, sort, stage, cases)
            for sort in SORTS
            for stage, cases in cases_of(known, sort).items()
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        known, fresh = form(setting.tradition), Fresh(skill, seed)
        sort, stage, cases = self._asked(skill, setting)
        case = fresh.one_of(cases)
        right = fresh.one_of(case.right)
        possible = can_be_right(setting.tradition, sort)
        wrong = drawn_wrong(fresh, setting.tradition, sort, case, stage, right)
        offered = fresh.shuffled([right, *wrong])
        raga = raga_suiting(fresh, setting, known, (stage, *offered))
        heard = glimpse(skill, seed, setting, raga, stage, PASSAGE_S)
        asks = ASKS[sort, case.side]
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=f"You hear {stage_name(known, stage)}, in {raga.name}. {asks}",
            choices=tuple(Choice(one, known.stages[one].name) for one in offered),
            right=(right,),
            cue=heard.score,
            sargam=heard.sargam,
            detail={"raga": raga.id, "side": case.side},
            possible=tuple(one for one in offered if one in possible),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        known, right = form(question.setting.tradition), question.right[0]
        sort, stage, _ = self._asked(question.skill, question.setting)
        side = question.detail["side"]
        lines, plays = [_why_right(known, sort, side, stage, right)], ""
        put = _put(side, stage, given)
        right_cue, given_cue = in_orders(question, _rightly(sort, side, stage, right), put)
        if given != right:
            lines.append(_why_wrong(known, sort, side, stage, given))
            plays = " and then ".join(stage_name(known, one) for one in put)
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
        sort, stage, _ = self._asked(question.skill, question.setting)
        begins = stage_name(known, stage, begins=True)
        about = f"{begins} {is_or_are(known, stage)} {known.stages[stage].about}."
        return f"{about} {_why_right(known, sort, question.detail['side'], stage, right)}"

    def _skill(self, known: Form, sort: str, stage: str, cases: Sequence[Case]) -> Skill:
        return Skill(
            id=f"{self.name}:{sort}:{stage}",
            kind=self.name,
            name=NAMES[sort].format(stage_name(known, stage)),
            family="facts",
            cluster=f"around {known.whole_of(stage).id}",
            chance=1 / (1 + min(WRONG, *(len(case.wrong) for case in cases))),
            seconds=SECONDS,
        )

    def _asked(self, skill: str, setting: Setting) -> tuple[str, str, tuple[Case, ...]]:
        sort, stage = self.parts_of(skill, 2)
        cases = cases_in(setting.tradition, sort).get(stage) if sort in SORTS else None
        if cases is None:
            raise UnknownSkill(f"{skill!r} is not asked in this order of stages")
        return sort, stage, cases


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
        return f"{capital(its)} may come {side} {name}."
    if given in known.stages[stage].instead_of:
        return f"{capital(name)} {is_or_are(known, stage)} played instead of {its}."
    first, then = _put(side, stage, given)
    wrong_way = known.order.pair(then, first)
    if wrong_way is not None:
        return pair_in_words(known, wrong_way)
    between = [stage_name(known, one) for one in between_surely(known, first, then)]
    if len(between) > MOST_NAMED:
        between = [*between[: MOST_NAMED - 1], "more"]
    two = f"{stage_name(known, first)} and {stage_name(known, then)}"
    come = "come" if len(between) > 1 else "comes"
    return f"Between {two} {come} at least {listed(between)}."  # what may lack can come there too
