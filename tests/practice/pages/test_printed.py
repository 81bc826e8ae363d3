"""What is printed tells states by pattern and by width, and says whose page it is and of when."""

import shutil
import subprocess
from datetime import datetime, timedelta, timezone

import pytest

from practice.pages.column import bar, legend, pattern_key
from practice.pages.pdf import pdf_of
from practice.pages.sheets import Box, Paper, Run, Sheet
from practice.pages.states import NAMES, States

STATES = States(firm=3, coming=2, shaky=1, unheard=4)


def pattern_beside(parts):
    """State → pattern: a legend's boxes beside their names."""
    boxes = [part for part in parts if isinstance(part, Box)]
    names = [part.text for part in parts if isinstance(part, Run)]
    return dict(zip(names, (box.pattern for box in boxes), strict=True))


def test_a_bar_is_read_by_its_legend():
    boxes = bar(20.0, 30.0, 50.0, 3.0, STATES)
    assert [box.width for box in boxes] == pytest.approx([15.0, 10.0, 5.0, 20.0])
    assert [box.x for box in boxes] == pytest.approx([20.0, 35.0, 45.0, 50.0])
    key = pattern_beside(legend(20.0, 30.0, (20.0, 40.0, 60.0, 80.0), 8.0))
    assert [box.pattern for box in boxes] == [key[name] for name in NAMES]
    assert len(set(key.values())) == 4
    assert (key["firm"], key["unheard"]) == ("full", "none")
    assert pattern_beside(pattern_key(20.0, 30.0, NAMES[:3], 8.0)).items() <= key.items()


def test_of_what_is_none_no_box_is_drawn():
    assert [box.width for box in bar(0.0, 0.0, 50.0, 3.0, States(0, 0, 7))] == [50.0]
    assert bar(0.0, 0.0, 50.0, 3.0, States()) == []


def test_a_pdf_tells_its_title_and_when_it_was_made(tmp_path):
    """`pdfinfo` is that of poppler."""
    if not shutil.which("pdfinfo"):
        pytest.skip("pdfinfo is not there (Debian: poppler-utils)")
    made = datetime(2026, 11, 29, 18, 30, 5, tzinfo=timezone(timedelta(hours=5, minutes=30)))
    pdf = tmp_path / "page.pdf"
    pdf.write_bytes(pdf_of(Paper("Mira: for the lesson", (Sheet(()),)), made=made))
    told = subprocess.run(["pdfinfo", "-isodates", pdf], capture_output=True, text=True, check=True)
    lines = dict(line.split(":", 1) for line in told.stdout.splitlines())
    assert lines["Title"].strip() == "Mira: for the lesson"
    assert datetime.fromisoformat(lines["CreationDate"].strip()) == made
