"""What can be asked of a stage and of what comes beside it: what is right and what is surely wrong.

As wrong ones serve stages of any part of a performance, so that a stage is offered wrongly about as
often as it is right, and its name alone tells nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

from quizzes.choice_sets import wrong_weights
from quizzes.fresh import Fresh
from quizzes.stages.frames import (
    can_be_offered,
    frame_around,
    may_follow,
    next_after,
    next_before,
    ordered_divisions,
    pool,
    sure_pair,
)
from quizzes.stages.stage import Division, Form
from quizzes.stages.tradition import form

WRONG = 3
SELDOM = 1e-6
"""How much less often what is never right is offered: only where there is not enough else."""
SETS = 12
"""So many are drawn, of which the one is taken whose names are of the lengths that are wished."""
NEARNESS = 3.0
"""How much more often a wrong one of the same division is offered."""


@dataclass(frozen=True, slots=True)
class Case:
    """One thing that can be asked of a stage: `side` is where the right one stands or may not
    stand, "before" or "after" it."""

    side: str
    right: tuple[str, ...]
    wrong: tuple[str, ...]


Cases = Mapping[str, tuple[Case, ...]]


def cases_of(known: Form, sort: str) -> Cases:
    """Each stage of which this is asked: what comes "next", what "before", what "never" does."""
    found = {}
    for division in ordered_divisions(known):
        for stage in division.parts:
            cases = tuple(
                Case(case.side, right, case.wrong)
                for case in _SORTS[sort](known, stage, division)
                if (
                    right := tuple(
                        one for one in case.right if two_of(known, case.wrong, (stage, one))
                    )
                )
            )
            if cases and stage in frame_around(known, stage):
                found[stage] = cases
    return found


SORTS = ("next", "before", "never")


@lru_cache(maxsize=24)
def cases_in(tradition: str, sort: str) -> Cases:
    return cases_of(form(tradition), sort)


def drawn_wrong(
    fresh: Fresh, tradition: str, sort: str, case: Case, stage: str, right: str
) -> list[str]:
    """Some that are wrong, to be offered with the right one: rather those of the stage's own
    division, which are more easily taken for it. Among them the name of the right one is as often
    the longest as it is the shortest, or any other by length."""
    known = form(tradition)
    own = known.whole_of(stage).parts
    weights = {
        one: weight * (NEARNESS if one in own else 1.0)
        for one, weight in _weights(tradition, sort).items()
    }
    longer = int(fresh.between(0, WRONG + 1))
    long = len(known.stages[right].name)
    sets = [drawn(fresh, known, case.wrong, weights, (stage, right)) for _ in range(SETS)]
    return min(
        sets,
        key=lambda some: abs(sum(len(known.stages[one].name) > long for one in some) - longer),
    )


def drawn(
    fresh: Fresh,
    known: Form,
    wrong: Sequence[str],
    weights: Mapping[str, float],
    beside: Sequence[str],
) -> list[str]:
    """Two or three of the wrong ones, none of which is a part of another or of those `beside`."""
    ranked = fresh.weighted(wrong, [weights[one] for one in wrong], len(wrong))
    chosen = list(two_of(known, ranked, beside))
    for one in ranked:
        if len(chosen) < WRONG and can_be_offered(known, (*beside, *chosen, one)):
            chosen.append(one)
    return chosen


def two_of(known: Form, wrong: Sequence[str], beside: Sequence[str]) -> tuple[str, ...]:
    """The first two that can be offered together; () where there are none."""
    pairs = combinations(wrong, 2)
    return next((two for two in pairs if can_be_offered(known, (*beside, *two))), ())


@lru_cache(maxsize=24)
def _weights(tradition: str, sort: str) -> Mapping[str, float]:
    """How likely each stage is to be drawn as a wrong one: as often, in all, as it is right; what
    never is, hardly ever."""
    asked = [(case, 1 / len(some)) for some in cases_in(tradition, sort).values() for case in some]
    cases = [(frozenset(case.right), frozenset(case.wrong)) for case, _ in asked]
    weights = wrong_weights(cases, WRONG, [share for _, share in asked])
    possible = can_be_right(tradition, sort)
    return {one: weight * (1.0 if one in possible else SELDOM) for one, weight in weights.items()}


@lru_cache(maxsize=24)
def can_be_right(tradition: str, sort: str) -> frozenset[str]:
    """Those that are ever right in such a question: the first stage never comes next."""
    cases = [case for some in cases_in(tradition, sort).values() for case in some]
    return frozenset(one for case in cases for one in case.right)


def _others(known: Form, stage: str) -> list[str]:
    return [one for one in pool(known) if can_be_offered(known, (stage, one))]


def _next(known: Form, stage: str, division: Division) -> list[Case]:
    found = next_after(known, frame_around(known, stage), stage)
    right = tuple(one for one in found if one in division.parts)
    wrong = [one for one in _others(known, stage) if not may_follow(known, stage, one)]
    return [Case("after", right, (*wrong, *known.stages[stage].instead_of))]


def _before(known: Form, stage: str, division: Division) -> list[Case]:
    found = next_before(known, frame_around(known, stage), stage)
    right = tuple(one for one in found if one in division.parts)
    wrong = [one for one in _others(known, stage) if not may_follow(known, one, stage)]
    return [Case("before", right, tuple(wrong))]


def _never(known: Form, stage: str, division: Division) -> list[Case]:
    """What may not come later, and what not earlier: so that what comes early in a performance is
    not always right."""
    others, order = _others(known, stage), known.order
    earlier = tuple(one for one in others if order.surely(one, stage))
    later = tuple(one for one in others if order.surely(stage, one))
    may_be_earlier = tuple(one for one in others if sure_pair(known, one, stage))
    may_be_later = tuple(one for one in others if sure_pair(known, stage, one))
    cases = [Case("after", earlier, may_be_later), Case("before", later, may_be_earlier)]
    return [case for case in cases if len(case.wrong) >= WRONG]


_SORTS: Mapping[str, Callable[[Form, str, Division], list[Case]]] = {
    "next": _next,
    "before": _before,
    "never": _never,
}
