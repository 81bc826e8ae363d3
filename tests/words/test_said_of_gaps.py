"""Swaras, gaps, tuning, ornaments, shades, changes, strokes, slips and registers in each language.

Which script a letter belongs to: its name in the Unicode Character Database (`unicodedata`).
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator

import pytest

from quizzes.kept import skills_of
from quizzes.kinds import KINDS
from quizzes.question import Setting
from quizzes.right_hand import for_readers
from tests.words.left import STAY, texts
from words import use

OURS = (
    "swara", "gap", "wider", "tune", "ornament", "shade", "what-changed", "strokes", "slip",
    "register",
)  # fmt: skip
SCRIPTS = {"hi": "DEVANAGARI", "bn": "BENGALI"}
SHARED = {"DEVANAGARI DANDA", "ZERO WIDTH NON-JOINER"}
"""By both scripts."""


@pytest.fixture(autouse=True)
def in_english() -> Iterator[None]:
    yield
    use()


@pytest.mark.parametrize("language", SCRIPTS)
@pytest.mark.parametrize("kind", OURS)
def test_all_that_is_read_is_in_one_script(kind, language):
    use(language)
    found = [text for _, text in texts(kind, 3, 1)]
    letters = {
        letter for text in found for word in text.split() if word not in STAY for letter in word
    }
    names = {unicodedata.name(letter) for letter in letters if not letter.isascii()}
    assert not [letter for letter in letters if letter.isascii() and letter.isalpha()]
    assert names - SHARED
    assert not [name for name in names - SHARED if SCRIPTS[language] not in name]


@pytest.mark.parametrize("kind", OURS)
def test_a_language_leaves_nothing_behind_in_the_next(kind):
    skills = skills_of(kind)
    asking, skill = KINDS[kind], skills[len(skills) // 2].id
    names = {each.id: asking.name_of(each.id) for each in skills}
    question = asking.make(skill, seed=3, setting=Setting(138.59))
    use("hi")
    other = asking.make(skill, seed=3, setting=Setting(138.59))
    assert other.prompt != question.prompt
    assert asking.name_of(skill) != names[skill]
    assert (other.cue, other.right, other.sargam) == (question.cue, question.right, question.sargam)
    use()
    assert asking.make(skill, seed=3, setting=Setting(138.59)) == question
    assert names == {each.id: each.name for each in skills}


@pytest.mark.parametrize(
    ("language", "written"),
    [
        ("en", "da dir | da ra (S R')"),
        ("hi", "दा दिर | दा रा (सा रें)"),
        ("bn", "দা দির | দা রা (স র্র)"),
    ],
)
def test_bols_and_swaras_of_a_line_are_each_written_in_their_own_way(language, written):
    """da is a bol and d a swara: bols as printed in sitar handbooks, swaras as in notation."""
    use(language)
    assert for_readers("da dir | da ra (S R')") == written
