"""`follows`: from one stage to another: what comes next, what came before, what may not come after?

Only stages that surely cannot come there in any tradition known are offered as wrong. Where a stage
may be left out, what comes after it can come next too, and is not offered.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from quizzes.choice_sets import wrong_weights
from quizzes.errors import UnknownSkill
from quizzes.fresh import Fresh
from quizzes.names import capital, listed
from quizzes.question import Choice, Explanation, Question, Setting, Skill
from quizzes.ragas.asking import label_of
from quizzes.stages.asking import StageKind, raga_suiting, stage_name
from quizzes.stages.frames import (
    between_surely,
    frame_around,
    may_follow,
    next_after,
    next_before,
    ordered_divisions,
    sure_pair,
    told_apart,
)
from quizzes.stages.glimpses import glimpse, in_order
from quizzes.stages.stage import Division, Form
from quizzes.stages.tradition import form
from quizzes.stages.wording import is_or_are, pair_in_words

SORTS = ("next", "before", "never")
WRONG = 3
FEWEST_WRONG = 2
PASSAGE_S = 8.0, 14.0
SECONDS = 24.0
NAMES = {
    "next": "What comes after {}",
    "before": "What comes before {}",
    "never": "What may not come after {}",
}
ASKS = {
    "next": "Which of these can come next?",
    "before": "Which of these can come just before?",
    "never": "Which of these may not come later?",
}


@dataclass(frozen=True, slots=True)
class Case:
    """What may be right in a question of one sort on one stage, and what is surely wrong in it."""

    right: tuple[str, ...]
    wrong: tuple[str, ...]


class FollowsKind(StageKind):
    name = "follows"
    title = "A stage of a performance: what can come next, what just before, what not later?"
    thing = "step"
    after_things = " from stage to stage"

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        return tuple(
            self._skill(known, sort, stage, case)
            for sort in SORTS
            for stage, case in _cases(known, sort).items()
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        known = form(setting.tradition)
        sort, stage, case = self._asked(skill, setting)
        fresh, weights = Fresh(skill, seed), _weights(setting.tradition, sort)
        right = fresh.one_of(case.right)
        wrong: list[str] = []
        ranked = fresh.weighted(case.wrong, [weights[one] for one in case.wrong], len(case.wrong))
        for one in ranked:
            if len(wrong) < WRONG and told_apart(known, (stage, right, *wrong, one)):
                wrong.append(one)
        offered = fresh.shuffled([right, *wrong])
        raga = raga_suiting(fresh, setting, known, (stage, *offered))
        heard = glimpse(skill, seed, setting, raga, stage, PASSAGE_S)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=f"You hear {stage_name(known, stage)}, in {raga.name}. {ASKS[sort]}",
            choices=tuple(Choice(one, known.stages[one].name) for one in offered),
            right=(right,),
            cue=heard.score,
            sargam=heard.sargam,
            detail={"raga": raga.id},
            possible=_possible(sort, offered, setting.tradition),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        known, right = form(question.setting.tradition), question.right[0]
        sort, stage, _ = self._asked(question.skill, question.setting)
        lines, given_cue, plays = [_why_right(known, sort, stage, right)], None, ""
        if given != right:
            lines.append(_why_wrong(known, sort, stage, given))
            put = (given, stage) if sort == "before" else (stage, given)
            given_cue = in_order(question, put)
            plays = " and then ".join(stage_name(known, one) for one in put)
        return Explanation(
            right_label=label_of(question, right),
            given_label=label_of(question, given),
            why="\n".join(lines),
            right_cue=in_order(question, (stage, right) if sort == "next" else (right, stage)),
            given_cue=given_cue,
            given_plays=plays,
        )

    def introduce(self, question: Question) -> str:
        known, right = form(question.setting.tradition), question.right[0]
        sort, stage, _ = self._asked(question.skill, question.setting)
        begins = stage_name(known, stage, begins=True)
        about = f"{begins} {is_or_are(known, stage)} {known.stages[stage].about}."
        return f"{about} {_why_right(known, sort, stage, right)}"

    def _skill(self, known: Form, sort: str, stage: str, case: Case) -> Skill:
        return Skill(
            id=f"{self.name}:{sort}:{stage}",
            kind=self.name,
            name=NAMES[sort].format(stage_name(known, stage)),
            family="facts",
            cluster=f"around {known.whole_of(stage).id}",
            chance=1 / (1 + min(WRONG, len(case.wrong))),
            seconds=SECONDS,
        )

    def _asked(self, skill: str, setting: Setting) -> tuple[str, str, Case]:
        sort, stage = self.parts_of(skill, 2)
        case = _cases_in(setting.tradition, sort).get(stage) if sort in SORTS else None
        if case is None:
            raise UnknownSkill(f"{skill!r} is not asked in this order of stages")
        return sort, stage, case


def _possible(sort: str, offered: Sequence[str], tradition: str) -> tuple[str, ...] | None:
    """Those that are ever right in such a question: the first stage never comes next. Of what may
    not come later none are ruled out: to know what comes early is what is asked there."""
    if sort == "never":
        return None
    can_be_right = {one for case in _cases_in(tradition, sort).values() for one in case.right}
    return tuple(one for one in offered if one in can_be_right)


def _why_right(known: Form, sort: str, stage: str, right: str) -> str:
    first, then = (stage, right) if sort == "next" else (right, stage)
    pair = known.order.pair(first, then)
    assert pair is not None
    return pair_in_words(known, pair)


def _why_wrong(known: Form, sort: str, stage: str, given: str) -> str:
    """What keeps the given stage from standing there; of what may come later, that it may."""
    name, its = stage_name(known, stage), stage_name(known, given)
    if sort == "never":
        return f"{capital(its)} may come after {name}."
    if given in known.stages[stage].instead_of:
        return f"{capital(name)} {is_or_are(known, stage)} played instead of {its}."
    first, then = (stage, given) if sort == "next" else (given, stage)
    wrong_way = known.order.pair(then, first)
    if wrong_way is not None:
        return pair_in_words(known, wrong_way)
    frame = frame_around(known, stage)
    between = [stage_name(known, one) for one in between_surely(known, frame, first, then)]
    two = f"{stage_name(known, first)} and {stage_name(known, then)}"
    return f"Between {two} {'come' if len(between) > 1 else 'comes'} {listed(between)}."


@lru_cache(maxsize=16)
def _weights(tradition: str, sort: str) -> Mapping[str, float]:
    """How likely each stage is to be drawn as a wrong one: as often, in all, as it is right."""
    cases = _cases_in(tradition, sort).values()
    return wrong_weights([(frozenset(one.right), frozenset(one.wrong)) for one in cases], WRONG)


@lru_cache(maxsize=16)
def _cases_in(tradition: str, sort: str) -> Mapping[str, Case]:
    return _cases(form(tradition), sort)


def _cases(known: Form, sort: str) -> Mapping[str, Case]:
    """Each stage that can be asked of, with what is right and what is wrong."""
    found = {}
    for division in ordered_divisions(known):
        for stage in division.parts:
            case = _case(known, sort, stage, division)
            if case.right and len(case.wrong) >= FEWEST_WRONG:
                found[stage] = case
    return found


def _case(known: Form, sort: str, stage: str, division: Division) -> Case:
    frame = frame_around(known, stage)
    others = [one for one in frame if one != stage and told_apart(known, (one, stage))]
    if sort == "never":
        right = [one for one in others if known.order.surely(one, stage)]
        wrong = [one for one in others if sure_pair(known, stage, one)]
    elif sort == "next":
        right = list(next_after(known, frame, stage))
        wrong = [one for one in others if not may_follow(known, frame, stage, one)]
        wrong += known.stages[stage].instead_of
    else:
        right = list(next_before(known, frame, stage))
        wrong = [one for one in others if not may_follow(known, frame, one, stage)]
    return Case(tuple(one for one in right if one in division.parts), tuple(wrong))
