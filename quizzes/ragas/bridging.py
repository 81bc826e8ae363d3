"""Ragas that hold all swaras of two others, which differ in the form of one: here their bridges."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

from quizzes.ragas.choosing import near_pairs, shared_strings
from quizzes.ragas.raga import Raga
from quizzes.ragas.tradition import ragas

FEWEST_GAPS = 3
"""A raga holds so many pairs at least, lest the same one come again and again."""
MOST_APART = 3
"""In so many letters two ragas differ at most."""


@dataclass(frozen=True, slots=True)
class Gap:
    """Two ragas and the letters that each has alone."""

    first: Raga
    second: Raga
    of_first: frozenset[str]
    of_second: frozenset[str]

    @property
    def letters(self) -> frozenset[str]:
        return self.of_first | self.of_second

    def turned(self) -> Gap:
        return Gap(self.second, self.first, self.of_second, self.of_first)


def gap_between(first: Raga, second: Raga) -> Gap:
    return Gap(first, second, first.own - second.ever, second.own - first.ever)


@lru_cache(maxsize=512)
def _gaps(tradition: str) -> tuple[Gap, ...]:
    """All pairs of ragas that surely differ in the form of a swara and in little else."""
    sure = [raga for raga in ragas(tradition).values() if raga.notes.sure]
    return tuple(
        gap
        for one, other in combinations(sure, 2)
        if shared_strings((one, other)) and _is_plain(gap := gap_between(one, other))
    )


def _is_plain(gap: Gap) -> bool:
    return (
        gap.of_first == gap.first.own - gap.second.own
        and gap.of_second == gap.second.own - gap.first.own
        and bool({letter.swapcase() for letter in gap.of_first} & gap.of_second)
        and len(gap.letters) <= MOST_APART
    )


@lru_cache(maxsize=512)
def bridged(bridge: Raga, tradition: str = "") -> tuple[Gap, ...]:
    """The pairs of which a raga holds all swaras, being near to one of the two."""
    near = near_pairs(ragas(tradition))
    return tuple(
        gap
        for gap in _gaps(tradition)
        if gap.first.own | gap.second.own <= bridge.own
        and bridge.notes.sure
        and bridge.id not in (gap.first.id, gap.second.id)
        and any(frozenset((bridge.id, one.id)) in near for one in (gap.first, gap.second))
    )


@lru_cache(maxsize=512)
def bridges(tradition: str = "") -> tuple[str, ...]:
    """Ragas that are asked for: each can be wrong beside another one, too."""
    able = [
        raga for raga in ragas(tradition).values() if len(bridged(raga, tradition)) >= FEWEST_GAPS
    ]
    return tuple(
        raga.id
        for raga in able
        if any(
            not gap.letters <= raga.ever and not doubled(raga) < doubled(other)
            for other in able
            for gap in bridged(other, tradition)
        )
    )


def doubled(raga: Raga) -> frozenset[str]:
    """The degrees of which a raga has two forms."""
    return frozenset(one.upper() for one in raga.own if one.swapcase() in raga.own)
