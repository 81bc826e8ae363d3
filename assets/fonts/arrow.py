"""Draws the arrow → into the fonts here, which have none; run by hand on files as distributed.

.venv/bin/python assets/fonts/arrow.py

Its stroke and its height are those of the font's own plus. Needs fontTools, which comes with
matplotlib.
"""

from __future__ import annotations

from math import sqrt
from pathlib import Path

from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont

ARROW = 0x2192
NAME = "uni2192"
HEAD = 0.42
"""Half the height of the head, for the breadth of a plus."""


def outline(left: float, right: float, middle: float, stroke: float) -> list[tuple[int, int]]:
    """The corners, clockwise from the tip."""
    head = HEAD * (right - left)
    aslant = stroke / sqrt(2)
    neck = right - sqrt(2) * stroke - stroke / 2
    lower = [
        (right - head, middle - head),
        (right - head - aslant, middle - head + aslant),
        (neck, middle - stroke / 2),
        (left, middle - stroke / 2),
    ]
    upper = [(x, 2 * middle - y) for x, y in reversed(lower)]
    return [(round(x), round(y)) for x, y in [(right, middle), *lower, *upper]]


def draw(path: Path) -> None:
    font = TTFont(path)
    if ARROW in font.getBestCmap():
        return
    glyphs, plus = font.getGlyphSet(), font.getBestCmap()[ord("+")]
    bounds = BoundsPen(glyphs)
    glyphs[plus].draw(bounds)
    left, bottom, right, top = bounds.bounds
    corners = sorted({y for _, y in font["glyf"][plus].coordinates})
    stroke = corners[2] - corners[1]
    broader = 1.25 * (right - left)
    pen = TTGlyphPen(glyphs)
    first, *others = outline(left, left + broader, (bottom + top) / 2, stroke)
    pen.moveTo(first)
    for corner in others:
        pen.lineTo(corner)
    pen.closePath()
    font.setGlyphOrder([*font.getGlyphOrder(), NAME])
    font["glyf"][NAME] = pen.glyph()
    font["hmtx"][NAME] = round(left + broader + left), round(left)
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap[ARROW] = NAME
    font.save(path)


if __name__ == "__main__":
    for file in sorted(Path(__file__).resolve().parent.glob("*.ttf")):
        draw(file)
