"""Which answers are offered beside each other where some must not be, so that no offer tells."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from itertools import combinations

from quizzes.choice_sets import Pairs, fair_sets
from quizzes.fresh import Fresh

CHOICES = 4
"""So many are offered where there are as many that may stand beside each other."""
FEWEST, FEWER = 3, 2
"""So many at least; two where nothing else can be."""
UNEVEN = 0.05
"""By so much the weights of two answers' sets differ at most, for the sets to tell nothing."""
RIVAL_SHARE = 0.7
"""How often one that this student takes for the right one is brought in."""


def never_beside(parts: Sequence[str], beside: Callable[[str, str], bool]) -> Pairs:
    """The pairs that may not be choices of one question."""
    return tuple(frozenset(pair) for pair in combinations(parts, 2) if not beside(*pair))


@lru_cache(maxsize=256)
def offerable(parts: tuple[str, ...], never: Pairs = ()) -> tuple[tuple[str, ...], int]:
    """Those of the parts that can be offered, and how many of them together: as many as possible.

    All questions have the same number of choices, and each answer is right as often as any other
    that is offered with it: a part that could stand beside one other only would be known by that.
    """
    for sizes in (range(CHOICES, FEWEST - 1, -1), (FEWER,)):
        found = [
            (some, size)
            for size in sizes
            for some in (_with_a_set(parts, size, never), _all_beside(parts, never))
            if len(some) >= size and _is_fair(some, size, never)
        ]
        if found:
            return max(found, key=lambda each: len(each[0]))
    return (), 0


def drawn(
    fresh: Fresh,
    right: str,
    pool: tuple[str, ...],
    size: int,
    *,
    near: Pairs = (),
    never: Pairs = (),
    met: Sequence[str] = (),
    rivals: Sequence[str] = (),
) -> list[str]:
    """`right` and others of the pool in no order: from those met where these are enough, often with
    the worst of `rivals`. Drawn without knowing which is right. See `offerable`."""
    known = tuple(part for part in pool if part == right or part in met)
    some = known if _is_fair(known, size, never) else pool
    weights = fair_sets(some, size, near, never)
    sets = [chosen for chosen in weights if right in chosen]
    rival = next((one for one in rivals if any(one in each for each in sets)), right)
    if fresh.between(0, 1) < RIVAL_SHARE:
        sets = [chosen for chosen in sets if rival in chosen]
    (chosen,) = fresh.weighted(sets, [weights[each] for each in sets], 1)
    return fresh.shuffled(chosen)


def _with_a_set(parts: tuple[str, ...], size: int, never: Pairs) -> tuple[str, ...]:
    """The parts that stand in some set of this size."""
    sets = fair_sets(parts, size, (), never)
    return tuple(part for part in parts if any(part in chosen for chosen in sets))


def _all_beside(parts: tuple[str, ...], never: Pairs) -> tuple[str, ...]:
    """The most parts of which any two may stand beside each other; the first ones of as many."""
    return next(
        some
        for count in range(len(parts), -1, -1)
        for some in combinations(parts, count)
        if not any(pair <= set(some) for pair in never)
    )


@lru_cache(maxsize=256)
def _is_fair(parts: tuple[str, ...], size: int, never: Pairs) -> bool:
    """Whether the sets of each part can weigh the same in all."""
    weights = fair_sets(parts, size, (), never)
    whole = [sum(weight for chosen, weight in weights.items() if part in chosen) for part in parts]
    return min(whole, default=0.0) > 0 and max(whole) <= min(whole) * (1 + UNEVEN)
