"""A cycle and taps in the terminal."""

from fractions import Fraction

import pytest

from quizzes.explanation import Met
from quizzes.talas import load_tala
from quizzes.wheel import Span, Wheel
from screens.cycles_printed import met_printed, wheel_printed
from screens.errors import WritingError
from screens.typed import read_seconds


def test_signs_stand_above_their_matras():
    signs, matras, *rest = wheel_printed(
        Wheel(
            load_tala("jhaptal").form,
            marked=((6, "khali"),),
            spans=(Span(Fraction(20, 3), Fraction(10, 3), "phrase", "the theka in tigun"),),
        )
    )
    assert matras == "matras 1 2 | 3 4 5 | 6 7 | 8 9 10"
    assert {sign: matras[signs.index(sign)] for sign in "X203"} == {
        "X": "1",
        "2": "3",
        "0": "6",
        "3": "8",
    }
    assert rest == [
        "matra 6: khali",
        "the theka in tigun: 3 1/3 matras, from 6 2/3 matras after sam",
    ]


def test_phrases_and_gaps_of_a_tihai_are_told_in_their_order():
    spans = (
        Span(Fraction(0), Fraction(5), "phrase", "5"),
        Span(Fraction(5), Fraction(1), "gap", "1"),
        Span(Fraction(13, 2), Fraction(1, 2), "gap"),
    )
    _, _, *told = wheel_printed(Wheel(load_tala("tintal").form, spans=spans))
    assert told == [
        "phrase: 5 matras, from sam",
        "gap: 1 matra, from 5 matras after sam",
        "gap: 1/2 matra, from 6 1/2 matras after sam",
    ]


def test_a_blind_cycle_tells_nothing_of_its_form():
    (line,) = wheel_printed(Wheel(load_tala("rupak").form, blind=True))
    assert line == "points 1 to 7 in turn; at point 1 the cue begins"


def test_beats_are_told_with_how_they_were_met():
    met = (Met("sam", -23.4), Met("2", 0.2), Met("khali", 7.6), Met("3", None))
    met += (Met("4", 70.0, 70), Met("5", -71.0, 70))
    assert met_printed(met) == [
        "sam    23 ms early",
        "2      on the beat",
        "khali  8 ms late",
        "3      no tap",
        "4      70 ms late",
        "5      71 ms early: not met",
    ]
    assert met_printed(()) == []


def test_seconds_are_read_or_refused_with_what_is_wrong():
    assert read_seconds("2.5 4.75 6") == [2.5, 4.75, 6.0]
    for text, said in (("2.5 x", "'x' is no number"), ("2 1", "should rise"), ("nan", "plain")):
        with pytest.raises(WritingError, match=said):
            read_seconds(text)
