"""Sets of choices among which near ones come together, and which by themselves tell nothing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from itertools import combinations

Pairs = tuple[frozenset[str], ...]

_NEARNESS = 12.0
"""A set is so many times as likely for each near pair in it."""
_ROUNDS = 40


@cache
def fair_sets(known: tuple[str, ...], size: int, near: Pairs) -> Mapping[tuple[str, ...], float]:
    """The sets of `size` of the known answers, and how often each is to be offered.

    A set is the likelier the more pairs of `near` it holds. Were it only this, an answer with many
    neighbours would be in every set of theirs, and the set would tell who is not asked. So each
    set's weight is multiplied by a factor for each member, fitted so that every answer's sets weigh
    the same in all (iterative proportional fitting): drawn by these weights, a set says nothing of
    which of its members is right.
    """
    factors = dict.fromkeys(known, 1.0)
    sets = list(combinations(known, size))
    for _ in range(_ROUNDS):
        for name in known:
            whole = sum(_weight(chosen, near, factors) for chosen in sets if name in chosen)
            factors[name] /= whole or 1.0
    return {chosen: _weight(chosen, near, factors) for chosen in sets}


def _weight(chosen: Sequence[str], near: Pairs, factors: Mapping[str, float]) -> float:
    weight = 1.0
    for pair in near:
        weight *= _NEARNESS if pair <= set(chosen) else 1.0
    for name in chosen:
        weight *= factors[name]
    return weight
