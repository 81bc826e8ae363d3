"""A broken tradition is told with its places, and what is good of it stands."""

import pytest

from quizzes.tradition import MOST_BYTES, MOST_FAULTS, load_words, read_words
from tests.quizzes.broken_traditions import WHOLE, broken, faults_of


@pytest.mark.parametrize("text", WHOLE)
def test_a_whole_tradition_has_no_fault_and_stands_as_it_is_written(text):
    words = read_words(text)
    assert not words.faults
    assert words.text == text


def test_whatever_is_broken_is_told_with_its_place_and_the_rest_is_whole():
    assert sum(bool(faults_of(broken(seed))) for seed in range(12)) >= 9


def test_all_faults_are_told_and_what_is_good_stands():
    words = read_words(
        '[durga]\nvadi = "D R"\nnyas = 7\ngait = "slow"\n'
        '[tala.rupak]\nkhali = []\nnever = 1\n[yaman\nnyas = "G"\n[[order]]\nfirst = "jor"\n',
        "mine.toml",
    )
    assert [(fault.line, fault.field) for fault in words.faults] == [
        (3, "durga, nyas"),
        (4, "durga, gait"),
        (7, "tala.rupak, never"),
        (8, ""),
        (10, "order 1, then"),
    ]
    assert read_words(words.text).text == words.text
    assert 'vadi = "D R"' in words.text
    assert "khali = []" in words.text
    assert str(words.faults[0]).startswith("mine.toml, line 3: durga, nyas: should be a text in")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("x = " + "9" * 5000, "line 1: A number has very many digits; mend the file, it should be"),
        ("x = " + "[" * 3000, "line 1: its tables lie more than 12 deep within one another;"),
        (
            "# " + "x" * MOST_BYTES,
            "line 1: is too large for a teacher's word; keep it below 200 kB",
        ),
        ('[durga]\nvadi = "D R', "line 2: "),
        ("durga = [", "line 1: "),
    ],
)
def test_what_cannot_be_read_at_all_is_told(text, told):
    (fault, *_) = read_words(text, "mine.toml").faults
    assert f"mine.toml, {told}" in str(fault)


def test_of_a_file_with_faults_without_end_nothing_is_in_force():
    words = read_words("\n".join(f"[never{n}]" for n in range(MOST_FAULTS + 50)))
    assert MOST_FAULTS <= len(words.faults) <= MOST_FAULTS + 1
    assert words.text == ""


def test_a_file_that_is_no_text_is_told(tmp_path):
    path = tmp_path / "tradition.toml"
    path.write_bytes(b"[durga]\nvadi = \xff")
    (fault,) = load_words(path).faults
    assert "tradition.toml, line 1: " in str(fault)
    assert "it should be a file of TOML in UTF-8" in str(fault)


def test_windows_line_ends_and_a_byte_order_mark_are_no_faults():
    assert not read_words('\ufeff[durga]\r\nvadi = "D R"\r\n').faults
