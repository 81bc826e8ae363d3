"""Names on paper in whatever script, or with signs that stand in for their letters.

Devanagari and Bengali have a font beside the usual ones. Their letters change beside one another;
Pillow sets them where it was built with raqm. Where it was not, as on tablets, they are stood in
for like those of any other script.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from functools import cache
from itertools import groupby
from typing import NamedTuple

from practice.pages.setting import cut, drawable, drawable_name, largest, width_of
from practice.pages.sheets import SHAPED, Run
from quizzes.signs import unshown

JOINERS = "\u200c\u200d"


@cache
def can_shape() -> bool:
    """Whether letters that change beside one another can be set here."""
    from PIL import features  # takes a while, and opening the app needs no page

    return bool(features.check("raqm"))


class Line(NamedTuple):
    """Where a name is to stand: from `x` on, in mm, on the baseline `y`, in so much `room`, at one
    of these sizes of type, in a font if that draws it."""

    x: float
    y: float
    room: float
    sizes: tuple[float, ...]
    font: str


def name_runs(name: str, otherwise: str, line: Line) -> list[Run]:
    """A name at the largest size at which it fits, or cut, or set smaller still; `otherwise` beside
    it where none of its letters can be drawn."""
    x, y, room, sizes, font = line
    segments = _segments(name, font)
    if all(drawn_by == font for drawn_by, _ in segments):
        said = drawable_name(name, otherwise)
        size = largest(said, room, sizes, font)
        return [Run(x, y, cut(said, room, font, size), font, size)]
    size = next((size for size in sizes if _width(segments, size) <= room), sizes[-1])
    size *= min(1.0, room / _width(segments, size))
    runs = []
    for drawn_by, words in segments:
        runs.append(Run(x, y, words, drawn_by, size))
        x += width_of(words, drawn_by, size) + width_of(" ", font, size)
    return runs


def _segments(name: str, font: str) -> list[tuple[str, str]]:
    """Words that one font draws, in their order; what none draws is stood in for."""
    words = unicodedata.normalize("NFC", name).split()
    found = []
    for drawn_by, of_font in groupby(words, lambda word: _font_of(word) or font):
        text = " ".join(of_font)
        found.append((drawn_by, text if drawn_by in SHAPED else drawable(text)))
    return [(drawn_by, text) for drawn_by, text in found if text]


def _font_of(word: str) -> str:
    """The font of a script that draws all of a word; "" where the usual ones are to."""
    if not unshown(word) or not can_shape():
        return ""
    for font, script in SHAPED.items():
        if all(sign in JOINERS or unicodedata.name(sign, "").startswith(script) for sign in word):
            return font
    return ""


def _width(segments: Sequence[tuple[str, str]], size: float) -> float:
    gaps = (len(segments) - 1) * width_of(" ", size=size)
    return gaps + sum(width_of(text, font, size) for font, text in segments)
