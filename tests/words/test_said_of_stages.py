"""Stages of a performance, what suits what and where gats begin, in each language."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from quizzes.errors import UnknownSkill
from quizzes.kept import skills_of
from quizzes.kinds import KINDS
from quizzes.question import Setting
from quizzes.stages.asking import title_of
from quizzes.stages.passages import for_readers
from quizzes.stages.stage import from_to
from quizzes.stages.tradition import form
from quizzes.stages.wording import about_in_words, pair_in_words
from words import say, use

OURS = (
    "order", "follows", "out-of-place", "missing", "fit", "layout", "which-stage", "what-for",
    "gat-start",
)  # fmt: skip
LANGUAGES = ("hi", "bn")
SMALL = {"का", "की", "के", "में", "की-सी", "से"}
"""Words of names that tell nothing of a stage."""
TEACHER = """
[stage.jor-fast]
name = "Lari"

[[order]]
first = "jor-middle"
then = "jor-fast"
strength = "fixed"
why = "so I was taught"
"""


@pytest.fixture(autouse=True)
def in_english() -> Iterator[None]:
    yield
    use()


@pytest.mark.parametrize("kind", OURS)
def test_a_language_changes_what_is_read_and_nothing_else(kind):
    asking, skills = KINDS[kind], skills_of(kind)
    assert {each.id: asking.name_of(each.id) for each in skills} == {
        each.id: each.name for each in skills
    }
    skill = skills[len(skills) // 2].id
    question = asking.make(skill, seed=3, setting=Setting(138.59))
    use("hi")
    other = asking.make(skill, seed=3, setting=Setting(138.59))
    assert other.prompt != question.prompt
    assert asking.name_of(skill) not in {each.name for each in skills}
    assert (other.cue, other.right, other.sargam) == (question.cue, question.right, question.sargam)
    assert [each.id for each in other.choices] == [each.id for each in question.choices]
    with pytest.raises(UnknownSkill):
        asking.name_of(f"{kind}:nothing")


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_name_is_of_two_stages_and_no_purpose_tells_its_name(language):
    use(language)
    known = form()
    names = [title_of(known, stage) for stage in known.stages]
    assert len(set(names)) == len(names)
    for stage in known.stages.values():
        name, purpose = (
            set(re.split(r"[\s,:;-]+", say(text))) - SMALL for text in (stage.name, stage.purpose)
        )
        assert not name & purpose, (stage.id, name & purpose)


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_a_teacher_wrote_stays_as_written_and_the_rest_is_said(language):
    use(language)
    known = form(TEACHER)
    pair = known.order.pair("jor-middle", "jor-fast")
    told = pair_in_words(known, pair)
    assert "Lari" in told
    assert "so I was taught" in told
    assert title_of(known, "jor-middle") in told
    assert title_of(known, "jor-middle") != known.stages["jor-middle"].name
    assert title_of(form(), "jor-fast") != form().stages["jor-fast"].name


def test_a_sentence_is_in_the_order_of_its_language():
    known = form()
    pair = known.order.pair("alap", "jor")
    assert pair_in_words(known, pair).startswith("Alap comes before jor: a pulse")
    assert about_in_words(known, "jor").startswith("Jor is the same free")
    assert from_to((12, 30)) == "12 to 30"
    use("hi")
    assert pair_in_words(known, pair).startswith("पहले आलाप, फिर जोड़: लय")
    assert about_in_words(known, "jor").startswith("जोड़: राग का")
    assert from_to((12, 30)) == "12 से 30"
    assert from_to((4, 4)) == "4"


@pytest.mark.parametrize(
    ("language", "read"),
    [
        ("en", "S- (N,)Rc | G (Tintal from matra 12)"),
        ("hi", "सा- (न\u093cि)रेc | ग (तीनताल, मात्रा 12 से)"),
        ("bn", "স- (ন্\u200c)রc | গ (ত্রিতাল, মাত্রা 12 থেকে)"),
    ],
)
def test_a_passage_is_read_in_the_letters_in_use(language, read):
    """Swaras as printed in each notation (`words.letters` names the sources)."""
    use(language)
    assert for_readers("S- (N,)Rc | G (Tintal from matra 12)") == read
