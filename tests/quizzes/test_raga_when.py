"""When a phrase is told: found again prefix by prefix from the files alone."""

from functools import cache
from itertools import pairwise

import pytest

from audio.sargam import parse
from quizzes import KINDS, Setting, make_question
from quizzes.kept import skills_of
from quizzes.ragas import ragas, swaras_of
from quizzes.ragas.moments import moment_of
from tests.quizzes.raga_oracle import all_ragas, by_name, once

KIND = KINDS["raga-when"]
SKILLS = tuple(skill.id for skill in skills_of(KIND.name))
NOT_YET = "not-yet"


@cache
def questions(count=1):
    return tuple(asked(seed) for seed in range(count * len(SKILLS)))


def asked(seed):
    setting = Setting(sa_hz=138.59, met=SKILLS[seed % 7 :: 3])
    return make_question(SKILLS[seed % len(SKILLS)], seed=seed, setting=setting)


def line_of(question):
    return tuple(swara.steps for swara in swaras_of(parse(question.sargam)))


def ragas_of(question):
    """The right raga and the others that the prompt names."""
    names = question.prompt.partition("?")[0].replace(" or ", ", ").split(", ")
    right = all_ragas()[question.skill.rpartition(":")[2]]
    assert right.name in names
    return right, [by_name()[name] for name in names if name != right.name]


def told_at(others, line):
    """How many swaras were heard when the last of the others was surely left; None if never."""
    counts = range(1, len(line) + 1)
    return next((n for n in counts if all(other.left(line[:n]) for other in others)), None)


def makes(raga, line):
    """Whether a raga is known to move so: each two swaras in succession stand so in its file."""
    return raga.admits(line) and all(raga.is_own(pair) for pair in pairwise(once(line)))


def test_it_is_sure_after_the_first_prefix_that_every_other_raga_surely_leaves():
    for question in questions():
        right, others = ragas_of(question)
        line = line_of(question)
        assert 1 <= len(others) <= 2
        assert right.admits(line)
        at = told_at(others, line)
        assert question.right == ((NOT_YET if at is None else str(at)),), question.skill


def test_until_then_another_raga_is_known_to_go_the_same_way():
    for question in questions():
        _, others = ragas_of(question)
        line = line_of(question)
        until = line[: (told_at(others, line) or len(line) + 1) - 1]
        assert any(makes(other, until) for other in others), (question.skill, question.seed)


def test_nothing_is_asked_where_no_raga_is_known_to_go_so_far():
    # Common practice: Desh falls from komal Ni to Dha and Pa, never from shuddha Ni; it has no M.
    falls = [swaras_of(parse(text)) for text in ("S' N D P M P", "S' n D P M P")]
    assert [moment_of((ragas()["desh"],), fall) for fall in falls] == [None, ("note", 4)]


def test_a_run_is_known_with_the_swara_after_the_one_passed():
    for question in questions():
        if ":run:" in question.skill:
            drawn = KIND.explain(question, question.right[0]).drawn
            deciding = [place for place, swara in enumerate(drawn) if swara.deciding]
            assert deciding[-1] == int(question.right[0]) - 1
            assert len(deciding) == 3


def test_swaras_come_about_one_a_second_and_all_phrases_are_alike_in_length():
    for question in questions(1):
        onsets = [stroke.onset_s for stroke in question.cue.strokes]
        assert len(onsets) == 6
        assert all(0.9 < b - a < 1.1 for a, b in pairwise(onsets))


def test_not_even_at_the_end_is_right_about_as_often_as_any_place():
    later = sum(f":{NOT_YET}:" in skill for skill in SKILLS)
    places = len(questions()[0].choices)
    assert later / len(SKILLS) == pytest.approx(1 / places, abs=0.02)


def test_the_ragas_named_do_not_say_that_it_stays_open():
    named = {True: set(), False: set()}
    for question in questions(4):
        named[question.right[0] == NOT_YET].add(question.prompt)
    assert len(named[True] & named[False]) > 0.6 * len(named[True])


def test_an_early_answer_is_told_who_could_have_gone_so_and_hears_it():
    for question in questions():
        _, others = ragas_of(question)
        line, places = line_of(question), [c.id for c in question.choices if c.id != NOT_YET]
        if question.right[0] in places[1:]:
            explanation = KIND.explain(question, places[0])
            able = explanation.why.partition("Up to the ")[2].partition(" could have gone")[0]
            until = line[: told_at(others, line) - 1]
            named = able.partition(" ")[2].split(" and ")
            assert sorted(named) == sorted(other.name for other in others if makes(other, until))
            assert len(explanation.given_cue.strokes) == int(places[0])


def test_whoever_thought_it_was_told_is_told_who_else_makes_the_phrase():
    for question in questions():
        right, others = ragas_of(question)
        if question.right == (NOT_YET,):
            for choice in question.choices:
                names = KIND.explain(question, choice.id).why.partition(" make this")[0]
                assert right.name in names
                assert any(o.name in names for o in others if makes(o, line_of(question)))


def test_who_has_met_no_open_phrase_can_leave_that_choice_out():
    skill = next(skill for skill in SKILLS if ":note:" in skill)
    alone = make_question(skill, seed=1, setting=Setting(sa_hz=138.59, met=(skill,)))
    assert NOT_YET not in alone.possible
    all_met = make_question(skill, seed=1, setting=Setting(sa_hz=138.59, met=SKILLS))
    assert all_met.possible is None
