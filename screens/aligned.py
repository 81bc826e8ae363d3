"""A written answer beside the line that was, place by place, with the fewest edits between them.

So a key that was dropped shifts nothing else. Kinds mark and explain by the same alignment.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

from quizzes import edits
from quizzes.question import Question
from quizzes.stages.order import nearest


@dataclass(frozen=True, slots=True)
class Place:
    """One place of both lines; None where one of them has nothing.

    Of an order, `kept` says whether each of the two things keeps its order.
    """

    was: str | None
    given: str | None
    kept: tuple[bool, bool] | None = None

    @property
    def right(self) -> bool:
        return self.was == self.given

    @property
    def was_right(self) -> bool:
        """Whether what was here was answered as it was."""
        return self.right if self.kept is None else self.kept[0]

    @property
    def given_right(self) -> bool:
        """Whether what was given here is as it was."""
        return self.right if self.kept is None else self.kept[1]


def align(was: Sequence[str], given: Sequence[str]) -> tuple[Place, ...]:
    """Both lines from the first place to the last; neither is changed in its order."""
    return tuple(
        Place(None if at is None else was[at], None if to is None else given[to])
        for at, to in edits.aligned(was, given)
    )


def align_answer(question: Question, given: str, nearest_right: str = "") -> tuple[Place, ...]:
    """The labels of a written answer beside the right line that is nearest to it: `nearest_right`,
    or else one of those that the question lists.

    An order is told place by place, with the things in it that need not move. Raises KeyError for
    an answer that the pad could not give.
    """
    written = _labels(question, given)
    rights = (nearest_right,) if nearest_right else question.right
    lines = [_labels(question, right) for right in rights]
    if question.answer_on == "order":
        return align_order(nearest(written, lines), written)
    return align(min(lines, key=lambda line: edits.distance(line, written)), written)


def align_order(was: Sequence[str], given: Sequence[str]) -> tuple[Place, ...]:
    """Two orders of the same things, place by place."""
    kept = kept_in_order(was, given)
    return tuple(
        Place(one, other, (one in kept, other in kept))
        for one, other in zip(was, given, strict=True)
    )


def kept_in_order(was: Sequence[str], given: Sequence[str]) -> frozenset[str]:
    """The most things that need not move for the one order to become the other; none if only one.

    Where several would do, those are taken that stand in their own places.
    """
    at = {thing: place for place, thing in enumerate(was)}
    own = {one for one, other in zip(was, given, strict=True) if one == other}
    for many in range(len(given), 1, -1):
        found = [
            some
            for some in combinations(given, many)
            if all(at[one] < at[other] for one, other in pairwise(some))
        ]
        if found:
            return frozenset(max(found, key=lambda some: len(own.intersection(some))))
    return frozenset()


def shares_told(question: Question, given: str) -> tuple[tuple[str, int, int], ...]:
    """Of each thing its label, its usual share and the one it was given.

    Raises KeyError for shares that could not be given.
    """
    usual, shares = question.shared(question.right[0]), question.shared(given)
    labels = [choice.label for choice in question.choices]
    return tuple(zip(labels, usual, shares, strict=True))


def _labels(question: Question, line: str) -> list[str]:
    return [question.choice(key).label for key in question.written(line)]
