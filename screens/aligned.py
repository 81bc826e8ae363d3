"""A written answer beside the line that was, place by place, by minimum edit distance.

A key that was dropped, added or mistaken costs one each (Levenshtein 1966), so that a dropped one
shifts nothing else. Among the cheapest ways to lay the lines beside each other, the one with the
most places in common is taken, and a gap stands as late as it can.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from quizzes.question import Question


@dataclass(frozen=True, slots=True)
class Place:
    """One place of both lines; None where one of them has nothing."""

    was: str | None
    given: str | None

    @property
    def right(self) -> bool:
        return self.was == self.given


def align(was: Sequence[str], given: Sequence[str]) -> tuple[Place, ...]:
    """Both lines from the first place to the last; neither is changed in its order."""
    least = _costs(was, given)
    places: list[Place] = []
    i = j = 0
    while i < len(was) or j < len(given):
        if i < len(was) and j < len(given) and least[i][j] == _beside(least, was, given, i, j):
            places.append(Place(was[i], given[j]))
            i, j = i + 1, j + 1
        elif i < len(was) and least[i][j] == _more(least[i + 1][j]):
            places.append(Place(was[i], None))
            i += 1
        else:
            places.append(Place(None, given[j]))
            j += 1
    return tuple(places)


def align_answer(question: Question, given: str) -> tuple[Place, ...]:
    """The labels of a written answer beside the right line that is nearest to it.

    Raises KeyError for an answer that the pad could not give.
    """
    written = _labels(question, given)
    lines = (align(_labels(question, right), written) for right in question.right)
    return min(lines, key=lambda places: sum(not place.right for place in places))


def _labels(question: Question, line: str) -> list[str]:
    return [question.choice(key).label for key in question.written(line)]


Cost = tuple[int, int]
"""Edits, and places in common counted downwards: the less, the better."""


def _costs(was: Sequence[str], given: Sequence[str]) -> list[list[Cost]]:
    """For each pair of beginnings, the least cost of all that follows them."""
    least = [[(0, 0)] * (len(given) + 1) for _ in range(len(was) + 1)]
    for i in range(len(was), -1, -1):
        for j in range(len(given), -1, -1):
            ways = []
            if i < len(was) and j < len(given):
                ways.append(_beside(least, was, given, i, j))
            if i < len(was):
                ways.append(_more(least[i + 1][j]))
            if j < len(given):
                ways.append(_more(least[i][j + 1]))
            least[i][j] = min(ways, default=(0, 0))
    return least


def _beside(
    least: list[list[Cost]], was: Sequence[str], given: Sequence[str], i: int, j: int
) -> Cost:
    """The cost from (i, j) on when both have their key in this place."""
    edits, common = least[i + 1][j + 1]
    return (edits, common - 1) if was[i] == given[j] else (edits + 1, common)


def _more(cost: Cost) -> Cost:
    return cost[0] + 1, cost[1]
