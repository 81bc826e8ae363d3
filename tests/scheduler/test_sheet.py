"""Answers become a sheet that spreadsheets read as it is meant, and never run."""

import csv
import io
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.sheet import HEADS, guarded, write_sheet
from tests.scheduler.conftest import make_answer

LATE = datetime(2026, 3, 1, 20, 15, 30, 250_000, tzinfo=UTC)


def sheet_of(*answers, **how):
    """As Python's csv module reads it: the rows by their heads."""
    out = io.StringIO()
    how = {"left_out": (), "name_of": str.upper, **how}
    assert write_sheet(out, answers, **how) == len(answers)
    return list(csv.DictReader(io.StringIO(out.getvalue(), newline="")))


def test_a_row_tells_an_answer_at_the_time_that_the_student_saw():
    answer = make_answer("gap:R-P:up", utc=LATE, heard="gap:R-D:up", response_ms=-120)
    (row,) = sheet_of(answer)
    assert row == {
        "date": "2026-03-02",
        "time": "01:45:30",
        "skill": "gap:R-P:up",
        "name": "GAP:R-P:UP",
        "kind": "swara",
        "choices": "a | b | c | d",
        "right": "a",
        "given": "a",
        "credit": "1.0",
        "heard": "gap:R-D:up",
        "chance": "0.25",
        "predicted": "0.5",
        "reason": "new",
        "response_ms": "-120",
        "counts": "yes",
        "student": "Mira",
        "device": "tablet",
        "session": "day 0",
        "utc": "2026-03-01T20:15:30.250+00:00",
        "uuid": answer.uuid,
    }
    assert tuple(row) == HEADS


def test_what_is_left_out_counts_for_nothing():
    rows = sheet_of(make_answer("a"), make_answer("a", day=1), left_out={"day 1"})
    assert [row["counts"] for row in rows] == ["yes", "no"]


def test_every_line_ends_as_the_standard_says():
    """RFC 4180, section 2: lines end in CR LF, and what holds a quote, a comma or a line's end is
    quoted, quotes within doubled."""
    out = io.StringIO()
    answer = make_answer("a", given='S,"R"\nG')
    write_sheet(out, [answer], left_out=(), name_of=str)
    head, row = out.getvalue().split("\r\n", 1)
    assert head.split(",") == list(HEADS)
    assert '"S,""R""\nG"' in row
    assert row.endswith("\r\n")


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "'"])
def test_a_text_like_a_formula_is_none(sign):
    """OWASP, "CSV injection" (from memory): such a cell gets an apostrophe before it."""
    given = f'{sign}HYPERLINK("x")'
    (row,) = sheet_of(make_answer("a", given=given, device=given), name_of=lambda _: given)
    assert row["given"] == row["device"] == row["name"] == f"'{given}"


@given(st.text())
def test_no_text_begins_like_a_formula_and_each_is_known_again(text):
    cell = guarded(text)
    assert not cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n"))
    assert text in (cell, cell.removeprefix("'"))
    assert (cell != text) == cell.startswith("'")


@pytest.mark.parametrize("number", [-120, -0.5, 1.0])
def test_numbers_stay_numbers(number):
    assert guarded(number) is number
