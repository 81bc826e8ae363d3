"""A sample of what `all_stage_questions` asks at length: questions about stages are sound and fair.

The oracle itself is held to worked examples of common practice.
"""

from dataclasses import replace
from itertools import combinations, permutations

import pytest

from quizzes import KINDS, Setting, make_question
from quizzes.stages.tradition import form
from tests.quizzes import raga_reader, stage_judges, stage_oracle
from tests.quizzes.all_stage_questions import SA_HZ, as_seen, ask, tally
from tests.quizzes.stage_judges import NAMES
from tests.quizzes.tallies import LEAST_P

COUNT = 10
"""Questions of each kind; `all_stage_questions` asks thousands."""
OTHERWISE = ("which-stage", "layout")
BY_EAR = "what-for:heard"
"""Which stage sounds is judged by ear (`test_stage_passages_heard`); a layout is marked by ranges,
and any share of time within them is right."""
REMEMBERED = 90
"""Questions by ear that a reader remembers."""

known = stage_oracle.known


def test_all_kinds_about_stages_are_asked():
    assert set(NAMES) <= set(KINDS)
    assert set(NAMES) == set(stage_judges.JUDGES)


@pytest.mark.parametrize("kind", NAMES)
def test_questions_about_stages_are_sound_fair_and_new(kind):
    found = tally(kind, COUNT)
    assert not found.faults
    assert not found.again
    assert found.evenness() > LEAST_P


@pytest.mark.parametrize("kind", [name for name in NAMES if name not in OTHERWISE])
def test_another_answer_marked_right_would_be_found(kind):
    missed = []
    for question in ask(kind, 4):
        for wrong in wrong_answers(question) if BY_EAR not in question.skill else ():
            if not stage_judges.faults(replace(question, right=(wrong,))):
                missed.append(f"{question.skill} seed {question.seed}: {wrong}")
    assert not missed


def wrong_answers(question):
    """Every choice that is not right, or a right order the other way round."""
    if question.is_line:
        return [" ".join(reversed(question.right[0].split()))]
    return [choice.id for choice in question.choices if choice.id not in question.right]


def test_a_right_order_that_is_left_out_would_be_found():
    several = [question for question in ask("order", 22) if len(question.right) > 1]
    assert several
    assert all(stage_judges.faults(replace(each, right=each.right[1:])) for each in several[:3])


def test_who_remembers_prompts_and_answers_cannot_name_a_stage_by_them():
    seen = [as_seen(question, by_ear=True) for question in ask("which-stage", REMEMBERED)]
    score = raga_reader.read([each for each in seen if each is not None])
    assert not score.learns


TRADITION = """
[stage.jor-fast]
name = "Ladi"

[[order]]
first = "madhya-gat"
then = "vilambit-gat"
"""


@pytest.mark.parametrize(
    "skill",
    ["order:performance:4", "order:performance:6", "order:jor-parts:3", "follows:before:jor-fast"],
)
def test_what_a_teacher_renames_and_moves_is_asked_and_marked_so(skill):
    for seed in range(3):
        question = make_question(skill, seed=seed, setting=Setting(SA_HZ, tradition=TRADITION))
        assert not stage_judges.faults(question)
        as_shipped = replace(question, setting=Setting(SA_HZ))
        if {"madhya-gat", "vilambit-gat"} <= {choice.id for choice in question.choices}:
            assert stage_judges.faults(as_shipped)
        if any(choice.id == "jor-fast" for choice in question.choices):
            assert "Ladi" in {choice.label for choice in question.choices}


# The oracle.


def test_the_order_is_as_handbooks_have_it():
    # Common practice: alap, jor and jhala come in this order and before the gats, the slow gat
    # before the fast one as a rule, jhala and tihai at the end.
    files = known()
    assert files.before("alap", "jor") == files.before("jor", "alap-jhala") == "fixed"
    assert files.before("alap-jhala", "closing-jhala") == "fixed"
    assert files.before("vilambit-gat", "drut-gat") == "usual"
    assert files.before("drut-gat", "alap") is None
    some = ("alap", "jor", "vilambit-gat", "drut-gat", "closing-jhala")
    assert files.allowed(some) == {some}
    assert files.before("tuk-abhog", "jor-slow") == "fixed"
    assert files.exclude("prelude", "alap-mandra")


def test_two_ways_of_counting_the_orders_agree():
    files = known()
    for division in files.divisions.values():
        for some in combinations(division["parts"], min(4, len(division["parts"]))):
            assert files.count_allowed(some) == len(files.allowed(some))


def test_every_pair_of_stages_is_ordered_as_the_files_have_it():
    files, order = known(), form().order
    for first, then in permutations(files.stages, 2):
        pair = order.pair(first, then)
        assert (pair.strength if pair else None) == files.before(first, then), (first, then)
