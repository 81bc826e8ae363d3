"""Keys that mean what they say."""

import re

import pytest

from quizzes import KINDS, Setting, make_question
from quizzes.kept import skills_of
from quizzes.question import Choice
from screens.numbers import keyed


def choices(*ids):
    return [Choice(name, name) for name in ids]


def keys(*named):
    return "".join(key for key, _ in keyed([Choice(*one) for one in named]))


@pytest.mark.parametrize(
    ("ids", "expected"),
    [
        ("high low true", "123"),  # by their place
        ("2 5", "25"),  # their own numbers
        ("0 1", "01"),
        ("3 4 5 not-yet", "3450"),  # one word beside numbers
        ("not-yet 2 3", "023"),
        ("not-yet 0 3", "abc"),
        ("2 not-yet", "ab"),
        ("2 3 high low", "abcd"),
        ("75 101 130 166", "abcd"),  # more than one key could say
        ("S r R g G m M P d D", "abcefhijkl"),  # a d that were not Dha would lie
    ],
)
def test_a_key_is_a_number_only_where_that_cannot_lie(ids, expected):
    assert "".join(key for key, _ in keyed(choices(*ids.split()))) == expected


def test_fractions_and_numbers_that_say_something_else_are_answered_by_letters():
    assert keys(("4", "4 matras"), ("13/3", "4 1/3 matras"), ("5", "5 matras")) == "abc"
    assert keys(("6", "On matra 7"), ("8", "On matra 9")) == "79"
    assert keys(("13/2", "Half way into matra 7"), ("8", "On matra 9"), ("4", "On matra 5")) == (
        "abc"
    )
    assert keys(("4-2", "One and four"), ("3", "One and three")) == "ab"
    assert keys(("before", "A matra before sam"), ("khali", "On khali, matra 9")) == "ab"


def test_all_matras_of_a_wheel_keep_their_numbers():
    matras = [Choice(str(n), f"Matra {n}") for n in range(1, 17)]
    assert [key for key, _ in keyed(matras)] == [str(n) for n in range(1, 17)]


def test_after_the_third_swara_is_answered_with_a_three():
    question = make_question(skills_of("raga-when")[0].id, seed=1, setting=Setting(sa_hz=277.18))
    labels = {key: choice.label for key, choice in keyed(question.choices)}
    assert labels["3"] == "After the third swara"


def test_two_semitones_are_answered_with_a_two():
    met = ("ornament:span:2", "ornament:span:5")
    setting = Setting(sa_hz=277.18, met=met)
    question = make_question("ornament:span:2", seed=3, setting=setting)
    by_key = {key: choice.id for key, choice in keyed(question.choices)}
    assert by_key["2"] in question.right


def test_no_two_choices_have_one_key_and_no_key_is_the_number_of_another_choice():
    for kind in KINDS:
        met = tuple(skill.id for skill in skills_of(kind))
        for skill in met[:: max(1, len(met) // 6)]:
            question = make_question(skill, seed=1, setting=Setting(sa_hz=277.18, met=met))
            keys = [key for key, _ in keyed(question.choices)]
            assert len(set(keys)) == len(keys)
            for key, choice in keyed(question.choices):
                begins = re.match(r"(?:Matra |Point )?(\d+)", choice.label)
                assert begins is None or question.is_line or begins[1] == key or key.isalpha()
