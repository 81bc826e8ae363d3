"""What the keys of the sargam keypad write is a line that can be read."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from audio.sargam import parse
from audio.tuning import SWARAS
from screens.sargam_writing import placed

NOTES = st.lists(
    st.tuples(
        st.sampled_from(SWARAS), st.sampled_from(("", "'", ",", "''")), st.sampled_from("-. ")
    ),
    min_size=1,
    max_size=12,
)


def struck(keys, *, apart=True, text=""):
    for key in keys:
        text += placed(text, key, apart=apart)
    return text


@given(NOTES)
def test_each_swara_hold_and_rest_takes_a_matra_of_its_own(notes):
    keys = [key for swara, marks, after in notes for key in (swara, *marks, after.strip()) if key]
    line = parse(struck(keys))
    assert line.matras == sum(1 + bool(after.strip()) for _, _, after in notes)
    assert [str(note.swara) for note in line.notes()] == [
        swara + marks for swara, marks, _ in notes
    ]


@given(st.lists(st.sampled_from(SWARAS), min_size=1, max_size=8))
def test_run_together_they_take_one(swaras):
    assert parse(struck(swaras, apart=False)).matras == 1


@pytest.mark.parametrize(
    ("keys", "line"),
    [
        (("S", "/", "R", "G"), "S/R G"),
        (("(", "R", ")", "S", "G"), "(R)S G"),
        (("S", "{", "S", "R", "}", "G"), "S {SR} G"),
        (("S", "R", "|", "G"), "S R | G"),
        (("|", "S"), "| S"),
        (("r", "~", "S", "c"), "r~ Sc"),
        (("S", "\\\\", "N", ",", "-", "."), "S\\\\N, - ."),
    ],
)
def test_joins_and_brackets_keep_what_belongs_together_in_one_matra(keys, line):
    assert struck(keys) == line
