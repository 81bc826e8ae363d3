"""Sheets as pictures: the same runs, lines and boxes as in the PDF, drawn in grey."""

from __future__ import annotations

import io
from functools import lru_cache

from PIL import Image, ImageDraw, ImageFont
from PIL.PngImagePlugin import PngInfo

from practice.pages.setting import font_at
from practice.pages.sheets import (
    HEIGHT_MM,
    MM_A_POINT,
    WIDTH_MM,
    Box,
    Paper,
    Run,
    Sheet,
    Stroke,
    edges_of,
    marks_in,
)

DPI = 150
"""Of the picture: A4 is then 1240 pixels broad, which a telephone shows sharply and sends soon."""
FINER = 2
"""It is drawn so many times larger, then made smaller, which makes slanted lines smooth."""
_PIXELS_A_MM = FINER * DPI / 25.4


def png_of(paper: Paper, number: int = 0) -> bytes:
    """The PNG of one sheet of a paper, the first unless another is named."""
    picture = _picture(paper.sheets[number])
    told = PngInfo()
    told.add_itxt("Title", paper.title)
    told.add_itxt("Software", "Kaan")
    kept = io.BytesIO()
    picture.save(kept, "PNG", dpi=(DPI, DPI), pnginfo=told, optimize=True)
    return kept.getvalue()


def _picture(sheet: Sheet) -> Image.Image:
    size = round(WIDTH_MM * DPI / 25.4), round(HEIGHT_MM * DPI / 25.4)
    picture = Image.new("L", (FINER * size[0], FINER * size[1]), 255)
    drawn = ImageDraw.Draw(picture)
    for part in sheet.parts:
        _draw(drawn, part)
    return picture.resize(size, Image.Resampling.BOX)


def _draw(drawn: ImageDraw.ImageDraw, part: Run | Stroke | Box) -> None:
    if isinstance(part, Run):
        font = _font(part.font, part.size)
        place = part.x * _PIXELS_A_MM, part.y * _PIXELS_A_MM
        drawn.text(place, part.text, fill=0, font=font, anchor="ls")
    elif isinstance(part, Stroke):
        ends = [p * _PIXELS_A_MM for p in (part.x, part.y, part.to_x, part.to_y)]
        broad = max(1, round(part.width * _PIXELS_A_MM))
        drawn.line(ends, fill=round(255 * part.grey), width=broad)
    else:
        for mark in marks_in(part):
            if isinstance(mark, Box):
                drawn.rectangle(_corners(mark), fill=0)
            else:
                _draw(drawn, mark)
        for edge in edges_of(part):
            _draw(drawn, edge)


def _corners(box: Box) -> tuple[float, float, float, float]:
    """In pixels, both included."""
    left, top = round(box.x * _PIXELS_A_MM), round(box.y * _PIXELS_A_MM)
    right = round((box.x + box.width) * _PIXELS_A_MM) - 1
    foot = round((box.y + box.height) * _PIXELS_A_MM) - 1
    return left, top, max(left, right), max(top, foot)


@lru_cache(maxsize=32)
def _font(name: str, size: float) -> ImageFont.FreeTypeFont:
    return font_at(name, size * MM_A_POINT * _PIXELS_A_MM)


def shaped_png(run: Run, dpi: int) -> tuple[bytes, tuple[float, float, float, float]]:
    """A run by itself as a PNG, for papers that cannot shape its letters, and its place on the
    sheet: left, top, width and height in mm."""
    pixels_a_mm = dpi / 25.4
    font = font_at(run.font, run.size * MM_A_POINT * pixels_a_mm)
    left, top, right, foot = font.getbbox(run.text, anchor="ls")
    picture = Image.new("L", (max(1, round(right - left)), max(1, round(foot - top))), 255)
    ImageDraw.Draw(picture).text((-left, -top), run.text, fill=0, font=font, anchor="ls")
    kept = io.BytesIO()
    picture.save(kept, "PNG")
    place = run.x + left / pixels_a_mm, run.y + top / pixels_a_mm
    return kept.getvalue(), (*place, picture.width / pixels_a_mm, picture.height / pixels_a_mm)
