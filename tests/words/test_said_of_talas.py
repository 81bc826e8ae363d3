"""Talas, sam, khali, layas, layakaris, thekas, tali and tihais in each language."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import pytest

from quizzes.errors import UnknownSkill
from quizzes.kept import skills_of
from quizzes.kinds import KINDS
from quizzes.kinds.tihai_way import in_words
from quizzes.question import Setting
from quizzes.talas import talas
from quizzes.talas.wording import at_place, form_told
from tests.words.left import given_of
from words import use

OURS = ("tala", "sam", "khali", "matra", "laya", "layakari", "theka", "tap", "tihai")
UNKNOWN = {
    "sam": "sam:mark:nothing",
    "tap": "tap:tali:nothing",
    "layakari": "layakari:hear:nothing",
}
TEACHER = """
[tala.tintal]
name = "Sola"
"""


@pytest.fixture(autouse=True)
def in_english() -> Iterator[None]:
    yield
    use()


@pytest.mark.parametrize("kind", OURS)
def test_a_language_changes_what_is_read_and_nothing_else(kind):
    asking, skills = KINDS[kind], skills_of(kind)
    assert [asking.name_of(each.id) for each in skills] == [each.name for each in skills]
    with pytest.raises(UnknownSkill):
        asking.name_of(UNKNOWN.get(kind, f"{kind}:nothing"))
    skill = skills[len(skills) // 2].id
    question = asking.make(skill, seed=3, setting=Setting(138.59))
    use("bn")
    other = asking.make(skill, seed=3, setting=Setting(138.59))
    assert other.prompt != question.prompt
    assert asking.name_of(skill) not in {each.name for each in skills}
    for field in ("cue", "right", "possible", "sargam", "detail", "chance"):
        assert getattr(other, field) == getattr(question, field)
    assert [each.id for each in other.choices] == [each.id for each in question.choices]
    # What was asked in one language can be answered in another.
    for given in given_of(question)[:2]:
        assert asking.mark(question, given) == asking.mark(other, given)
        told = asking.explain(question, given)
        use()
        assert asking.explain(question, given).why != told.why
        use("bn")


@pytest.mark.parametrize(
    ("language", "place", "matras", "form"),
    [
        (
            "en",
            "half way into matra 9",
            "two and three quarter matras",
            "16 matras in 4 + 4 + 4 + 4, tali on 1, 5 and 13, khali on 9",
        ),
        (
            "hi",
            "मात्रा 9 के बीच में",
            "पौने तीन मात्रा",
            "16 मात्राएँ (4 + 4 + 4 + 4), ताली 1, 5 और 13 पर, खाली 9 पर",
        ),
        (
            "bn",
            "মাত্রা 9-এর মাঝে",
            "পৌনে তিন মাত্রা",
            "16 মাত্রা (4 + 4 + 4 + 4), তালি 1, 5 ও 13-এ, খালি 9-এ",
        ),
    ],
)
def test_places_numbers_and_forms_are_said_as_each_language_says_them(
    language, place, matras, form
):
    use(language)
    assert at_place(Fraction(17, 2)) == place
    assert in_words(Fraction(11, 4)) == matras  # paune: a quarter less (common practice)
    assert form_told(talas("")["tintal"].form) == form


def test_a_name_of_a_teachers_own_stays_as_written():
    use("hi")
    assert talas(TEACHER)["tintal"].called == "Sola"
    assert talas("")["tintal"].called == "तीनताल"
    question = KINDS["tap"].make(
        "tap:tali:tintal", seed=1, setting=Setting(138.59, tradition=TEACHER)
    )
    assert question.prompt.startswith("Sola की ताली दें")
