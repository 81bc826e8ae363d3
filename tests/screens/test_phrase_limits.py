"""What cannot stand in a line is neither made on the pad nor taken from a terminal."""

from functools import reduce

import pytest

from audio.sargam import MOST_TOUCHES, parse
from audio.tuning import Swara
from quizzes.explanation import Beside, Explanation
from screens.answer_typed import read_answer
from screens.errors import WritingError
from screens.phrase import Phrase
from screens.typed_phrase import cue_wished
from tests.window.scripted import step
from tests.window.written import CUE

S, R, G = (Swara.read(letter) for letter in "SRG")


@pytest.mark.parametrize(
    ("phrase", "text"),
    [
        # A string that was silent pulls no swara along.
        (Phrase.read("S").resting().adding(R, "meend"), "S . R"),
        (Phrase.read("S R/G").choosing(1).resting(), "S R:1/2 . G:1/2"),
        (Phrase.read("S").resting().adding(R, "ghaseet"), "S . R"),
        # What is touched before a swara is another one.
        (Phrase.read("(S')S").shifted(1), "S'"),
        (Phrase.read("(GR)S").playing(swara=R), "(G)R"),
        (Phrase.read("S").touching(S), "S"),
        (reduce(Phrase.touching, [R, G] * MOST_TOUCHES, Phrase.read("S")), "(RGRG)S"),
    ],
)
def test_what_a_line_cannot_have_falls_away(phrase, text):
    assert phrase.text == text
    assert list(Phrase.read(text).items) == list(phrase.items)
    assert parse(text).matras == sum(item.matras for item in phrase.items)


@pytest.mark.parametrize("typed", ["S (d)R", "S {Gd}", "S r/R"])
def test_every_swara_that_is_typed_is_one_of_those_offered(typed):
    question = step("write:all:4", met=tuple(f"swara:{letter}" for letter in "SRGmPDN")).question
    with pytest.raises(WritingError, match="is not among S R G m P D N"):
        read_answer(typed, question)


def test_places_are_asked_for_from_one_on():
    last = Beside("R", "R", (), CUE, CUE)
    told = Explanation("", "", "", CUE, None, beside=(Beside("S", "S", (), None, None), last))
    assert [cue_wished(line, told) for line in ("p0", "p1", "p2", "w0")] == [None, None, CUE, None]
