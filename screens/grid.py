"""How many things of one size stand side by side before the next row begins."""

from __future__ import annotations

import math


def columns_of(count: int, most: int) -> int:
    """The columns for so many things where at most `most` fit; at least 1.

    Rows of one length read best: they are taken if that costs one row more at most. Otherwise the
    rows are as even as they can be.
    """
    columns = evenly(count, most)
    even = max(same for same in range(1, columns + 1) if count % same == 0)
    return even if count // even <= math.ceil(count / columns) + 1 else columns


def evenly(count: int, most: int) -> int:
    """The columns for so many things in as few rows as can be, these as even as can be."""
    rows = math.ceil(max(1, count) / max(1, most))
    return max(1, math.ceil(count / rows))


def fitting(room: float, least: float, gap: float) -> int:
    """How many things `least` broad, `gap` apart, fit into `room`; at least 1."""
    return max(1, int((room + gap) // (least + gap)))
