"""How far one row of words is from another: the least number of edits, and which they are."""

from __future__ import annotations

from collections.abc import Sequence

Pair = tuple[int | None, int | None]
"""Places, from 0, that stand against each other; None where one row has nothing."""


def distance(right: Sequence[str], given: Sequence[str]) -> int:
    """Words changed, left out or added, at the least (Levenshtein 1966)."""
    return _table(right, given)[-1][-1]


def aligned(right: Sequence[str], given: Sequence[str]) -> list[Pair]:
    """The rows laid side by side with the fewest edits; what is left out or added stands late."""
    table = _table(right, given)
    at, to = len(right), len(given)
    pairs: list[Pair] = []
    while at or to:
        here = table[at][to]
        # Of equally few edits, a word changed is plainer than one left out and another added.
        if at and to and right[at - 1] != given[to - 1] and table[at - 1][to - 1] + 1 == here:
            at, to = at - 1, to - 1
            pairs.append((at, to))
        elif at and table[at - 1][to] + 1 == here:
            at -= 1
            pairs.append((at, None))
        elif to and table[at][to - 1] + 1 == here:
            to -= 1
            pairs.append((None, to))
        else:
            at, to = at - 1, to - 1
            pairs.append((at, to))
    return pairs[::-1]


def _table(right: Sequence[str], given: Sequence[str]) -> list[list[int]]:
    """Distances between all beginnings of the two rows."""
    rows = [list(range(len(given) + 1))]
    for number, word in enumerate(right, 1):
        above, row = rows[-1], [number]
        for place, other in enumerate(given):
            changed = above[place] + (word != other)
            row.append(min(changed, above[place + 1] + 1, row[place] + 1))
        rows.append(row)
    return rows
