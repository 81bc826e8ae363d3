"""How far one row of words is from another: one way to lay them side by side, and one count of it.

Marking, explaining and showing a written answer all go by this, so that they never disagree.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

T = TypeVar("T")

Pair = tuple[int | None, int | None]
"""Places, from 0, that stand against each other; None where one row has nothing."""


@dataclass(frozen=True, slots=True)
class Tally:
    """How much of the right row was given: places right of the whole, and words too many."""

    right: int
    whole: int
    added: int

    @property
    def slips(self) -> int:
        """The edits between the two rows."""
        return self.whole - self.right + self.added

    @property
    def share(self) -> float:
        """Of the right row, from 0 to 1: each slip takes one place away."""
        return max(0.0, (self.right - self.added) / self.whole)


def distance(right: Sequence[str], given: Sequence[str]) -> int:
    """Words changed, left out or added, at the least (Levenshtein 1966)."""
    return distance_by(right, given, differs, gap=1)


def aligned(right: Sequence[str], given: Sequence[str]) -> list[Pair]:
    """The rows laid side by side with the fewest edits, and of these with the fewest gaps.

    So they lie place by place where that takes no more edits, and a word changed is preferred to
    one left out and another added. What is left out or added stands as late as it can.
    """
    return aligned_by(right, given, differs, gap=1)


def differs(one: str, other: str) -> int:
    """The price of a word changed: every one costs the same."""
    return int(one != other)


Price = Callable[[T, T], int]
"""What it costs to change one thing into another; nothing where they are the same."""


def distance_by(right: Sequence[T], given: Sequence[T], price: Price[T], *, gap: int) -> int:
    """The least that it costs to make one row from the other, where leaving out or adding costs
    `gap` each."""
    return _table(right, given, price, gap)[-1][-1] // _unit(right, given)


def aligned_by(right: Sequence[T], given: Sequence[T], price: Price[T], *, gap: int) -> list[Pair]:
    """As `aligned`, with the fewest edits by their price."""
    table, unit = _table(right, given, price, gap), _unit(right, given)
    at, to, gap = len(right), len(given), gap * unit + 1
    pairs: list[Pair] = []
    while at or to:
        here = table[at][to]
        if at and table[at - 1][to] + gap == here:
            at -= 1
            pairs.append((at, None))
        elif to and table[at][to - 1] + gap == here:
            to -= 1
            pairs.append((None, to))
        else:
            at, to = at - 1, to - 1
            pairs.append((at, to))
    return pairs[::-1]


def slips(right: Sequence[str], given: Sequence[str]) -> list[Pair]:
    """The pairs that differ, first to last."""
    return [
        (at, to)
        for at, to in aligned(right, given)
        if at is None or to is None or right[at] != given[to]
    ]


def tally(right: Sequence[str], given: Sequence[str]) -> Tally:
    """Count the rows as they are laid by `aligned`; the right one has at least one word."""
    wrong = slips(right, given)
    added = sum(at is None for at, _ in wrong)
    return Tally(len(right) - len(wrong) + added, len(right), added)


def _unit(right: Sequence[T], given: Sequence[T]) -> int:
    """What a price of 1 is in the table, above that of all gaps; a gap costs 1 beside its price."""
    return len(right) + len(given) + 1


def _table(right: Sequence[T], given: Sequence[T], price: Price[T], gap: int) -> list[list[int]]:
    """What it costs at the least to make one beginning of the rows from another."""
    unit = _unit(right, given)
    gap = gap * unit + 1
    rows = [[gap * place for place in range(len(given) + 1)]]
    for number, word in enumerate(right, 1):
        above, row = rows[-1], [gap * number]
        for place, other in enumerate(given):
            changed = above[place] + unit * price(word, other)
            row.append(min(changed, above[place + 1] + gap, row[place] + gap))
        rows.append(row)
    return rows
