"""Numbers that mean what they say."""

from quizzes import KINDS, Setting, make_question
from quizzes.question import Choice
from screens.numbers import numbered


def choices(*ids):
    return [Choice(name, name) for name in ids]


def test_choices_are_numbered_by_their_place():
    assert [number for number, _ in numbered(choices("high", "low", "true"))] == [1, 2, 3]


def test_choices_that_are_numbers_keep_theirs():
    assert [number for number, _ in numbered(choices("2", "5"))] == [2, 5]
    assert [number for number, _ in numbered(choices("0", "1"))] == [1, 2]


def test_one_word_beside_numbers_is_nought():
    assert [n for n, _ in numbered(choices("3", "4", "5", "not-yet"))] == [3, 4, 5, 0]
    assert [n for n, _ in numbered(choices("not-yet", "2", "3"))] == [0, 2, 3]
    assert [n for n, _ in numbered(choices("2", "not-yet"))] == [1, 2]
    assert [n for n, _ in numbered(choices("2", "3", "high", "low"))] == [1, 2, 3, 4]


def test_after_the_third_swara_is_answered_with_a_three():
    question = make_question(
        KINDS["raga-when"].skills()[0].id, seed=1, setting=Setting(sa_hz=277.18)
    )
    labels = {number: choice.label for number, choice in numbered(question.choices)}
    assert labels[3] == "After the third swara"


def test_two_semitones_are_answered_with_a_two():
    met = ("ornament:span:2", "ornament:span:5")
    setting = Setting(sa_hz=277.18, met=met)
    question = make_question("ornament:span:2", seed=3, setting=setting)
    by_number = {number: choice.id for number, choice in numbered(question.choices)}
    assert by_number[2] in question.right


def test_no_two_choices_have_one_number():
    for kind in KINDS.values():
        met = tuple(skill.id for skill in kind.skills())
        for skill in met[:: max(1, len(met) // 12)]:
            question = make_question(skill, seed=1, setting=Setting(sa_hz=277.18, met=met))
            numbers = [number for number, _ in numbered(question.choices)]
            assert len(set(numbers)) == len(numbers)
