"""A spreadsheet saved as CSV becomes a deck, or every bad row is told with row and column.

CSV as RFC 4180 has it, and as spreadsheets write it: with semicolons or tabs, a byte order mark, or
in UTF-16 (from memory). Python's `csv` writes what is read here.
"""

import csv
import io
import os
import re
import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quizzes.decks.limits import MOST_BYTES, MOST_QUESTIONS
from quizzes.decks.reading import read_deck
from quizzes.decks.sheet import COLUMNS, SheetError, load_sheet, read_sheet

HEAD = ["prompt", "sargam", "right", "wrong", "wrong", "why", "name"]
ROWS = [
    [
        "Where does it rest?",
        "N, R G",
        "Ga",
        "Re",
        "Ni",
        'since, "it" is held;\nlong',
        "Rests on Ga",
    ],
    ["Which two are komal?", "", "Re", "Ma", "", "", ""],
]


def made(rows, *, separator=",", coding="utf-8"):
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=separator).writerows(rows)
    return out.getvalue().encode(coding)


def refused(data, file="first_gaps.csv"):
    with pytest.raises(SheetError) as caught:
        read_sheet(data, file)
    assert str(caught.value) == "\n".join(caught.value.faults)
    assert all(fault.startswith(file) and "; " in fault for fault in caught.value.faults)
    return [fault.removeprefix(f"{file}") for fault in caught.value.faults]


def test_a_sheet_whose_file_has_a_name_that_cannot_be_shown_makes_a_deck_all_the_same():
    deck = read_sheet(made([HEAD, *ROWS]), "રાગ.csv").deck
    assert (deck.id, deck.name) == ("sheet", "Questions")


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
def test_the_same_deck_comes_of_every_way_to_save_a_sheet(separator, coding):
    sheet = read_sheet(made([HEAD, *ROWS], separator=separator, coding=coding), "first_gaps.csv")
    assert sheet == read_sheet(made([HEAD, *ROWS]), "first_gaps.csv")
    assert (sheet.deck.id, sheet.deck.name, sheet.rows) == ("first-gaps", "First gaps", (2, 3))
    first, second = sheet.deck.entries
    assert (first.form, first.prompt, first.name) == ("choose-one", ROWS[0][0], "Rests on Ga")
    assert first.cue.sargam == "N, R G"
    assert first.why == 'since, "it" is held;\nlong'
    assert [(each.text, each.right) for each in first.offered] == [
        ("Ga", True),
        ("Re", False),
        ("Ni", False),
    ]
    assert [each.text for each in second.offered] == ["Re", "Ma"]
    assert read_deck(sheet.text, "x.toml") == sheet.deck
    assert tomllib.loads(sheet.text)["question"][1]["prompt"] == ROWS[1][0]


def test_columns_stand_in_any_order_several_are_right_and_an_id_is_kept():
    rows = [
        ["Wrong 2", "RIGHT", "id", "Prompt", "right 2", "Wrong1", ""],
        ["d", "a", "x", "Q", "b", "c"],
    ]
    (entry,) = read_sheet(b"sep=;\r\n" + made(rows, separator=";"), "q.csv").deck.entries
    assert (entry.id, entry.form, entry.prompt) == ("x", "choose-several", "Q")
    assert [each.text for each in entry.offered if each.right] == ["a", "b"]
    assert {each.text for each in entry.offered if not each.right} == {"c", "d"}


def test_a_question_is_known_by_what_it_asks_wherever_it_stands():
    def ids(*rows):
        return [entry.id for entry in read_sheet(made([HEAD, *rows]), "x.csv").deck.entries]

    first, second = ids(*ROWS)
    more = ["Another?", "", "a", "b", "", "", ""]
    assert ids(ROWS[1], more, ROWS[0])[::2] == [second, first]
    assert ids([*ROWS[0][:2], "Ni", "Re", "Ga", "otherwise", ""]) == [first]
    assert ids([ROWS[0][0], "S R", *ROWS[0][2:]]) != [first]


