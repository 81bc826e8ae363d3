"""A written answer beside the line that was, place by place, with the fewest edits between them.

So a key that was dropped shifts nothing else. Kinds mark and explain by the same alignment.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import factorial

from quizzes import edits
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
    return tuple(
        Place(None if at is None else was[at], None if to is None else given[to])
        for at, to in edits.aligned(was, given)
    )


def align_answer(question: Question, given: str) -> tuple[Place, ...]:
    """The labels of a written answer beside the right line that is nearest to it.

    An order is told place by place. Raises KeyError for an answer that the pad could not give.
    """
    written = _labels(question, given)
    lines = [_labels(question, right) for right in question.right]
    if is_order(question):
        was = max(lines, key=lambda line: sum(map(str.__eq__, line, written)))
        return tuple(Place(*both) for both in zip(was, written, strict=True))
    return align(min(lines, key=lambda line: edits.distance(line, written)), written)


def is_order(question: Question) -> bool:
    """Whether all keys of the pad are to be written, each once: only their order is asked.

    A line of strokes may be as long as it has keys; it has more or fewer lines than n! though.
    """
    count = len(question.choices)
    whole = question.places == question.fewest == count
    return whole and question.lines == factorial(count)


def _labels(question: Question, line: str) -> list[str]:
    return [question.choice(key).label for key in question.written(line)]
