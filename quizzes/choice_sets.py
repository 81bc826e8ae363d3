"""Sets of choices among which near ones come together, and which by themselves tell nothing."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import cache
from itertools import combinations

Pairs = tuple[frozenset[str], ...]

_NEARNESS = 12.0
"""A set is so many times as likely for each near pair in it."""
_ROUNDS = 40


@cache
def fair_sets(
    known: tuple[str, ...],
    size: int,
    near: Pairs,
    never: Pairs = (),
    shares: tuple[float, ...] = (),
) -> Mapping[tuple[str, ...], float]:
    """The sets of `size` of the known answers, and how often each is to be offered.

    A set is the likelier the more pairs of `near` it holds, a pair that stands there twice the
    more; none holds a pair of `never`. Were it only this, an answer with many neighbours would be
    in every set of theirs, and the set would tell who is not asked. So each set's weight is
    multiplied by a factor for each member, fitted so that every answer's sets weigh the same in all
    (iterative proportional fitting), or as `shares` has it how often each is right, none oftener
    than once in `size`: drawn by these weights, a set says nothing of which of its members is
    right.
    """
    factors = dict.fromkeys(known, 1.0)
    wanted = dict(zip(known, shares or (1.0,) * len(known), strict=True))
    sets = {
        chosen: math.prod(_NEARNESS for pair in near if pair <= set(chosen))
        for chosen in combinations(known, size)
        if not any(pair <= set(chosen) for pair in never)
    }
    of = {name: [chosen for chosen in sets if name in chosen] for name in known}
    for _ in range(_ROUNDS):
        for name in known:
            whole = sum(_weight(chosen, sets[chosen], factors) for chosen in of[name])
            factors[name] /= (whole or 1.0) / wanted[name]
    return {chosen: _weight(chosen, weight, factors) for chosen, weight in sets.items()}


def _weight(chosen: Sequence[str], weight: float, factors: Mapping[str, float]) -> float:
    for name in chosen:
        weight *= factors[name]
    return weight


Case = tuple[frozenset[str], frozenset[str]]
"""What may be right in one question, and what may be offered beside it."""


def wrong_weights(
    cases: Sequence[Case], size: int, shares: Sequence[float] = ()
) -> Mapping[str, float]:
    """How likely each answer is to be drawn as one of `size` wrong ones beside a right one.

    Where a case's wrong answers are not the right ones of its neighbours, an answer that is often
    right and seldom wrong would be known by its name. Weights are fitted so that over all cases an
    answer is offered wrongly about as often as it is right, times `size`; where it can hardly be
    wrong it is offered nearly whenever it can. `shares` is how often each case is asked, all alike
    where it is empty.
    """
    asked = shares or [1.0] * len(cases)
    right = dict.fromkeys((one for _, wrong in cases for one in wrong), 0.0)
    for (rights, _), share in zip(cases, asked, strict=True):
        for one in rights:
            right[one] = right.get(one, 0.0) + share / len(rights)
    least = _LEAST_SHARE * sum(asked) / len(right)
    weights = dict.fromkeys(right, 1.0)
    for _ in range(_ROUNDS):
        offered = dict.fromkeys(right, 0.0)
        for (_, wrong), share in zip(cases, asked, strict=True):
            whole = sum(weights[one] for one in wrong) or 1.0
            for one in wrong:
                offered[one] += share * min(1.0, size * weights[one] / whole)
        for one, times in offered.items():
            wished = size * max(right[one], least)
            step = wished / times if times else 1.0
            weights[one] = min(_HEAVIEST, max(1.0 / _HEAVIEST, weights[one] * step))
    return weights


_LEAST_SHARE = 0.05
"""What is never right is offered so much as often as the mean."""
_HEAVIEST = 1000.0
