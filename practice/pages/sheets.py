"""A printed page as plain data: runs of text, lines, boxes and their patterns, on sheets of A4.

Places are in mm from the left and from the top, sizes of type in points. Text is black, which
every printer keeps whole; the grey of lines runs from 0, black, to 1, white. Whoever draws a sheet
draws these and nothing else, in their order, so that all renderers show the same. What boxes say,
they say by pattern.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

WIDTH_MM, HEIGHT_MM = 210.0, 297.0
"""A4 of ISO 216, upright."""
MM_A_POINT = 25.4 / 72
FONTS = Path(__file__).resolve().parents[2] / "assets" / "fonts"
SANS, BOLD, SERIF = "NotoSans-Regular", "NotoSans-Bold", "NotoSerif-Regular"
"""Fonts by their files, without the ending."""
SHAPED = {"NotoSansDevanagari-Regular": "DEVANAGARI", "NotoSansBengali-Regular": "BENGALI"}
"""Fonts of scripts whose letters change beside one another, and how Unicode calls these letters."""
PATTERNS = ("none", "full", "slanted", "dotted")
SLANT_APART_MM, SLANT_WIDTH_MM = 1.1, 0.28
DOTS_APART_MM, DOT_MM = 1.3, 0.5
EDGE_MM = 0.2


@dataclass(frozen=True, slots=True)
class Run:
    """Some text on one line; `x` is where it begins and `y` its baseline."""

    x: float
    y: float
    text: str
    font: str = SANS
    size: float = 9.5


@dataclass(frozen=True, slots=True)
class Stroke:
    """A straight line."""

    x: float
    y: float
    to_x: float
    to_y: float
    width: float = EDGE_MM
    grey: float = 0.0


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle with a thin edge, filled with one of `PATTERNS`; `x` and `y` are its upper left
    corner."""

    x: float
    y: float
    width: float
    height: float
    pattern: str = "none"
    has_edge: bool = True


@dataclass(frozen=True, slots=True)
class Sheet:
    """One side of paper."""

    parts: tuple[Run | Stroke | Box, ...]

    @property
    def runs(self) -> tuple[Run, ...]:
        return tuple(part for part in self.parts if isinstance(part, Run))


@dataclass(frozen=True, slots=True)
class Paper:
    """Sheets that belong together, under a title."""

    title: str
    sheets: tuple[Sheet, ...]


def marks_in(box: Box) -> Iterator[Stroke | Box]:
    """What draws the pattern of a box: strokes, or small full boxes without an edge."""
    if box.pattern == "full":
        yield Box(box.x, box.y, box.width, box.height, "full", has_edge=False)
    elif box.pattern == "slanted":
        yield from _slants(box)
    elif box.pattern == "dotted":
        yield from _dots(box)


def edges_of(box: Box) -> Iterator[Stroke]:
    """The edge of a box."""
    if box.has_edge:
        left, top, right, foot = box.x, box.y, box.x + box.width, box.y + box.height
        corners = ((left, top), (right, top), (right, foot), (left, foot), (left, top))
        for (x, y), (to_x, to_y) in pairwise(corners):
            yield Stroke(x, y, to_x, to_y)


def _slants(box: Box) -> Iterator[Stroke]:
    """Lines from lower left to upper right. All lie on one grid of the sheet, so that boxes side
    by side look alike."""
    right, foot = box.x + box.width, box.y + box.height
    # A line is where x + y is the same; it enters at the left or the foot.
    number = int((box.x + box.y) / SLANT_APART_MM) + 1
    while (whole := number * SLANT_APART_MM) < right + foot:
        x, to_x = max(box.x, whole - foot), min(right, whole - box.y)
        yield Stroke(x, whole - x, to_x, whole - to_x, SLANT_WIDTH_MM)
        number += 1


def _dots(box: Box) -> Iterator[Box]:
    """Small squares in rows, every other row set in by half."""
    rows = max(1, int(box.height / (DOTS_APART_MM / 2)) - 1)
    top = box.y + (box.height - (rows - 1) * DOTS_APART_MM / 2 - DOT_MM) / 2
    for row in range(rows):
        y = top + row * DOTS_APART_MM / 2
        x = box.x + DOTS_APART_MM * (0.3 if row % 2 == 0 else 0.8)
        while x + DOT_MM <= box.x + box.width:
            yield Box(x, y, DOT_MM, DOT_MM, "full", has_edge=False)
            x += DOTS_APART_MM
