"""Which other ragas are offered beside the right one, so that the offer itself tells nothing.

All ragas that may be offered are parted into groups of near ones by a draw that does not know which
is right; the right one is offered with its group. Since every member of a group would have been
offered with the same group, hearing nothing and reading the choices helps nobody.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from itertools import combinations

from quizzes.fresh import Fresh
from quizzes.ragas.raga import Raga

NEARNESS = 8.0
"""A near raga is so many times as likely to be drawn into a group as another."""
DRAWN = 12
"""So many of those met, and of those near, are tried in the order in which they are drawn."""
RIVAL_SHARE = 0.7
"""How often a raga that this student takes for the right one is brought in."""


def near_pairs(ragas: Mapping[str, Raga]) -> frozenset[frozenset[str]]:
    """Pairs of which one names the other as near, or that share their swaras."""
    return _near_pairs(tuple(ragas.values()))


@lru_cache(maxsize=8)
def _near_pairs(ragas: Sequence[Raga]) -> frozenset[frozenset[str]]:
    named = {frozenset((raga.id, near.raga)) for raga in ragas for near in raga.near}
    alike = {
        frozenset((one.id, other.id))
        for one, other in combinations(ragas, 2)
        if one.own == other.own
    }
    return frozenset(named | alike)


def beside(raga: str, ragas: Mapping[str, Raga]) -> tuple[str, ...]:
    """Ids of the ragas near to this one, in the order of the alphabet."""
    pairs = (pair for pair in near_pairs(ragas) if raga in pair)
    return tuple(sorted(one for pair in pairs for one in pair if one != raga and one in ragas))


def group_of(
    right: str, pool: Sequence[str], size: int, *, seed: int, near: frozenset[frozenset[str]]
) -> tuple[str, ...]:
    """The group of `size` in which `right` stands when the pool is parted with this seed.

    `pool` holds `right`; its order and the skill asked do not count. The last group of a parting is
    smaller where the pool does not go up in groups.
    """
    fresh = Fresh("groups of ragas", seed)
    rest = fresh.shuffled(sorted(set(pool)))
    while rest:
        group = [rest.pop(0)]
        while rest and len(group) < size:
            weights = [
                NEARNESS if any(frozenset((one, member)) in near for member in group) else 1.0
                for one in rest
            ]
            (chosen,) = fresh.weighted(rest, weights, 1)
            rest.remove(chosen)
            group.append(chosen)
        if right in group:
            return tuple(sorted(group))
    raise KeyError(right)


def offered(
    fresh: Fresh,
    right: str,
    *,
    met: Sequence[str],
    rivals: Sequence[str],
    ragas: Mapping[str, Raga],
    size: int,
    seed: int,
    fits: Callable[[Raga], bool],
    weights: Mapping[str, float],
) -> tuple[str, ...]:
    """Ids of `size` ragas, `right` among them, in the order of the alphabet.

    From the ragas met by this student and, where these are too few or do not fit, from those near
    to `right` and then from all; only those that `fits` allows beside it, and with which one
    tanpura suits all. Fewer come where fewer fit. `rivals`, the worst first, are often brought in;
    `weights` say how likely each is where the group is not enough.
    """
    near = near_pairs(ragas)
    known = [one for one in dict.fromkeys((right, *met)) if one in ragas]
    group = [one for one in group_of(right, known, size, seed=seed, near=near) if one != right]
    rival = next((one for one in rivals if one in ragas and one != right), None)
    if rival is not None and rival not in group and fresh.between(0, 1) < RIVAL_SHARE:
        group = [rival, *group]
    beside = [one for one in ragas if frozenset((right, one)) in near]
    others = (
        *group,
        *_some(fresh, [one for one in known if one != right], weights),
        *_some(fresh, beside, weights),
        *fresh.shuffled(list(ragas)),
    )
    chosen = [right]
    for one in others:
        if len(chosen) == size:
            break
        whole = [ragas[each] for each in (*chosen, one)]
        if one not in chosen and shared_strings(whole) and fits(ragas[one]):
            chosen.append(one)
    return tuple(sorted(chosen))


def _some(fresh: Fresh, ids: Sequence[str], weights: Mapping[str, float]) -> list[str]:
    return fresh.weighted(ids, [weights[one] for one in ids], DRAWN)


def shared_strings(ragas: Sequence[Raga]) -> tuple[str, ...]:
    """First strings of a tanpura that suit all of these ragas, Pa before Ma before Ni: one that
    suited some of them only would tell the answer."""
    return tuple(letter for letter in "PmN" if all(letter in raga.own for raga in ragas))
