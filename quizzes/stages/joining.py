"""How a raga gets from one phrase to the next: at once where it may, else by steps of its own."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache
from itertools import pairwise

from audio.tuning import Swara
from quizzes.ragas.movement import admits, own_steps, turn_of
from quizzes.ragas.pieces import HIGHEST_STEPS, LOWEST_STEPS, swaras_at
from quizzes.ragas.raga import Raga

Swaras = tuple[Swara, ...]

WIDEST_STEPS = 7
"""A fifth: nothing that is no step of the raga's own phrases is wider."""
MOST_BETWEEN = 6
"""So many swaras are looked for between two phrases at most."""
REMEMBERS = 4
"""Swaras of either phrase with which those between must be admitted."""
KEPT = 4096


def leaps(raga: Raga, swaras: Sequence[Swara]) -> int:
    """How many steps are wider than a fifth and none of the raga's own."""
    return sum(
        abs(after.steps - before.steps) > WIDEST_STEPS and not _is_own(raga, before, after)
        for before, after in pairwise(swaras)
    )


def joins(raga: Raga, before: Sequence[Swara], after: Sequence[Swara]) -> bool:
    """Whether one may follow the other at once."""
    joint = (*before[-REMEMBERS:], *after[:REMEMBERS])
    return not before or (leaps(raga, (before[-1], after[0])) == 0 and admits(raga, joint))


def between(
    raga: Raga, before: Sequence[Swara], after: Sequence[Swara], *, count: int | None = None
) -> Swaras | None:
    """The fewest swaras that lead from one to the other by steps of the raga, or so many of them;
    () where nothing is needed, None where none are found."""
    if joins(raga, before, after) and not count:
        return ()
    return _between(raga, tuple(before[-REMEMBERS:]), tuple(after[:REMEMBERS]), count)


@lru_cache(KEPT)
def _between(raga: Raga, before: Swaras, after: Swaras, count: int | None) -> Swaras | None:
    """By breadth: every way of one swara more, each of which the raga admits after `before`."""
    ways: list[Swaras] = [()]
    for _ in range(MOST_BETWEEN if count is None else count):
        longer: dict[tuple[int, ...], Swaras] = {}
        for way in ways:
            tail = (*before, *way)
            for swara in _next(raga)[tail[-1].steps]:
                found = (*way, swara)
                ends = tuple(each.steps for each in found[-2:])
                if ends not in longer and admits(raga, (*tail, swara)[-2 * REMEMBERS :]):
                    longer[ends] = found
        ways = list(longer.values())
        for way in ways:
            arrived = count is None or len(way) == count
            if arrived and joins(raga, (*before, *way), after) and way[-1] != after[0]:
                return way
    return None


@cache
def _next(raga: Raga) -> dict[int, Swaras]:
    """The swaras to which each step leads on in the raga's own phrases and ways."""
    every = range(LOWEST_STEPS, HIGHEST_STEPS + 1)
    swaras = dict(zip(every, swaras_at(every), strict=True))
    return {
        step: tuple(
            swaras[other]
            for other in sorted(every, key=lambda other: abs(other - step))
            if other != step
            and abs(other - step) <= WIDEST_STEPS
            and _is_own(raga, swaras[step], swaras[other])
        )
        for step in every
    }


def _is_own(raga: Raga, before: Swara, after: Swara) -> bool:
    return turn_of((before, after)) in own_steps(raga)
