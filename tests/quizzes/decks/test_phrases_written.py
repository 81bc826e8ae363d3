"""A teacher's phrase to be written: when a beat goes under it, and which swaras stand beside its
own."""

from dataclasses import replace

import pytest

from quizzes import KINDS
from quizzes.contours import THATS
from tests.quizzes.decks.made import PHRASE
from tests.quizzes.decks.test_asking import ask


def with_line(sargam, *counts):
    return replace(PHRASE, cue=replace(PHRASE.cue, sargam=sargam), counts=counts)


@pytest.mark.parametrize("counts", [(), ("ornaments",), ("lengths",), ("lengths", "ornaments")])
def test_a_beat_goes_under_the_phrase_where_lengths_are_written_and_nowhere_else(counts):
    question = ask(with_line("S R/ G:2 m", *counts))
    told = KINDS["deck"].explain(question, "S R")
    for cue in (question.cue, told.right_cue, told.given_cue):
        assert bool(cue.tabla) == ("lengths" in counts)


@pytest.mark.parametrize("that", THATS)
def test_the_swaras_offered_are_a_scale_in_which_the_phrase_lies(that):
    question = ask(with_line(that))
    assert {choice.id for choice in question.choices} == set(that.split())
    # A blind line of as many of these is right once in so many.
    assert question.chance == pytest.approx(7.0**-7)
