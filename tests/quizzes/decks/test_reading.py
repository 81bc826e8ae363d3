"""Decks read from their texts: what is told of each thing that is wrong, and where."""

import re

import pytest

from quizzes.decks.faults import DeckError
from quizzes.decks.reading import read_deck
from tests.quizzes.decks.broken_texts import BROKEN


def faults_of(text, file="d.toml", **how):
    with pytest.raises(DeckError) as told:
        read_deck(text, file, **how)
    return told.value.faults


@pytest.mark.parametrize(("text", "field", "wrong", "remedy"), BROKEN)
def test_one_thing_wrong_is_told_with_file_line_field_and_remedy(text, field, wrong, remedy):
    (fault,) = faults_of(text)
    line = next(at for at, each in enumerate(text.split("\n"), 1) if "#!" in each)
    assert (fault.file, fault.line, fault.field) == ("d.toml", line, field)
    assert re.search(wrong, fault.wrong), fault
    assert re.search(remedy, fault.remedy), fault
