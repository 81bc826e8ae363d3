"""What is wrong with a deck, said in the words of the form that a teacher fills in."""

import pytest

from quizzes.decks.draft import Draft
from screens.fault_words import left_of, placed

OWN = '[[question]]\nid = "q"\nprompt = "?"\n'
KAAN = '[[question]]\nid = "q"\n'
ORDER = f'{OWN}kind = "put-in-order"\nthings = ["Jor", "Alap"]\n[[question.before]]\n'


def choices(*texts, last=""):
    """Choose one of these, with more said of the last."""
    tables = [f'[[question.choice]]\ntext = "{text}"' for text in texts]
    return "\n".join([f'{OWN}kind = "choose-one"', *tables, last])


SAID = {
    "": "It has no question yet.",
    choices("Ga", "Re"): (
        "Question 1, answers: none is right: touch “Not right” at the one that is."
    ),
    choices("Ga", "", last="right = true"): "Question 1, answer 2: still to be written.",
    choices("Ga", "Ga", last="right = true"): (
        "Question 1, answer 2: 'Ga' stands there already: write another, or remove it."
    ),
    f'{ORDER}first = "Alap"\nthen = "Jor"': (
        "Question 1, pair 1: 'Jor' stands before 'Alap' in the order above: turn this pair round, "
        "or carry the things to their places."
    ),
    f'{ORDER}first = "Jor"\nthen = "Gat"': (
        "Question 1, pair 1: 'Gat' is none of the things above: choose one of them."
    ),
    f'{OWN}kind = "write-swaras"\nright = ["S R -"]': (
        "Question 1, line 1: holds more than plain swaras, which alone are written by the student: "
        "write 'S R'."
    ),
    f'{OWN}kind = "write-phrase"': "Question 1, what sounds: still to be written.",
    f'{OWN}kind = "write-phrase"\nsargam = "S"': (
        "Question 1, what sounds: a phrase has two swaras at least; this has 1 swara."
    ),
    f'{OWN}kind = "write-phrase"\ntheka = "tintal"': (
        "Question 1, what sounds: it cannot be written: leave it out, and write the phrase."
    ),
    f'{OWN}kind = "write-phrase"\nsargam = "S R"\ncounts = ["loudness"]': (
        "Question 1, what counts 1: 'loudness' cannot count: touch what is to count."
    ),
    f'{KAAN}kind = "gap"\nskills = []': (
        "Question 1, what is asked: nothing is ticked: tick at least one."
    ),
    f'{KAAN}kind = "swara"\namong = ["R", "G"]': (
        "Question 1, what is offered: 27 skills are asked, and only for 24 can be said what is "
        "offered: untick some of what is asked, or all that is offered."
    ),
    f'{KAAN}kind = "gap"\nskills = ["gap:R-P:down"]\namong = ["S-G", "S-P"]': (
        "Question 1, what is offered: of “Pa down to Re” these leave fewer than two answers, or "
        "not the right one: tick more."
    ),
}


@pytest.mark.parametrize(("text", "said"), SAID.items(), ids=range(len(SAID)))
def test_a_fault_is_told_by_its_place_in_the_form_and_without_a_word_on_the_file(text, said):
    faults = Draft(f'deck = "d"\nname = "D"\n{text}', "d.toml").faults()
    assert [placed(fault) for fault in faults] == [said]


def test_what_is_only_begun_is_not_called_a_fault():
    begun = Draft(f'deck = "d"\nname = ""\n{OWN}kind = "true-or-false"\nholds = true', "d.toml")
    assert left_of(begun.faults()) == "One thing still to write."
    begun.put(0, holds=5)
    assert left_of(begun.faults()) == "Two things still to mend."
    assert left_of(()) == ""


def test_a_file_that_is_no_toml_has_no_form_and_is_told_as_a_file():
    (fault,) = Draft("deck = ", "d.toml").faults()
    assert placed(fault).startswith("d.toml, line 1: deck: is no TOML")
