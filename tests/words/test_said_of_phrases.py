"""Paltas, prastara and phrases in other languages: read in these, marked and kept as in English."""

import unicodedata

import pytest

from audio.sargam import parse
from quizzes.kept import skills_of
from quizzes.kinds import KINDS
from quizzes.paltas import paltas
from quizzes.paltas.said import palta_name
from quizzes.question import Setting
from tests.words.left import LATIN_WORD, given_of, texts_of
from words import use

NAMES = ("palta", "prastara", "write", "make", "raga-make", "raga-palta", "raga-sa")
SCRIPTS = {"hi": "DEVANAGARI", "bn": "BENGALI"}
"""As the names of their letters begin in the Unicode Character Database."""
BEGUN = ("yaman", "desh", "bhairav")


@pytest.fixture(autouse=True)
def english_again():
    yield
    use()


def asked(name):
    """A few questions of each kind, and wrong answers beside the right ones."""
    skills = skills_of(name)
    for seed, skill in enumerate(skills[:: max(1, len(skills) // 3)]):
        met = tuple(each.id for each in skills[:20]) if seed % 2 else ()
        setting = Setting(138.59, met=met, ragas=BEGUN)
        yield KINDS[name].make(skill.id, seed=seed, setting=setting)


def answers(question):
    """The right one, its swaras backward, and three that may be foreign."""
    if question.answer_on != "sargam":
        return given_of(question)[:3]
    backward = [str(note.swara) for note in parse(question.right[0]).notes()][::-1]
    others = [choice.id for choice in question.choices[-3:]]
    return [question.right[0], " ".join(backward), " ".join(others)]


def kept_of(question):
    """All of a question that goes to a log or marks it."""
    ids = [choice.id for choice in question.choices]
    return question.right, question.detail, question.sargam, question.told, ids


def letters_of(text):
    return [sign for sign in text if unicodedata.category(sign).startswith("L")]


@pytest.mark.parametrize("language", SCRIPTS)
@pytest.mark.parametrize("name", NAMES)
def test_a_question_is_read_in_the_language_and_marked_as_in_english(name, language):
    kind, script = KINDS[name], SCRIPTS[language]
    english = [(question, [kind.mark(question, each) for each in answers(question)])
               for question in asked(name)]  # fmt: skip
    use(language)
    for (before, marks), question in zip(english, asked(name), strict=True):
        assert kept_of(question) == kept_of(before)
        assert [kind.mark(question, each) for each in answers(question)] == marks
        # What was made in English is explained in Hindi as well: the language may have changed.
        told = [kind.explain(each, given) for each in (before, question) for given in answers(each)]
        shown = [kind.name_of(question.skill), kind.introduce(question), kind.several(2)]
        shown += [text for _, text in texts_of([question, *told[len(told) // 2 :]])]
        for text in shown:
            assert not LATIN_WORD.search(text), text
            strange = [sign for sign in letters_of(text) if len(text) > 1
                       and not unicodedata.name(sign).startswith((script, "LATIN"))]  # fmt: skip
            assert not strange, text


@pytest.mark.parametrize("language", ["en", *SCRIPTS])
def test_no_two_paltas_have_one_name(language):
    use(language)
    names = [palta_name(palta) for palta in paltas().values()]
    assert len(set(names)) == len(names)
