"""Setting text: how broad it is, cut or broken to fit, and only with signs that the fonts draw."""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from typing import TYPE_CHECKING

from practice.pages.said import GLUE, glued
from practice.pages.sheets import FONTS, MM_A_POINT, SANS, SHAPED
from quizzes.signs import unshown

if TYPE_CHECKING:
    from PIL.ImageFont import FreeTypeFont

UNITS = 1000
"""Fonts are measured at so many pixels, as many as they have units, so that nothing is rounded."""
CUT = "…"
STAND_IN = "◌"
"""Stands for a letter that the fonts lack."""
LACKING = f"{STAND_IN} stands for letters that this page cannot draw."


def font_at(name: str, pixels: float) -> FreeTypeFont:
    """A font at a size, which sets letter beside letter, or shapes them where it must."""
    from PIL import ImageFont  # takes a while, and opening the app needs no page

    layout = ImageFont.Layout.RAQM if name in SHAPED else ImageFont.Layout.BASIC
    return ImageFont.truetype(str(FONTS / f"{name}.ttf"), pixels, layout_engine=layout)


@lru_cache(maxsize=8)
def _font(name: str) -> FreeTypeFont:
    return font_at(name, UNITS)


@lru_cache(maxsize=4096)
def _units(text: str, font: str) -> float:
    return _font(font).getlength(text)


def width_of(text: str, font: str = SANS, size: float = 9.5) -> float:
    """How broad a text is in one line, in mm."""
    return _units(text, font) * size * MM_A_POINT / UNITS


def drawable(text: str) -> str:
    """The text in one line, with `STAND_IN` for each letter that the fonts lack, and without what
    is no sign on paper."""
    if text.isascii() and text.isprintable():
        return " ".join(text.split())
    found = []
    for sign in unicodedata.normalize("NFC", text):
        if sign.isspace():
            found.append(" ")
            continue
        category = unicodedata.category(sign)
        if category in ("Cc", "Cf", "Cs", "Zl", "Zp"):
            continue
        if unshown(sign):
            if not category.startswith("M"):  # a mark belongs to the letter before it
                found.append(STAND_IN)
        else:
            found.append(sign)
    return " ".join("".join(found).split())


def drawable_name(name: str, otherwise: str) -> str:
    """A name as it can be drawn; where none of its letters can, `otherwise` beside it."""
    drawn = drawable(name)
    if not drawn:
        return otherwise
    return drawn if any(map(str.isalnum, drawn)) else f"{otherwise} ({STAND_IN})"


def cut(text: str, room: float, font: str = SANS, size: float = 9.5) -> str:
    """The text, or as much of its beginning as `room`, in mm, holds."""
    if width_of(text, font, size) <= room:
        return text
    least, most = 0, len(text)
    while least < most:  # the longest beginning that fits
        middle = (least + most + 1) // 2
        if width_of(text[:middle].rstrip() + CUT, font, size) <= room:
            least = middle
        else:
            most = middle - 1
    while least and unicodedata.combining(text[least]):
        least -= 1
    return text[:least].rstrip(" ,;:-") + CUT


def broken(text: str, room: float, most: int, font: str = SANS, size: float = 9.5) -> list[str]:
    """The text in lines no broader than `room`, in mm; where it needs more than `most` of them, the
    last is cut."""
    words = glued(text).split(" ") if text else []
    lines: list[str] = []
    while words:
        if len(lines) == most - 1:
            return [*lines, cut(_unglued(" ".join(words)), room, font, size)]
        line, words = _one_line(words, room, font, size)
        lines.append(_unglued(line))
    return lines


def _unglued(text: str) -> str:
    return text.replace(GLUE, " ")


def _one_line(words: list[str], room: float, font: str, size: float) -> tuple[str, list[str]]:
    """As many words as fit, and the others; a word that is too long for a line is cut."""
    line = words[0]
    if width_of(line, font, size) > room:
        return cut(line, room, font, size), words[1:]
    for count, word in enumerate(words[1:], 1):
        if width_of(f"{line} {word}", font, size) > room:
            return line, words[count:]
        line = f"{line} {word}"
    return line, []


def largest(text: str, room: float, sizes: tuple[float, ...], font: str) -> float:
    """The first of these sizes at which a text is no broader than `room`; the last where none
    does."""
    return next((size for size in sizes if width_of(text, font, size) <= room), sizes[-1])
