"""Pairs of vadi and samvadi: what is taught for a raga, and what is offered beside it.

Wrong pairs are those of other ragas, so that none of them is known by its letters: each is offered
wrongly about as often as it is right, and of no two swaras are both orders offered.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from functools import cache
from itertools import permutations

from audio.tuning import SWARAS
from quizzes.choice_sets import wrong_weights
from quizzes.fresh import Fresh
from quizzes.ragas.raga import Raga
from quizzes.ragas.tradition import TEACHER, ragas

Pair = tuple[str, str]
"""Letters of vadi and samvadi."""

WRONG = 3
SAMVAD_STEPS = (5, 7)
"""A vadi and its samvadi mostly lie a fourth or a fifth apart (common practice)."""
RARE = 0.05
"""The weight of a pair that is nobody's but this raga's teacher's."""
ROUNDS, DRAWS = 4, 3
"""How often the weights are set right by drawing, and with so many draws for each raga."""
EASED = 0.6
"""How much of the way is gone at once."""


def offered_pairs(raga: Raga) -> tuple[Pair, ...]:
    """The pairs of which one is offered as right: what the teacher says, else all that a source
    gives."""
    if raga.vadi.confidence == TEACHER:
        return (raga.vadi.value,)
    printed = {
        tuple(each.value.split())
        for each in raga.variants
        if each.of == "vadi" and "memory" not in each.source
    }
    return tuple(pair for pair in taught_pairs(raga) if pair == raga.vadi.value or pair in printed)


def taught_pairs(raga: Raga) -> list[Pair]:
    """What is taught, without what would make a foreign swara vadi or samvadi: a slip of a book."""
    return [pair for pair in raga.pairs if set(pair) <= raga.allowed]


def wrong_pairs(fresh: Fresh, raga: Raga) -> list[Pair]:
    """Pairs that nobody teaches for it, if possible one at most with a swara that it has not."""
    return _drawn(fresh, raga, _weights())


def _drawn(fresh: Fresh, raga: Raga, weights: Mapping[str, float]) -> list[Pair]:
    pool = list(_untaught(raga))
    drawn = fresh.weighted(pool, [weights.get(id_of(pair), RARE) for pair in pool], len(pool))
    chosen: list[Pair] = []
    for most_foreign in (1, WRONG):
        for pair in drawn:
            foreign = [one for one in (*chosen, pair) if not set(one) <= raga.own]
            is_new = pair not in chosen and pair[::-1] not in chosen
            if len(chosen) < WRONG and is_new and len(foreign) <= most_foreign:
                chosen.append(pair)
    return chosen


@cache
def _untaught(raga: Raga) -> tuple[Pair, ...]:
    """Other ragas' pairs that nobody teaches for this one in either order; where few of them are
    of its own swaras, all of its own that lie a fourth or a fifth apart."""
    taught = {frozenset(pair) for pair in (*raga.pairs, *ragas().get(raga.id, raga).pairs)}
    found = [pair for pair in _pool() if frozenset(pair) not in taught]
    own = {frozenset(pair) for pair in found if set(pair) <= raga.own}
    if len(own) < WRONG - 1:
        more = [pair for pair in _samvad_pairs(raga) if frozenset(pair) not in taught]
        found += [pair for pair in more if pair not in found]
    return tuple(found)


def _samvad_pairs(raga: Raga) -> list[Pair]:
    return [
        (one, other)
        for one, other in permutations(raga.notes.value, 2)
        if (SWARAS.index(other) - SWARAS.index(one)) % 12 in SAMVAD_STEPS
    ]


@cache
def _pool() -> tuple[Pair, ...]:
    """Every pair that may be right in some question."""
    pairs = (pair for raga in ragas().values() if raga.vadi.sure for pair in offered_pairs(raga))
    return tuple(dict.fromkeys(pairs))


@cache
def _weights() -> Mapping[str, float]:
    """By id, such that a pair is offered wrongly about as often as it is right, times WRONG.

    They begin as if all wrong pairs were drawn freely; then they are set right by what is drawn.
    """
    sure = [raga for raga in ragas().values() if raga.vadi.sure]
    cases = [
        (frozenset(map(id_of, offered_pairs(raga))), frozenset(map(id_of, _untaught(raga))))
        for raga in sure
    ]
    weights = dict(wrong_weights(cases, WRONG))
    right: Counter[str] = Counter()
    for rights, _ in cases:
        right.update({one: DRAWS / len(rights) for one in rights})
    for turn in range(ROUNDS):
        drawn = [
            id_of(pair)
            for raga in sure
            for draw in range(DRAWS)
            for pair in _drawn(Fresh(raga.id, turn * DRAWS + draw), raga, weights)
        ]
        offered = Counter(drawn)
        for one in weights:
            weights[one] *= ((WRONG * right[one] + DRAWS) / (offered[one] + DRAWS)) ** EASED
    return weights


def id_of(pair: Pair) -> str:
    return "-".join(pair)


def pair_of(choice: str) -> Pair:
    vadi, samvadi = choice.split("-")
    return vadi, samvadi