def test_every_bad_row_is_told_with_its_row_and_column():
    rows = [
        HEAD,
        ["", "", "a", "b"],
        [],
        ["Q", "N, X", "a", "b"],
        ["Two\nlines", "", "a", "A"],
        ["P", "", "a"],
        ROWS[0],
        [*ROWS[0][:2], "z", "y"],
        ["R", "", "a", "b", "", "", "", "extra"],
        ["S" * 500, "", "a", "b"],
        ["", "N, X", "a" * 200, "", "", "w", "n" * 100, "x"],
        [*ROWS[0][:2], "z", "Z"],
    ]
    said = refused(made(rows))
    assert [fault.split(": ")[0] for fault in said] == [
        ", row 2, prompt",
        ", row 4, column B (sargam)",
        ", row 5, column D (wrong)",
        ", row 6, wrong",
        ", row 8",
        ", row 9, column H",
        ", row 10, column A (prompt)",
        ", row 11, column B (sargam)",
        ", row 11, column C (right)",
        ", row 11, column G (name)",
        ", row 11, column H",
        ", row 11, prompt",
        ", row 11, wrong",
        ", row 12, column D (wrong)",
        ", row 12",
    ]
    assert "is the same question as row 7" in said[4]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "row 1: is empty; name the columns: prompt, sargam, right"),
        (b"\n\n", "is empty"),
        (b"prompt,right\nq,a\n", "row 1: no column is called wrong"),
        (b"prompt,right,wrong,colour\n", "row 1, column D (colour): is no column known here"),
        (b"prompt,prompt,right,wrong\n", "column B (prompt): stands there twice"),
        (b"prompt,right,wrong\n", "row 1: no question stands below it"),
        (b'prompt,right,wrong\nq,"a,b\n', "row 2: cannot be read (unexpected end of data)"),
        (b"prompt,right,wrong\nq,\xe4,b\n", "row 2: is not in UTF-8; save it as CSV in UTF-8"),
        (b"prompt,right,wrong\nq,a\0,b\n", "it holds zero bytes"),
        ("prompt".encode("utf-16"), "no column is called right"),
        (b"\xff\xfep\0r", "is not in UTF-8"),
        (b"\xff\xfe\x00\xd8", "is not in UTF-8"),
        (b'sep="\nprompt,right,wrong\nq,a,b\n', "row 1"),
        (b"PK\3\4" + b"\0" * 60, "it holds zero bytes; save it as CSV in UTF-8"),
        (b"x" * 1_000_001, "is larger than 1000000 bytes"),
        (b"," * 200 + b"\n1", "no column is called"),
        (b"prompt,right,wrong\n" + b"q,a,b\n" * (MOST_QUESTIONS + 1), "more than 500 questions"),
    ],
)
def test_what_is_no_sheet_of_questions_is_told(data, said):
    assert said in "\n".join(refused(data))


def test_so_many_questions_and_columns_are_read():
    rows = [["prompt", "right", *["wrong"] * 28], *([f"q{at}", "a", "b"] for at in range(500))]
    assert len(read_sheet(made(rows), "q.csv").deck.entries) == MOST_QUESTIONS
    (fault,) = refused(made([[*rows[0][:26], "x"], rows[1]]))
    assert fault.startswith(", row 1, column AA (x): is no column known here")
    (fault,) = refused(made([[*rows[0], "wrong"], rows[1]]))
    assert fault.startswith(", row 1: has 31 columns")


CELLS = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=12)
ROW = st.tuples(CELLS, st.sampled_from(["", "S R G", "S x"]), *[CELLS] * 5).map(list)


def holds(data):
    """What is read is a deck that reads the same again, or refused by rows."""
    try:
        sheet = read_sheet(data, "x.csv")
    except SheetError as error:
        faults = error.faults
    else:
        faults = ()
        assert read_deck(sheet.text, "x.toml") == sheet.deck
        assert len(sheet.rows) == len(sheet.deck.entries)
    assert all(fault.startswith("x.csv") and "; " in fault for fault in faults)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(ROW, max_size=3),
    st.sampled_from([",", ";", "\t"]),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]),
)
def test_any_sheet_is_a_deck_or_is_refused_by_rows(rows, separator, coding):
    holds(made([HEAD, *rows], separator=separator, coding=coding))


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=80) | st.binary(max_size=40).map(lambda b: b"prompt,right,wrong\n" + b))
def test_any_bytes_are_a_deck_or_refused(data):
    holds(data)


def test_the_page_on_decks_tells_the_columns():
    page = (Path(__file__).parents[3] / "DECKS.md").read_text("utf-8")
    section = page.partition("## From a spreadsheet\n")[2].partition("\n## ")[0]
    told = re.findall(r"^\| `(\w+)` \|", section, re.MULTILINE)
    assert sorted(told) == sorted(COLUMNS)


def test_what_is_no_file_is_told_and_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe.csv")
    (tmp_path / "large.csv").write_bytes(b"," * (MOST_BYTES + 2))
    for name, wrong in (
        ("none.csv", "none.csv: cannot be opened: "),
        ("pipe.csv", "pipe.csv: is no file; give the path of a sheet, a .csv"),
        ("large.csv", "large.csv: is larger than 1000000 bytes; "),
        ("a\0b.csv", "cannot be opened: "),
    ):
        with pytest.raises(SheetError, match=wrong):
            load_sheet(tmp_path / name)
