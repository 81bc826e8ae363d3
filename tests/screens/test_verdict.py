"""What is said of an answer, and of how much of a line was right."""

import pytest

from quizzes.question import Mark
from screens.aligned import align
from screens.verdict import share_of, verdict_kind, verdict_words


@pytest.mark.parametrize(
    ("credit", "kind", "words"),
    [
        (1.0, "right", "Right"),
        (0.75, "partly", "Partly right"),
        (0.01, "partly", "Partly right"),
        (0.0, "otherwise", "Heard otherwise"),
    ],
)
def test_credit_between_none_and_all_is_neither_right_nor_otherwise(credit, kind, words):
    assert verdict_kind(Mark(credit)) == kind
    assert verdict_words(Mark(credit)) == words


@pytest.mark.parametrize(
    ("was", "given", "share"),
    [
        ("da ra da ra da ra da ra", "da ra da da da ra da", "6 of 8"),
        ("da ra da ra", "da da ra da ra", "4 of 4, 1 too many"),
        ("da ra", "dir dir dir dir", "0 of 2, 2 too many"),
    ],
)
def test_the_share_counts_places_of_the_line_that_was(was, given, share):
    places = align(was.split(), given.split())
    assert share_of(places) == share
    assert verdict_words(Mark(0.5), places) == f"Partly right: {share}"
