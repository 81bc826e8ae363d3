"""`missing`: stages in their order, with one left out that cannot lack there: which?

It cannot where one of those shown needs it, or where what is shown is divided into its parts and it
is one of them that may not lack. Those offered beside it could not stand there in any tradition
known.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice

from quizzes.choice_sets import wrong_weights
from quizzes.errors import UnknownSkill
from quizzes.fresh import Fresh
from quizzes.question import Choice, Explanation, Question, Setting, Skill
from quizzes.ragas.asking import label_of
from quizzes.stages.asking import StageKind, named, raga_suiting, stage_name
from quizzes.stages.following import WRONG, drawn, two_of
from quizzes.stages.frames import (
    can_be_offered,
    frame_around,
    ordered_divisions,
    pool,
    sure_pair,
)
from quizzes.stages.glimpses import in_orders, opening
from quizzes.stages.stage import Form
from quizzes.stages.tradition import form
from quizzes.stages.wording import is_or_are, pair_in_words

SHOWN = (2, 3)
"""How many stages are shown beside the gap."""
MOST_ORDERS = 24
"""Of the orders of a whole performance so many are looked at."""
GAP = "?"
SELDOM = 1e-6
"""How much less often what may lack is offered: only where there is not enough else."""
SECONDS = 26.0


@dataclass(frozen=True, slots=True)
class Gap:
    """Stages in their order with a gap, where one belongs, and what surely cannot stand in it."""

    before: tuple[str, ...]
    after: tuple[str, ...]
    wrong: tuple[str, ...]


class MissingKind(StageKind):
    name = "missing"
    title = "Stages in their order, with one left out: which?"
    thing = "stage"
    after_things = " left out"

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        return tuple(self._skill(known, stage, gaps) for stage, gaps in _asked(known).items())

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        known, fresh = form(setting.tradition), Fresh(skill, seed)
        (stage,) = self.parts_of(skill, 1)
        gaps, weights = _asked_in(setting.tradition)
        if stage not in gaps:
            raise UnknownSkill(f"{skill!r} is not asked in this order of stages")
        gap = fresh.one_of(gaps[stage])
        shown = (*gap.before, *gap.after)
        wrong = drawn(fresh, known, gap.wrong, weights, (*shown, stage))
        offered = fresh.shuffled([stage, *wrong])
        raga = raga_suiting(fresh, setting, known, (*shown, *offered))
        cue, sargam = opening(skill, seed, setting, raga, shown)
        names = [known.stages[one].name for one in shown]
        names.insert(len(gap.before), GAP)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=f"One stage is left out here: {' › '.join(names)}. Which? "
            f"You hear a moment of the others in {raga.name}.",
            choices=tuple(Choice(one, known.stages[one].name) for one in offered),
            right=(stage,),
            cue=cue,
            sargam=sargam,
            possible=tuple(one for one in offered if one in gaps),
            detail={"raga": raga.id, "before": list(gap.before), "after": list(gap.after)},
        )

    def explain(self, question: Question, given: str) -> Explanation:
        known, right = form(question.setting.tradition), question.right[0]
        before, after = question.detail["before"], question.detail["after"]
        lines = [_why_here(known, before, right, after)]
        if given != right:
            lines.append(_why_not(known, before, given, after))
        right_cue, given_cue = in_orders(
            question, (*before, right, *after), (*before, given, *after)
        )
        return Explanation(
            right_label=label_of(question, right),
            given_label=label_of(question, given),
            why="\n".join(lines),
            right_cue=right_cue,
            given_cue=None if given == right else given_cue,
            given_plays=""
            if given == right
            else f"the same order with {stage_name(known, given)} in it",
        )

    def introduce(self, question: Question) -> str:
        known, right = form(question.setting.tradition), question.right[0]
        before, after = question.detail["before"], question.detail["after"]
        begins, is_are = stage_name(known, right, begins=True), is_or_are(known, right)
        purpose = f"{begins} {is_are} there to {known.stages[right].purpose}"
        return f"{purpose}. Its place is here: {named(known, (*before, right, *after))}."

    def _skill(self, known: Form, stage: str, gaps: Sequence[Gap]) -> Skill:
        wrong = min(min(WRONG, len(gap.wrong)) for gap in gaps)
        return Skill(
            id=f"{self.name}:{stage}",
            kind=self.name,
            name=f"{stage_name(known, stage, begins=True)} left out",
            family="facts",
            cluster=f"around {known.whole_of(stage).id}",
            chance=1 / (1 + wrong),
            seconds=SECONDS,
        )


def _why_here(known: Form, before: Sequence[str], stage: str, after: Sequence[str]) -> str:
    """By the neighbour before it, or the one after it where it is the first."""
    two = (before[-1], stage) if before else (stage, after[0])
    pair = known.order.pair(*two) or known.order.pair(stage, after[0])
    assert pair is not None
    return pair_in_words(known, pair)


def _why_not(known: Form, before: Sequence[str], stage: str, after: Sequence[str]) -> str:
    """A pair that would be broken were this stage in the gap."""
    order = known.order
    two = [(stage, one) for one in reversed(before) if order.surely(stage, one)]
    two += [(one, stage) for one in after if order.surely(one, stage)]
    pair = order.pair(*two[0])
    assert pair is not None
    return pair_in_words(known, pair)


Asked = Mapping[str, tuple[Gap, ...]]


@lru_cache(maxsize=16)
def _asked_in(tradition: str) -> tuple[Asked, Mapping[str, float]]:
    """The gaps of each stage, and how likely each stage is to be drawn as a wrong one."""
    gaps = _asked(form(tradition))
    cases = [
        (frozenset([stage]), frozenset(one for gap in some for one in gap.wrong))
        for stage, some in gaps.items()
    ]
    weights = wrong_weights(cases, WRONG)
    return gaps, {one: weight * (1.0 if one in gaps else SELDOM) for one, weight in weights.items()}


def _asked(known: Form) -> Asked:
    """The gaps where each stage belongs: those in which most of what is surely wrong may not lack
    either, elsewhere, so that its name alone does not tell the right one."""
    found = {
        stage: gaps
        for division in ordered_divisions(known)
        for stage in division.parts
        if (gaps := _gaps(known, stage))
    }
    kept = {}
    for stage, gaps in found.items():
        near = [min(WRONG, sum(one in found for one in gap.wrong)) for gap in gaps]
        kept[stage] = tuple(gap for gap, many in zip(gaps, near, strict=True) if many == max(near))
    return kept


def _gaps(known: Form, stage: str) -> tuple[Gap, ...]:
    """The gaps where this stage belongs, with its neighbours beside it, each once."""
    frame, own = frame_around(known, stage), known.whole_of(stage)
    always = bool(own.of) and not known.stages[stage].may_lack
    if stage not in frame:
        return ()
    found: dict[tuple[tuple[str, ...], tuple[str, ...]], Gap] = {}
    for order in islice(known.order.orders(frame), MOST_ORDERS):
        at = order.index(stage)
        for count in SHOWN:
            for start in range(max(0, at - count), min(at, len(order) - count - 1) + 1):
                before, after = order[start:at], order[at + 1 : start + count + 1]
                if (before, after) in found or not _is_plain(
                    known, before, stage, after, own.parts
                ):
                    continue
                if not always and stage not in known.needed_by((*before, *after)):
                    continue
                wrong = tuple(
                    one
                    for one in pool(known)
                    if can_be_offered(known, (*before, stage, *after, one))
                    and _surely_not(known, before, one, after)
                )
                shown = (*before, stage, *after)
                if can_be_offered(known, shown) and two_of(known, wrong, shown):
                    found[before, after] = Gap(before, after, wrong)
    return tuple(found.values())


def _is_plain(
    known: Form,
    before: Sequence[str],
    stage: str,
    after: Sequence[str],
    own: Sequence[str],
) -> bool:
    """Whether a source tells of all beside the gap that they stand on their side of it, and one of
    them at least is of the same division."""
    return (
        all(sure_pair(known, one, stage) for one in before)
        and all(sure_pair(known, stage, one) for one in after)
        and any(one in own for one in (*before, *after))
    )


def _surely_not(known: Form, before: Sequence[str], stage: str, after: Sequence[str]) -> bool:
    surely = known.order.surely
    return any(surely(stage, one) for one in before) or any(surely(one, stage) for one in after)
