"""Sheets as a PDF: text as text, lines and boxes as they are, the fonts with it."""

from __future__ import annotations

import logging
from datetime import datetime

from fpdf import FPDF

from practice.pages.sheets import (
    BOLD,
    FONTS,
    HEIGHT_MM,
    SANS,
    SERIF,
    WIDTH_MM,
    Box,
    Paper,
    Run,
    Stroke,
    edges_of,
    marks_in,
)

NAME = "Kaan"


def pdf_of(paper: Paper, *, made: datetime) -> bytes:
    """The PDF of a paper; `made` (aware) is the moment that it tells as its own."""
    # Kaan's log is for Kaan's words: how a font is made smaller is told to nobody.
    logging.getLogger("fontTools.subset").setLevel(logging.WARNING)
    pdf = FPDF(unit="mm", format=(WIDTH_MM, HEIGHT_MM))
    pdf.set_auto_page_break(False)
    pdf.set_margin(0)
    for font in (SANS, BOLD, SERIF):
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
        pdf.set_font(part.font, size=part.size)
        pdf.set_text_color(round(255 * part.grey))
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
