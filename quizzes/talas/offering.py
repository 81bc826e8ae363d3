"""Which talas are offered beside the right one, so that the offer itself tells nothing.

All that may be offered are parted into groups of near ones by a draw that does not know which is
right; the right one is offered with its group. Every member would have been offered with the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

from quizzes.fresh import Fresh
from quizzes.talas.asking import SUREST
from quizzes.talas.hearing import layas_for
from quizzes.talas.likeness import may_stand_together
from quizzes.talas.tala import Tala

CHOICES = 4
NEARNESS = 20.0
"""A near tala is so many times as likely to be drawn into a group as another."""
ALIKE_MATRAS = 4
"""Talas are near, too, where their usual thekas begin alike for so many matras."""
RIVAL_SHARE = 0.7
"""How often a tala that this student takes for the right one is brought in."""
PARTINGS = 12
"""So many partings are tried for one in which the right one's group is whole."""


def offered(
    fresh: Fresh,
    right: str,
    known: Mapping[str, Tala],
    *,
    anywhere: bool,
    seed: int,
    met: Sequence[str] = (),
    rivals: Sequence[str] = (),
) -> tuple[str, ...]:
    """Ids of CHOICES talas, `right` among them, in the order of the alphabet; fewer where no more
    may stand together.

    From those met where these are enough, else also from those that are surest, often with the
    worst of `rivals`; all usual in some laya where that can be, so that the tempo tells nothing.
    """
    pairs = _pairs(tuple(known.values()), anywhere=anywhere)
    begun = {right, *met}
    sure = {one for one, tala in known.items() if tala.confidence == SUREST}
    pools = ([one for one in known if one in some] for some in (begun, begun | sure, {*known}))
    groups = (_whole_group(right, pool, known, pairs, seed) for pool in pools)
    group = next((found for found in groups if found), ())
    rival = next((one for one in rivals if one in known and one != right), None)
    if rival is not None and rival not in group and fresh.between(0, 1) < RIVAL_SHARE:
        group = (rival, *group)
    return _filled(right, (*group, *fresh.shuffled(list(known))), known, pairs)


@dataclass(frozen=True, slots=True)
class _Pairs:
    """Pairs of ids: which may stand together, and which of them are near."""

    together: frozenset[frozenset[str]]
    near: frozenset[frozenset[str]]


@lru_cache(maxsize=8)
def _pairs(some: tuple[Tala, ...], *, anywhere: bool) -> _Pairs:
    together = [
        pair for pair in combinations(some, 2) if may_stand_together(*pair, anywhere=anywhere)
    ]
    near = [pair for pair in together if are_near(*pair)]
    return _Pairs(_ids(together), _ids(near))


def _ids(pairs: Iterable[tuple[Tala, Tala]]) -> frozenset[frozenset[str]]:
    return frozenset(frozenset((one.id, other.id)) for one, other in pairs)


def _whole_group(
    right: str, pool: Sequence[str], known: Mapping[str, Tala], pairs: _Pairs, seed: int
) -> tuple[str, ...]:
    """Drawn anew while it is smaller than it should be: what was left over at the end of a parting
    would tell, by what fills it, who is right. () where none is whole."""
    if len(pool) >= CHOICES:
        for attempt in range(PARTINGS):
            fresh = Fresh(f"groups of talas {attempt}", seed)
            for group in _groups(fresh, sorted(pool), known, pairs):
                if right in group:
                    break
            if len(group) == CHOICES:
                return group
    return ()


def _groups(
    fresh: Fresh, pool: Sequence[str], known: Mapping[str, Tala], pairs: _Pairs
) -> Iterator[tuple[str, ...]]:
    rest = fresh.shuffled(pool)
    while rest:
        group = [rest.pop(0)]
        while len(group) < CHOICES:
            fitting = [one for one in rest if _fits(one, group, known, pairs)]
            if not fitting:
                break
            weights = [
                NEARNESS if any({one, each} in pairs.near for each in group) else 1.0
                for one in fitting
            ]
            (chosen,) = fresh.weighted(fitting, weights, 1)
            rest.remove(chosen)
            group.append(chosen)
        yield tuple(group)


def _fits(one: str, group: Sequence[str], known: Mapping[str, Tala], pairs: _Pairs) -> bool:
    return all({one, each} in pairs.together for each in group) and bool(
        shared_laya([known[each] for each in (*group, one)])
    )


def _filled(
    right: str, others: Sequence[str], known: Mapping[str, Tala], pairs: _Pairs
) -> tuple[str, ...]:
    chosen = [right]
    for shares_laya in (True, False):
        for one in others:
            fits = one not in chosen and len(chosen) < CHOICES
            if fits and shares_laya:
                fits = _fits(one, chosen, known, pairs)
            elif fits:
                fits = bool(layas_for(known[right], known[one].matras)) and all(
                    {one, each} in pairs.together for each in chosen
                )
            if fits:
                chosen.append(one)
    return tuple(sorted(chosen))


def shared_laya(some: Sequence[Tala]) -> tuple[str, ...]:
    """The classes of laya in which all of them are usual and a cycle of each can be heard."""
    layas = layas_for(some[0], max(tala.matras for tala in some))
    return tuple(laya for laya in layas if all(laya in tala.laya for tala in some))


def are_near(one: Tala, other: Tala) -> bool:
    """Of one length, or with thekas that begin alike."""
    mine, others = (tala.thekas[0].theka.matras for tala in (one, other))
    return one.matras == other.matras or mine[:ALIKE_MATRAS] == others[:ALIKE_MATRAS]
