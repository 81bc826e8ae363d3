"""A written answer typed in words, by single keys, and printed."""

import pytest

from quizzes.question import Choice
from screens.aligned import align
from screens.errors import WritingError
from screens.typed import LINE_WIDTH, example, keyboard, moved, printed, read_line, signs
from tests.window.written import BOLS, STROKES, SWARA_LABELS, SWARAS, line_step, order_step

STROKE_LINE = line_step("da ra dir da").question
SWARA_LINE = line_step("S r R", SWARAS, places=15, labels=SWARA_LABELS).question


def pad(*ids):
    return tuple(Choice(key, key) for key in ids)


@pytest.mark.parametrize(
    ("typed", "line"),
    [
        ("da ra dir da", "da ra dir da"),
        ("  Da   RA ", "da ra"),
        ("1 2 4", "da ra chikari"),
        ("da 2 chikari", "da ra chikari"),
    ],
)
def test_labels_ids_and_numbers_are_read_in_any_mixture(typed, line):
    assert read_line(typed, STROKE_LINE) == line


@pytest.mark.parametrize(
    ("typed", "line"),
    [
        ("S r R", "S r R"),
        ("komal Re Re", "r R"),
        ("sa komal ga ga", "S g G"),
        ("mandra Ni tar Sa", "N, S'"),
        ("15 3", "N, R"),
    ],
)
def test_labels_of_two_words_and_letters_that_differ_by_size_are_told_apart(typed, line):
    assert read_line(typed, SWARA_LINE) == line


def test_a_word_that_is_no_key_is_named_with_the_keys_to_choose_from():
    with pytest.raises(WritingError, match="'dha' is none of these: 1 da, 2 ra, 3 dir, 4 chi"):
        read_line("da dha ra", STROKE_LINE)


def test_a_letter_that_could_be_two_keys_is_refused():
    question = line_step("m", ("m", "M"), labels={"m": "Ma", "M": "tivra Ma"}).question
    assert read_line("m M", question) == "m M"
    with pytest.raises(WritingError, match="'tivra' is none of these"):
        read_line("tivra", question)


@pytest.mark.parametrize("typed", ["0", "5", "99"])
def test_a_number_beyond_the_keys_is_refused(typed):
    with pytest.raises(WritingError, match=f"'{typed}' is none of these"):
        read_line(typed, STROKE_LINE)


def test_a_line_longer_than_its_places_is_told_by_how_much():
    with pytest.raises(WritingError, match="17 keys; the line has 1 to 16"):
        read_line("da " * 17, STROKE_LINE)


def test_a_line_that_must_be_full_is_not_taken_short():
    question = line_step("da ra da ra", places=4, fewest=4).question
    assert read_line("1 2 1 2", question) == "da ra da ra"
    with pytest.raises(WritingError, match=r"that is 1 key; the line has 4$"):
        read_line("1", question)
    with pytest.raises(WritingError, match=r"3 keys; the line has 4$"):
        read_line("1 2 1", question)


def test_the_example_can_be_typed():
    order = order_step({"a": "Alap", "g": "Vilambit gat"}).question
    for question in (STROKE_LINE, SWARA_LINE, order):
        assert read_line(example(question), question).split()
    assert example(order) == "1 2"


def test_number_keys_write_the_first_nine_and_letters_what_they_alone_begin():
    keys = keyboard(pad(*STROKES))
    assert keys == {
        "1": "da",
        "2": "ra",
        "3": "dir",
        "4": "chikari",
        "r": "ra",
        "R": "ra",
        "c": "chikari",
        "C": "chikari",
    }


def test_a_letter_with_which_two_labels_begin_writes_nothing():
    assert "t" not in keyboard(pad(*BOLS))
    assert keyboard(pad(*BOLS))["9"] == "ti"


def test_letters_of_swaras_are_the_swaras_themselves():
    keys = keyboard(SWARA_LINE.choices)
    assert (keys["r"], keys["R"], keys["m"], keys["M"]) == ("r", "R", "m", "M")
    assert (keys["s"], keys["p"]) == ("S", "P")
    assert "R" not in keyboard(pad("S", "r", "g"))


def test_swaras_of_several_saptaks_are_written_as_they_are_read():
    keys = pad("P,", "N,", "S", "r", "N", "S'")
    assert keyboard(keys) == {
        "s": "S", "p": "P,", "S": "S", "P": "P,", "N": "N", "r": "r",
    }  # fmt: skip
    assert signs(keys) == {}
    assert [moved("N", ",", keys), moved("S", "'", keys)] == ["N,", "S'"]
    assert [moved("N,", "'", keys), moved("S'", ",", keys)] == ["N", "S"]
    assert [moved("r", ",", keys), moved("P,", "'", keys)] == ["r", "P,"]  # no such key
    far = pad("S,", "R", "S'")
    assert [moved("S,", "'", far), moved("S'", ",", far)] == ["S'", "S,"]  # over what has no key
    question = line_step("S r", ("P,", "N,", "S", "r", "N"), places=4).question
    assert read_line("s r N, p,", question) == "S r N, P,"
    with pytest.raises(WritingError, match="'n' is none of these"):  # komal Ni is no key here
        read_line("n", question)


def test_each_key_shows_its_number_or_else_its_letter():
    shown = signs(SWARA_LINE.choices)
    assert [shown.get(choice.id, "") for choice in SWARA_LINE.choices] == (
        [*"123456789", "D", "n", "N", "", "", ""]
    )


def test_lines_are_printed_one_above_the_other_with_each_slip_marked():
    places = align(["da", "ra", "dir", "da"], ["da", "dir", "chikari"])
    assert printed(places) == [
        "it was     da ra dir da",
        "you wrote  da -  dir chikari",
        "              ^      ^",
    ]


def test_right_lines_have_no_row_of_slips():
    assert len(printed(align(["da"], ["da"]))) == 2


def test_long_lines_are_broken_in_both_rows_at_the_same_place():
    was, given = ["chikari"] * 16, ["da"] * 16
    lines = printed(align(was, given))
    assert len(lines) == 9
    assert all(len(line) <= LINE_WIDTH for line in lines)
    assert lines[0].count("chikari") == lines[1].count("da") == lines[2].count("^")
