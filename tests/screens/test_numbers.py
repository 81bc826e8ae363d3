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
