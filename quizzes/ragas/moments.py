"""From which swara of a phrase on it is sure which of a few ragas it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations

from quizzes.ragas.choosing import beside, shared_strings
from quizzes.ragas.movement import Break, makes, surely_breaks
from quizzes.ragas.raga import Raga
from quizzes.ragas.spoiling import can_be_spoiled
from quizzes.ragas.stock import Swaras, stock
from quizzes.ragas.telling import NOT_YET

Moment = tuple[str, int | None]
"""The sort of evidence that tells, and the place of the swara with which it does, from 0; with
NOT_YET no place."""
MOST_OTHERS = 2
"""So many ragas at most are named beside the right one."""


def moment_of(others: Sequence[Raga], line: Swaras) -> Moment | None:
    """When a phrase is told from all the others; None where that is in doubt.

    Up to then one of them at least must be known to go the same way; so it must to the end where
    the phrase is not told.
    """
    breaks = [surely_breaks(other, line) for other in others]
    sure = [each for each in breaks if each is not None]
    if len(sure) == len(others):
        last = max(sure, key=lambda each: each.at)
        return (last.by, last.at) if _may_go(others, line[: last.at]) else None
    return (NOT_YET, None) if _may_go(others, line) else None


def _may_go(others: Sequence[Raga], line: Swaras) -> bool:
    return any(makes(other, line) for other in others)


def last_break(others: Sequence[Raga], line: Swaras) -> tuple[Break, Raga]:
    """The break that tells, and whose it is. Raises ValueError for a phrase that is not told."""
    found = [(broken, other) for other in others if (broken := surely_breaks(other, line))]
    return max(found, key=lambda each: each[0].at)


@dataclass(frozen=True, slots=True)
class Asking:
    """Phrases of so many swaras, and the places at which they are told, from 0."""

    count: int
    places: tuple[int, ...]


def beside_it(right: Raga, known: Mapping[str, Raga], size: int) -> list[tuple[Raga, ...]]:
    """All near ragas, so many together, that one tanpura suits with this one."""
    near = [known[one] for one in beside(right.id, known)]
    return [others for others in combinations(near, size) if shared_strings((right, *others))]


def can_be_asked(sort: str, right: Raga, others: tuple[Raga, ...], asking: Asking) -> bool:
    """Whether phrases of this raga are told from the others at every place by this sort. With
    NOT_YET whether they are told at all, though some phrases are not."""
    if sort != NOT_YET:
        return _is_told(sort, right, others, asking)
    return _is_left_open(right, others, asking) and (
        _is_told("note", right, others, asking) or _is_told("run", right, others, asking)
    )


@cache
def _is_told(sort: str, right: Raga, others: tuple[Raga, ...], asking: Asking) -> bool:
    if sort == "note" and any(right.own <= other.ever for other in others):
        return False
    if not any(can_be_spoiled(sort, other) for other in others):
        return False
    wished: set[Moment] = {(sort, place) for place in asking.places}
    for line in stock(right, asking.count):
        wished.discard(moment_of(others, line) or (sort, None))
        if not wished:
            return True
    return False


@cache
def _is_left_open(right: Raga, others: tuple[Raga, ...], asking: Asking) -> bool:
    return any(moment_of(others, line) == (NOT_YET, None) for line in stock(right, asking.count))
