"""Sheets as a PDF: text as text, lines and boxes as they are, the fonts with it."""

from __future__ import annotations

import io
import logging
from datetime import datetime

from fpdf import FPDF
from fpdf.enums import TextMode

from practice.pages.png import shaped_png
from practice.pages.sheets import (
    BOLD,
    FONTS,
    HEIGHT_MM,
    SANS,
    SERIF,
    SHAPED,
    WIDTH_MM,
    Box,
    Paper,
    Run,
    Stroke,
    edges_of,
    marks_in,
)

NAME = "Kaan"
SHAPED_DPI = 600
"""Of a name that is drawn as a picture: as fine as a printer."""


def pdf_of(paper: Paper, *, made: datetime) -> bytes:
    """The PDF of a paper; `made` (aware) is the moment that it tells as its own."""
    # Kaan's log is for Kaan's words: how a font is made smaller is told to nobody.
    logging.getLogger("fontTools.subset").setLevel(logging.WARNING)
    pdf = FPDF(unit="mm", format=(WIDTH_MM, HEIGHT_MM))
    pdf.set_auto_page_break(False)
    pdf.set_margin(0)
    shaped = {run.font for sheet in paper.sheets for run in sheet.runs if run.font in SHAPED}
    for font in (SANS, BOLD, SERIF, *sorted(shaped)):
        pdf.add_font(font, "", str(FONTS / f"{font}.ttf"))
    pdf.set_title(paper.title)
    pdf.set_producer(NAME)
    pdf.set_creator(NAME)
    pdf.set_lang("en-GB")
    pdf.set_creation_date(made)
    for sheet in paper.sheets:
        pdf.add_page()
        for part in sheet.parts:
            _draw(pdf, part)
    return bytes(pdf.output())


def _draw(pdf: FPDF, part: Run | Stroke | Box) -> None:
    if isinstance(part, Run):
        if part.font in SHAPED:
            _draw_shaped(pdf, part)
            return
        pdf.set_font(part.font, size=part.size)
        pdf.set_text_color(0)
        pdf.text(part.x, part.y, part.text)
    elif isinstance(part, Stroke):
        pdf.set_draw_color(round(255 * part.grey))
        pdf.set_line_width(part.width)
        pdf.line(part.x, part.y, part.to_x, part.to_y)
    else:
        for mark in marks_in(part):
            if isinstance(mark, Box):
                pdf.set_fill_color(0)
                pdf.rect(mark.x, mark.y, mark.width, mark.height, style="F")
            else:
                _draw(pdf, mark)
        for edge in edges_of(part):
            _draw(pdf, edge)


def _draw_shaped(pdf: FPDF, run: Run) -> None:
    """As a picture, with the text unseen in its place, so that it can be looked for."""
    picture, (x, y, width, height) = shaped_png(run, SHAPED_DPI)
    pdf.image(io.BytesIO(picture), x, y, width, height)
    pdf.set_font(run.font, size=run.size)
    with pdf.local_context(text_mode=TextMode.INVISIBLE):
        pdf.text(run.x, run.y, run.text)
