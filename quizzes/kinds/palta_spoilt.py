"""A group of a palta gone wrong: two of its swaras exchanged, or one a degree off.

Only what changes the order of its swaras by height counts as another pattern: a group that keeps
it, such as S G beside S m, may on other degrees of a scale be as wide as the one meant.
"""

from __future__ import annotations

from functools import cache
from itertools import combinations

from quizzes.paltas import Shape


@cache
def spoilt(shape: Shape) -> tuple[Shape, ...]:
    """All such groups, counted like the shape from where it begins."""
    found = []
    for one, other in combinations(range(len(shape)), 2):
        changed = list(shape)
        changed[one], changed[other] = shape[other], shape[one]
        found.append(tuple(changed))
    for place, degree in enumerate(shape):
        found += [(*shape[:place], degree + off, *shape[place + 1 :]) for off in (-1, 1)]
    return tuple(dict.fromkeys(each for each in found if heights(each) != heights(shape)))


def heights(shape: Shape) -> tuple[int, ...]:
    """Of each swara, how many different ones lie below it."""
    different = sorted(set(shape))
    return tuple(map(different.index, shape))
