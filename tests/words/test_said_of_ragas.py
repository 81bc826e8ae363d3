"""Ragas in other languages: their names, their hours, what is told of them and asked of them."""

import unicodedata
from functools import cache

import pytest

from audio.tuning import SWARAS
from quizzes import kept
from quizzes.kept import skills_of, taught_skills
from quizzes.kinds import KINDS
from quizzes.question import Setting
from quizzes.ragas import ragas
from quizzes.ragas.day import hours_in_words
from quizzes.ragas.said import about_raga, raga_name
from quizzes.ragas.words import full_name, letter_name
from tests.words.left import LATIN_WORD, given_of, texts_of
from words import use

NAMES = (
    "raga-breaks", "raga-bridge", "raga-finish", "raga-from-phrase", "raga-gait", "raga-hours",
    "raga-jati", "raga-mend", "raga-odd", "raga-rest", "raga-tanpura", "raga-that", "raga-turns",
    "raga-vadi", "raga-weight", "raga-when",
)  # fmt: skip
SCRIPTS = {"hi": "DEVANAGARI", "bn": "BENGALI"}
"""As the names of their letters begin in the Unicode Character Database."""


@pytest.fixture(autouse=True)
def english_again():
    yield
    use()


@cache
def asked(name):
    """One question of the first and one of the last skill, made in English."""
    skills = skills_of(name)
    settings = Setting(138.59), Setting(138.59, met=tuple(skill.id for skill in skills))
    return [
        KINDS[name].make(skill.id, seed=3, setting=setting)
        for skill, setting in zip((skills[0], skills[-1]), settings, strict=True)
    ]


@pytest.mark.parametrize("name", NAMES)
def test_names_in_english_are_those_that_are_kept(name):
    assert [KINDS[name].name_of(skill.id) for skill in skills_of(name)] == [
        skill.name for skill in skills_of(name)
    ]


@pytest.mark.parametrize("language", SCRIPTS)
@pytest.mark.parametrize("name", NAMES)
def test_a_question_is_read_in_the_language_and_asks_the_same(name, language):
    kind, english = KINDS[name], asked(name)
    use(language)
    for before in english:
        question = kind.make(before.skill, seed=before.seed, setting=before.setting)
        assert (question.right, question.sargam) == (before.right, before.sargam)
        assert [one.id for one in question.choices] == [one.id for one in before.choices]
        # A question of an hour ago may be explained in the language of now.
        told = [kind.explain(each, given_of(each)[-1]) for each in (before, question)]
        assert told[0].why == told[1].why
        texts = [kind.name_of(question.skill), kind.introduce(question), kind.several(2)]
        texts += [text for _, text in texts_of([question, told[1]])]
        assert not [text for text in texts if LATIN_WORD.search(text)]


@pytest.mark.parametrize("language", SCRIPTS)
def test_every_raga_has_a_name_of_its_own_and_is_told_of_in_the_language(language):
    use(language)
    told = [(raga_name(raga), about_raga(raga)) for raga in ragas().values()]
    assert len({name for name, _ in told}) == len({about for _, about in told}) == len(told)
    letters = [s for pair in told for s in "".join(pair) if unicodedata.category(s)[0] == "L"]
    assert {unicodedata.name(sign).split()[0] for sign in letters} == {SCRIPTS[language]}


@pytest.mark.parametrize("letters", ["latin", "devanagari", "bengali"])
def test_a_swara_that_has_two_forms_is_called_shuddha_in_all_letters(letters):
    use("en", letters)
    shuddha = [letter for letter in SWARAS if full_name(letter) != letter_name(letter)]
    assert shuddha == ["R", "G", "m", "D", "N"]  # Sa and Pa never move (common practice)


@pytest.mark.parametrize(
    ("language", "morning", "evening", "night"),
    [
        ("en", "from 9 in the morning to noon", "from 6 to 9 in the evening", "to midnight"),
        ("hi", "सुबह 9 बजे से दोपहर 12 बजे तक", "शाम 6 से 9 बजे तक", "से रात 12 बजे तक"),
        ("bn", "সকাল 9টা থেকে দুপুর 12টা", "সন্ধ্যা 6টা থেকে 9টা", "থেকে রাত 12টা"),
    ],
)
def test_hours_are_told_as_one_says_them(language, morning, evening, night):
    use(language)
    # Todi of the second watch of the day, Yaman of the first of the night (common practice).
    assert hours_in_words(ragas()["todi"]) == morning
    assert hours_in_words(ragas()["yaman"]) == evening
    assert hours_in_words(ragas('[todi]\nhours = "21-24"')["todi"]).endswith(night)


def test_a_teachers_own_name_stays_and_the_rest_follows_the_language(monkeypatch):
    text, vadi = '[durga]\nname = "Durgavati"\n', KINDS["raga-vadi"]
    monkeypatch.setattr(kept, "_work_out", lambda text: {vadi.name: vadi.skills_taught(text)})
    names = {}
    for language in ("bn", "en", "hi"):
        use(language)
        names[language] = {skill.id: skill.name for skill in taught_skills("raga-vadi", text)}
    assert names["en"]["raga-vadi:durga"] == "Vadi and samvadi of Durgavati"
    assert names["en"]["raga-vadi:yaman"] == "Vadi and samvadi of Yaman"
    for language in SCRIPTS:
        assert "Durgavati" in names[language]["raga-vadi:durga"]
        assert not LATIN_WORD.search(names[language]["raga-vadi:yaman"])
