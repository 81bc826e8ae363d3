"""A written answer lies beside the line that was so that one slip shifts nothing else."""

from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quizzes.catalogue import make_question
from quizzes.kinds import KINDS
from quizzes.question import Setting
from screens.aligned import Place, align, align_answer, kept_in_order
from tests.window.scripted import skills_that_begin
from tests.window.written import STROKES, line_step, order_step

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


def test_an_order_that_is_right_but_not_listed_is_laid_beside_itself():
    order = order_step({"1": "one", "2": "two", "3": "three"}).question
    assert all(place.was_right for place in align_answer(order, "2 3 1", "2 3 1"))


def test_a_key_that_is_not_on_the_pad_is_refused():
    with pytest.raises(KeyError, match="ge"):
        align_answer(line_step("da ra").question, "da ge")


def test_an_order_is_told_place_by_place_and_a_line_with_the_fewest_edits():
    order = order_step({"1": "one", "2": "two", "3": "three"}).question
    assert align_answer(order, "2 3 1") == (
        Place("one", "two", (False, True)),
        Place("two", "three", (True, True)),
        Place("three", "one", (True, False)),
    )
    line = line_step("da ra dir", STROKES[:3], places=3, fewest=3).question
    assert None in {place.was for place in align_answer(line, "ra dir da")}


@pytest.mark.parametrize("skill", [skill.id for skill in KINDS["strokes"].skills()])
def test_no_line_of_strokes_is_taken_for_an_order(skill):
    asked = make_question(skill, seed=1, setting=Setting(sa_hz=138.59))
    assert asked.answer_on != "order"


@pytest.mark.parametrize("kind", ["raga-hours", "raga-turns"])
def test_hours_and_turns_are_orders(kind):
    for skill in skills_that_begin(kind)[:3]:
        assert make_question(skill, seed=1, setting=Setting(sa_hz=138.59)).answer_on == "order"


@pytest.mark.parametrize(
    ("given", "kept"),
    [("bcdea", "bcde"), ("abced", "abcd abce"), ("badce", "bde ade bce ace"), ("edcba", "")],
)
def test_of_an_order_the_things_are_right_that_need_not_move(given, kept):
    found = "".join(thing for thing in given if thing in kept_in_order("abcde", given))
    assert found in kept.split() or found == kept


@given(st.permutations("abcdef"))
def test_things_kept_are_in_order_and_no_order_is_wholly_kept_but_the_right_one(given):
    kept = [thing for thing in given if thing in kept_in_order("abcdef", given)]
    assert kept == sorted(kept)
    assert (len(kept) == 6) == (given == list("abcdef"))
    # One thing moved elsewhere leaves all others as they were.
    moved = [*given[1:], given[0]]
    assert len(kept_in_order(given, moved)) == 5
