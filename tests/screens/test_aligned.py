"""A written answer lies beside the line that was so that one slip shifts nothing else."""

from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from screens.aligned import Place, align, align_answer
from tests.window.written import line_step

LINES = st.lists(st.sampled_from(["da", "ra", "dir"]), max_size=7)


def laid(was, given):
    """Both lines with - where one has nothing."""
    places = align(was.split(), given.split())
    return (
        " ".join(place.was or "-" for place in places),
        " ".join(place.given or "-" for place in places),
    )


def distance(was, given):
    """Edit distance by its definition (Levenshtein 1966), each way tried."""

    @cache
    def least(i, j):
        if i == len(was) or j == len(given):
            return len(was) - i + len(given) - j
        if was[i] == given[j]:
            return least(i + 1, j + 1)
        return 1 + min(least(i + 1, j), least(i, j + 1), least(i + 1, j + 1))

    return least(0, 0)


@pytest.mark.parametrize(
    ("was", "given", "expected"),
    [
        ("da ra dir da", "da ra dir da", ("da ra dir da", "da ra dir da")),
        ("da ra dir da", "da dir da", ("da ra dir da", "da - dir da")),
        ("da dir da", "da ra dir da", ("da - dir da", "da ra dir da")),
        ("da ra dir da", "da ra da da", ("da ra dir da", "da ra da da")),
        ("da da da", "da da", ("da da da", "da da -")),
        ("da ra", "ra da", ("da ra", "ra da")),
        ("da da ra da", "da ra da da", ("da da ra da", "da ra da da")),
        ("da ra", "", ("da ra", "- -")),
    ],
)
def test_a_slip_leaves_all_else_in_its_place(was, given, expected):
    assert laid(was, given) == expected


@given(LINES, LINES)
def test_places_that_differ_are_as_few_as_can_be(was, given):
    places = align(was, given)
    assert sum(not place.right for place in places) == distance(tuple(was), tuple(given))


@given(LINES, LINES)
def test_both_lines_are_kept_whole_and_in_order(was, given):
    places = align(was, given)
    assert [place.was for place in places if place.was is not None] == was
    assert [place.given for place in places if place.given is not None] == given
    assert Place(None, None) not in places


@given(LINES)
def test_a_line_beside_itself_is_right_throughout(line):
    assert all(place.right for place in align(line, line))


def test_an_answer_is_laid_beside_the_right_line_nearest_to_it_by_labels():
    from dataclasses import replace

    question = line_step("da ra", labels={"da": "Da"}).question
    question = replace(question, right=("ra ra ra", "da ra"))
    assert align_answer(question, "da da") == (Place("Da", "Da"), Place("ra", "Da"))


def test_a_key_that_is_not_on_the_pad_is_refused():
    with pytest.raises(KeyError, match="ge"):
        align_answer(line_step("da ra").question, "da ge")
