"""What is set on A4 stays on it, and other programs find in PDF and PNG what was set.

`pdftotext`, `pdfinfo` and `pdftoppm` are those of poppler.
"""

import io
import re
import shutil
import subprocess
from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from practice.errors import PageError
from practice.pages.class_page import ClassPage, Spent, Student
from practice.pages.class_sheet import class_paper
from practice.pages.lesson_page import lesson_page
from practice.pages.lesson_sheet import lesson_paper
from practice.pages.names import Line, can_shape, name_runs
from practice.pages.pdf import pdf_of
from practice.pages.png import png_of
from practice.pages.ready import MEANS, Ready
from practice.pages.setting import LACKING, broken, cut, drawable, drawable_name, width_of
from practice.pages.sheets import (
    HEIGHT_MM,
    SERIF,
    SHAPED,
    WIDTH_MM,
    Box,
    Paper,
    Run,
    Sheet,
    Stroke,
    marks_in,
)
from practice.pages.states import States, all_begun
from practice.pages.writing import paper_name, write_paper
from quizzes.signs import unshown
from tests.practice.pages.made_up import MADE, Made

MARGIN = 9.0
SEEDS = st.integers(0, 2**32)


def check(paper):
    """All that is drawn lies within the margins, and lines of text do not meet."""
    for sheet in paper.sheets:
        for part in sheet.parts:
            if isinstance(part, Run):
                ends = (part.x, part.y - 4), (part.x + width_of(part.text, part.font, part.size),
                                              part.y + 1)  # fmt: skip
                assert part.font in SHAPED or not unshown(part.text)
                assert part.text == part.text.strip()
            elif isinstance(part, Stroke):
                ends = (part.x, part.y), (part.to_x, part.to_y)
            else:
                ends = (part.x, part.y), (part.x + part.width, part.y + part.height)
            for x, y in ends:
                assert MARGIN < x < WIDTH_MM - MARGIN
                assert MARGIN - 4 < y < HEIGHT_MM - 6
        check_lines(sheet.runs)


def check_lines(runs):
    """No two runs of a sheet stand in each other."""
    spans = sorted(
        (run.y, run.x, run.x + width_of(run.text, run.font, run.size), run.text) for run in runs
    )
    for at, (y, x, to_x, text) in enumerate(spans):
        for other_y, other_x, other_to_x, other in spans[at + 1 :]:
            if other_y - y > 2.0:
                break
            is_apart = other_x >= to_x - 0.01 or x >= other_to_x - 0.01
            assert is_apart, f"{text!r} and {other!r} meet at {y}"


@settings(max_examples=40, deadline=None)
@given(SEEDS)
def test_a_lesson_page_is_one_sheet_whatever_stands_on_it(seed):
    paper = lesson_paper(Made(seed).lesson_page())
    assert len(paper.sheets) == 1
    check(paper)


@settings(max_examples=20, deadline=None)
@given(SEEDS)
def test_a_class_page_has_sheets_enough_for_all_students(seed):
    page = Made(seed).class_page()
    paper = class_paper(page)
    check(paper)
    rows = [run for sheet in paper.sheets for run in sheet.runs if run.x == 57.0]
    assert len(rows) == len(page.students)
    assert len(paper.sheets) <= 1 + (len(page.students) + 19) // 20


@pytest.fixture(scope="module")
def written(confused, tmp_path_factory):
    """(page, path of the PDF, path of the PNG) of a student who confuses things."""
    page = lesson_page(confused)
    paper, folder = lesson_paper(page), tmp_path_factory.mktemp("pages")
    paths = [folder / f"page{ending}" for ending in (".pdf", ".png")]
    for path in paths:
        assert write_paper(paper, path, made=MADE) == (path,)
    return page, *paths


def run(*words):
    if not shutil.which(words[0]):
        pytest.skip(f"{words[0]} is not there (Debian: poppler-utils)")
    return subprocess.run(words, capture_output=True, check=True, timeout=60).stdout


def plain(text):
    return " ".join(text.split())


def test_other_programs_find_one_a4_page_with_all_figures(written):
    page, pdf, _ = written
    told = run("pdfinfo", pdf).decode()
    assert re.search(r"^Pages: +1$", told, re.M)
    assert "(A4)" in told
    assert re.search(r"^Producer: +Kaan$", told, re.M)
    assert re.search(r"^Creator: +Kaan$", told, re.M)
    text = plain(run("pdftotext", "-raw", pdf, "-").decode())
    first = page.confusions[0]
    for said in (
        page.student, page.date, page.ready.headline, page.ready.figures, MEANS, first.words,
        first.figure, f"Play {first.play_right}", f"against {first.play_given}",
        page.practised.words, page.practised.known, page.guessing.found[0].words,
        *(one.text for one in page.suggestions),
    ):  # fmt: skip
        assert plain(said) in text
    for one in page.suggestions:
        assert one.figure[1:] in text
    assert f"All that is begun {' '.join(map(str, all_begun(page.parts)))}" in text
    assert "MPDFAA" not in text


def test_the_picture_shows_what_the_pdf_shows(written, tmp_path):
    _, pdf, png = written
    run("pdftoppm", "-r", "150", "-gray", "-png", "-singlefile", pdf, tmp_path / "pdf")
    with Image.open(png) as ours, Image.open(tmp_path / "pdf.png") as theirs:
        assert ours.info["dpi"] == pytest.approx((150, 150), abs=0.1)
        assert abs(ours.width - theirs.width) <= 1
        assert abs(ours.height - theirs.height) <= 1
        small = (105, 148)
        pages = [np.asarray(each.convert("L").resize(small), float) for each in (ours, theirs)]
    assert np.corrcoef(pages[0].ravel(), pages[1].ravel())[0, 1] > 0.95
    assert abs(pages[0] - pages[1]).mean() < 6


