"""Sharing a whole out among things in turn: whole numbers, each at least 1."""

from __future__ import annotations

from collections.abc import Sequence

LEAST = 1
"""What everything has at least."""


def borders(shares: Sequence[int]) -> tuple[int, ...]:
    """Where each but the last ends, from the beginning."""
    return tuple(sum(shares[: at + 1]) for at in range(len(shares) - 1))


def with_border(shares: Sequence[int], at: int, place: int) -> tuple[int, ...]:
    """With the border after the thing `at` moved to `place`, or as near to it as can be.

    The things beside it give way, the nearest first, each down to the least.
    """
    moved = list(shares)
    wished = place - sum(shares[: at + 1])
    growing, giving = (
        (at, range(at + 1, len(shares))) if wished > 0 else (at + 1, range(at, -1, -1))
    )
    wished = abs(wished)
    for other in giving:
        taken = min(wished, moved[other] - LEAST)
        moved[other] -= taken
        moved[growing] += taken
        wished -= taken
    return tuple(moved)


def with_more(shares: Sequence[int], at: int, more: int) -> tuple[int, ...]:
    """With so many more (or, below 0, fewer) for the thing `at`, as far as can be.

    They come from the thing after it or go to it; those of the last from or to the one before. Of
    what has no more to give, the one beyond gives instead.
    """
    more = max(more, LEAST - shares[at])
    begins = sum(shares[:at])
    after = with_border(shares, at, begins + shares[at] + more) if at < len(shares) - 1 else shares
    if tuple(after) != tuple(shares) or at == 0:
        return tuple(after)
    return with_border(shares, at - 1, begins - more)
