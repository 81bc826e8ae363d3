"""`missing`: stages in their order, with one left out that cannot lack there: which?

It cannot where one of those shown needs it, or where what is shown is divided into its parts and it
is one of them that may not lack. Those offered beside it could not stand there in any tradition
known.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice

from quizzes.choice_sets import wrong_weights
from quizzes.errors import UnknownSkill, not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import counted
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import label_of
from quizzes.ragas.said import raga_name
from quizzes.stages.asking import THEN, StageKind, named, raga_suiting, stage_name, title_of
from quizzes.stages.following import SELDOM, WRONG, drawn, two_of
from quizzes.stages.frames import (
    can_be_offered,
    frame_around,
    opened,
    ordered_divisions,
    pool,
    sure_pair,
)
from quizzes.stages.glimpses import in_orders, opening
from quizzes.stages.stage import Form
from quizzes.stages.tradition import form
from quizzes.stages.wording import pair_in_words, purpose_in_words
from words import say, to_say

SHOWN = (2, 3)
"""How many stages are shown beside the gap."""
MOST_ORDERS = 24
"""Of the orders of a whole performance so many are looked at."""
GAP = "?"
LUCK = 0.5
"""About how often the names alone tell the right one; each question says it nearer."""
RECKONED = 20
"""So many questions on each stage."""
SECONDS = 26.0


@dataclass(frozen=True, slots=True)
class Gap:
    """Stages in their order with a gap, where one belongs, and what surely cannot stand in it."""

    before: tuple[str, ...]
    after: tuple[str, ...]
    wrong: tuple[str, ...]


class MissingKind(StageKind):
    name = "missing"
    title = to_say("Stages in their order, with one left out: which?")

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        return tuple(self._skill(known, stage) for stage in _asked(known))

    def name_of(self, skill: str) -> str:
        (stage,) = self.parts_of(skill, 1)
        if stage not in _asked_in("")[0]:
            raise not_asked(skill, self.name)
        return _name(form(), stage)

    def several(self, count: int) -> str:
        return counted(count, "{number} stage left out", "{number} stages left out")

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        known, fresh = form(setting.tradition), Fresh(skill, seed)
        (stage,) = self.parts_of(skill, 1)
        gaps, weights = _asked_in(setting.tradition)
        if stage not in gaps:
            raise UnknownSkill(f"{skill!r} is not asked in this order of stages")
        gap, offered = _drawn(fresh, known, stage, gaps[stage], weights)
        shown = (*gap.before, *gap.after)
        raga = raga_suiting(fresh, setting, known, (*shown, *offered))
        cue, sargam = opening(skill, seed, setting, raga, shown)
        names = [title_of(known, one) for one in shown]
        names.insert(len(gap.before), GAP)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say(
                "One stage is left out here: {order}. Which? "
                "You hear a moment of the others in {raga}.",
                order=THEN.join(names),
                raga=raga_name(raga),
            ),
            choices=tuple(Choice(one, title_of(known, one)) for one in offered),
            right=(stage,),
            cue=cue,
            sargam=sargam,
            possible=tuple(one for one in offered if one in gaps),
            luck=_luck(setting.tradition),
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
            else say("the same order with {stage} in it", stage=stage_name(known, given)),
        )

    def introduce(self, question: Question) -> str:
        known, right = form(question.setting.tradition), question.right[0]
        before, after = question.detail["before"], question.detail["after"]
        order = named(known, (*before, right, *after))
        place = say("Its place is here: {order}.", order=order)
        return f"{purpose_in_words(known, right)} {place}"

    def _skill(self, known: Form, stage: str) -> Skill:
        return Skill(
            id=f"{self.name}:{stage}",
            kind=self.name,
            name=_name(known, stage),
            family="facts",
            cluster=f"around {known.whole_of(stage).id}",
            chance=LUCK,
            seconds=SECONDS,
        )


def _name(known: Form, stage: str) -> str:
    return say("{stage} left out", stage=stage_name(known, stage, begins=True))


def _drawn(
    fresh: Fresh, known: Form, stage: str, gaps: Sequence[Gap], weights: Mapping[str, float]
) -> tuple[Gap, list[str]]:
    """A gap of this stage, and what is offered for it."""
    gap = fresh.one_of(gaps)
    wrong = drawn(fresh, known, gap.wrong, weights, (*gap.before, *gap.after, stage))
    return gap, fresh.shuffled([stage, *wrong])


@lru_cache(maxsize=16)
def _luck(tradition: str) -> float:
    """How often a student is right who hears and reads nothing but the names that are offered, and
    takes what was most often right before: an early stage is seldom wrong, since little comes
    before it that could lack. Reckoned over some questions on each stage."""
    known, (gaps, weights) = form(tradition), _asked_in(tradition)
    asked: list[tuple[str, list[str]]] = []
    for stage in gaps:
        fresh = Fresh(f"names {stage}", 0)
        for _ in range(RECKONED):
            asked.append((stage, _drawn(fresh, known, stage, gaps[stage], weights)[1]))
    offered = Counter(one for _, choices in asked for one in choices if one in gaps)
    hits = sum(
        stage == min((one for one in choices if one in gaps), key=lambda one: offered[one])
        for stage, choices in asked
    )
    return hits / len(asked) if asked else 0.0


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
    asked = [(stage, gap, 1 / len(some)) for stage, some in gaps.items() for gap in some]
    cases = [(frozenset([stage]), frozenset(gap.wrong)) for stage, gap, _ in asked]
    weights = wrong_weights(cases, WRONG, [share for *_, share in asked])
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
    found = []
    for before, after in _places(known, stage):
        shown = (*before, stage, *after)
        if not _is_plain(known, before, stage, after) or not can_be_offered(known, shown):
            continue
        wrong = tuple(
            one
            for one in pool(known)
            if _surely_not(known, before, one, after) and can_be_offered(known, (*shown, one))
        )
        if two_of(known, wrong, shown):
            found.append(Gap(before, after, wrong))
    return tuple(found)


Beside = tuple[tuple[str, ...], tuple[str, ...]]


def _places(known: Form, stage: str) -> Iterable[Beside]:
    """What stands before and after this stage, so many of them as are shown, wherever it can."""
    around = frame_around(known, stage)
    found: dict[Beside, None] = {}
    for frame in (around, *opened(known, around)):
        if stage not in frame:
            continue
        for order in islice(known.order.orders(frame), MOST_ORDERS):
            at = order.index(stage)
            for count in SHOWN:
                for start in range(max(0, at - count), min(at, len(order) - count - 1) + 1):
                    found[order[start:at], order[at + 1 : start + count + 1]] = None
    return found


def _is_plain(
    known: Form,
    before: Sequence[str],
    stage: str,
    after: Sequence[str],
) -> bool:
    """Whether the stage cannot lack among those beside it, and a source tells of each of them that
    it stands on its side."""
    shown, whole = (*before, *after), known.whole_of(stage)
    is_always_part = whole.of and not known.stages[stage].may_lack
    return (
        (
            (is_always_part and any(one in whole.parts for one in shown))
            or stage in known.needed_by(shown)
        )
        and all(sure_pair(known, one, stage) for one in before)
        and all(sure_pair(known, stage, one) for one in after)
    )


def _surely_not(known: Form, before: Sequence[str], stage: str, after: Sequence[str]) -> bool:
    surely = known.order.surely
    return any(surely(stage, one) for one in before) or any(surely(one, stage) for one in after)