def test_a_class_of_forty_is_told_on_a_few_pages(tmp_path):
    students = tuple(
        Student(f"student-{n}", f"Noor {n}", Ready("ready", ""), States(3, 2, 1, 4), Spent(9, 28))
        for n in range(40)
    )
    paper = class_paper(ClassPage(MADE, students, (), ()))
    pdf = tmp_path / "class.pdf"
    pdf.write_bytes(pdf_of(paper, made=MADE))
    count = len(paper.sheets)
    assert re.search(rf"^Pages: +{count}$", run("pdfinfo", pdf).decode(), re.M)
    text = run("pdftotext", "-layout", pdf, "-").decode()
    assert all(re.search(rf"\b{student.name} +Ready", text) for student in students)
    assert f"{count} of {count}" in text
    pictures = write_paper(paper, tmp_path / "class.png", made=MADE)
    assert [path.name for path in pictures] == [f"class-{n + 1}.png" for n in range(count)]


def test_letters_that_the_fonts_lack_are_stood_in_for_and_told():
    assert drawable("Mīrā Ólafur-Ångström") == "Mīrā Ólafur-Ångström"
    assert drawable("Zoe\u0308\n \u200bX") == "Zoë X"
    assert drawable("\u092e\u0940 A \U0001f3b5") == "◌ A ◌"
    assert drawable_name("\u092e\u0940\u0930\u093e", "student-1") == "student-1 (◌)"
    assert drawable_name("\u200b", "student-1") == "student-1"


def test_the_foot_tells_of_letters_that_are_stood_in_for(confused):
    page = lesson_page(confused)
    lacking = lesson_paper(replace(page, student="\u0b9f Mira"))
    assert "◌ Mira" in [run.text for run in lacking.sheets[0].runs]
    assert LACKING in [run.text for run in lacking.sheets[0].runs]
    assert LACKING not in [run.text for run in lesson_paper(page).sheets[0].runs]


@pytest.mark.skipif(not can_shape(), reason="this Pillow sets no Devanagari")
def test_names_in_devanagari_and_bengali_are_drawn_and_found(tmp_path):
    names = "\u092e\u0940\u0930\u093e", "\u09ae\u09c0\u09b0\u09be", "Mira \u0930\u093e\u0923\u0940"
    line = Line(20.0, 30.0, 60.0, (20.0, 9.0), SERIF)
    runs = [run for name in names for run in name_runs(name, "student-1", line)]
    paper = Paper("names", (Sheet(tuple(runs)),))
    fonts = ("Devanagari", "Bengali", "Serif", "Devanagari")
    assert all(font in run.font for font, run in zip(fonts, runs, strict=True))
    assert runs[3].x == pytest.approx(20 + width_of("Mira ", SERIF, 20.0))
    pdf = tmp_path / "names.pdf"
    pdf.write_bytes(pdf_of(paper, made=MADE))
    found = plain(run("pdftotext", "-raw", pdf, "-").decode())
    assert all(word in found for name in names for word in name.split())
    (small,) = name_runs(names[0] * 15, "student-1", line)
    assert width_of(small.text, small.font, small.size) <= 60.001


def test_text_is_cut_and_broken_to_its_room():
    text = "komal Ga heard as Ga in 9 of 24 (21 to 57 %)"
    assert cut(text, 200) == text
    short = cut(text, 30)
    assert short.endswith("…")
    assert text.startswith(short[:-1])
    assert width_of(short) <= 30
    for room in (20, 35, 60, 75):
        lines = broken(text, room, 99)
        assert " ".join(lines) == text
        assert all(width_of(line) <= room for line in lines)
        assert not any(line.startswith("%") for line in lines)
    assert broken(text, 20, 2)[1].endswith("…")
    assert broken("", 20, 2) == []


def test_patterns_stay_in_their_boxes_and_differ_in_ink():
    ink = {}
    for pattern in ("none", "dotted", "slanted", "full"):
        box = Box(20.3, 30.1, 17.7, 3.0, pattern)
        for mark in marks_in(box):
            xs = (mark.x, mark.to_x) if isinstance(mark, Stroke) else (mark.x, mark.x + mark.width)
            assert 20.3 - 1e-9 <= min(xs) <= max(xs) <= 38.0 + 1e-9
        with Image.open(io.BytesIO(png_of(Paper("", (Sheet((box,)),))))) as picture:
            ink[pattern] = 255 - np.asarray(picture, float)[180:194, 125:220].mean()
    assert ink["none"] < 2 < ink["dotted"] < ink["slanted"] < ink["full"]
    assert ink["dotted"] + 15 < ink["slanted"] < ink["full"] - 80


def test_files_are_called_after_whom_they_are_of():
    made = datetime(2026, 11, 29, tzinfo=UTC)
    assert paper_name("Anasuya V.", made, ".pdf") == "anasuya-v-2026-11-29.pdf"
    assert paper_name("\u092e\u0940\u0930\u093e", made, ".png") == "page-2026-11-29.png"
    assert paper_name("con", made, ".png") == "page-2026-11-29.png"


def test_what_a_library_cannot_set_is_told_with_what_to_do(tmp_path, monkeypatch):
    def fails(*_, **__):
        raise KeyError("glyf")

    monkeypatch.setattr("practice.pages.pdf.pdf_of", fails)
    with pytest.raises(PageError, match=r"page.pdf cannot be set .*glyf.*; write a picture"):
        write_paper(Paper("", (Sheet(()),)), tmp_path / "page.pdf", made=MADE)
    assert not list(tmp_path.iterdir())
