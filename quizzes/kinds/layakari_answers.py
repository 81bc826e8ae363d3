"""Which numbers of matras are offered beside the right one, so that none of the four stands out.

The right one has one beside it, off by a matra or a part of one, and there is another pair as near
to each other, such as the length where the beginning is asked. Whether the other pair and the near
one lie above or below is drawn evenly, so that the right one is as likely in each place.

Most often all four are whole, or all are broken alike. Where a short cycle has not so many whole
numbers, some are broken; and lest a mixture should tell that a whole one is right, one that is
broken has whole ones beside it about as often.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import lru_cache

from quizzes.fresh import Fresh

NEAR = (Fraction(1, 2), Fraction(1, 3))
"""By so much a near wrong answer may be off where the right one is whole, and there are not enough
whole ones."""
PLAIN = (1, 2, 3, 4)
"""Other fractions are offered only where the right one is such: they would stand out as strange."""
MISCOUNTED = (-2, -1, 1, 2)
"""By so many matras who counts from 1, or leaves some out, is off."""
CONFUSED_WEIGHT = 3.0
"""So many times as often as another, the length is offered for the beginning, or the other way."""
MIXED_SHARE = 0.15
"""How often a broken right answer has whole ones beside it, or broken otherwise."""
PLACES = 4
"""Among the answers, in which the right one may stand: it is asked where it may in each."""

Ways = Mapping[tuple[bool, bool], Mapping[tuple[Fraction, ...], float]]
"""By whether the near and the far wrong answers lie above the right one: all such, and how often
each is offered."""


@lru_cache(maxsize=256)
def wrong_ways(
    right: Fraction,
    *,
    confused: Fraction,
    others: tuple[Fraction, ...],
    cycle: int,
    taught: frozenset[Fraction],
) -> Ways:
    """All wrong answers to a question in a cycle of so many matras.

    `confused` is what the right one is most easily taken for, `others` are right in other
    layakaris; `taught` is what somebody holds right, and is never offered.
    """

    def may_be(answer: Fraction) -> bool:
        plain = answer.denominator in PLAIN or answer.denominator == right.denominator
        return 0 < answer < cycle and answer not in taught and plain

    fars = {confused, *others, *(right + off for off in MISCOUNTED)}
    ways: dict[tuple[bool, bool], dict[tuple[Fraction, ...], float]] = {}
    for step in _steps(right):
        for wrong in _pairs(right, fars, step):
            if all(map(may_be, wrong)) and len({right, *wrong}) == PLACES:
                near, *far = wrong
                weight = CONFUSED_WEIGHT if confused in far else 1.0
                ways.setdefault((near > right, far[0] > right), {})[wrong] = weight
    return {where: _balanced(right, found) for where, found in ways.items()}


def _steps(right: Fraction) -> list[Fraction]:
    """By how much the two of a pair may differ: up to a matra."""
    parts = right.denominator
    if parts == 1:
        return [Fraction(1), *NEAR]
    return [Fraction(count, parts) for count in range(1, parts + 1)]


def _balanced(
    right: Fraction, found: Mapping[tuple[Fraction, ...], float]
) -> dict[tuple[Fraction, ...], float]:
    """Those broken like the right one, and the others as often as they should be offered."""
    like = {wrong: often for wrong, often in found.items() if _is_like(right, wrong)}
    mixed = {wrong: often for wrong, often in found.items() if wrong not in like}
    if not like or not mixed:
        return dict(found)
    if right.denominator == 1:
        return like
    scale = MIXED_SHARE / (1 - MIXED_SHARE) * sum(like.values()) / sum(mixed.values())
    return {**like, **{wrong: often * scale for wrong, often in mixed.items()}}


def _is_like(right: Fraction, wrong: Iterable[Fraction]) -> bool:
    return all(each.denominator == right.denominator for each in wrong)


def drawn(fresh: Fresh, right: Fraction, ways: Ways) -> list[Fraction]:
    """The right answer and three wrong ones, rising."""
    found = ways[fresh.one_of(sorted(ways))]
    wrongs = sorted(found)
    (chosen,) = fresh.weighted(wrongs, [found[each] for each in wrongs], 1)
    return sorted((right, *chosen))


def _pairs(
    right: Fraction, fars: Iterable[Fraction], step: Fraction
) -> Iterable[tuple[Fraction, Fraction, Fraction]]:
    """A near wrong answer, and two others as near to each other, on one side of the right one."""
    for near in (right - step, right + step):
        for far in fars:
            for further in (far - step, far + step):
                if (far - right) * (further - right) > 0:
                    yield near, far, further
