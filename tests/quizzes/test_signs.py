"""Signs that cannot be shown: which, by the fonts' own tables, and where they are told."""

import unicodedata
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

from quizzes.courses import read_course
from quizzes.decks import narrowed, own
from quizzes.decks.collecting import SEEN
from quizzes.decks.faults import DeckError
from quizzes.decks.reading import KEYS, read_deck
from quizzes.errors import CourseError
from quizzes.signs import script_of, undrawn, unshown
from quizzes.tradition import read_words
from screens.look import FONTS
from screens.theme import FONT_FILES
from tests.quizzes.decks import broken_texts as written

LATIN, WORDS = (
    'write it in Latin letters, such as "komal Re", in Devanagari or in Bengali',
    "write it in words, or leave it out",
)
NOT_SHOWN = {
    *("deck", "id", "edition", "kind", "question", "choice", "reason", "before", "right", "holds"),
    *("sargam", "recording", "theka", "cycles", "tempo", "tuning", "voice", "drone"),
    *("skills", "ask", "ragas", "talas", "among", "phrases", "counts"),
}
"""Keys of a deck that hold ids, numbers, sargam or tables."""
UNSEEN = {"Cc", "Cf", "Zl", "Zp", "Cs"}  # by the Unicode Standard, chapter 4.5
VARIATION = 0xFE00
PLANES = 0x20000
"""The first two of Unicode: letters of all living languages, and pictures."""


def test_a_sign_is_shown_that_every_font_draws():
    # The table "cmap" of each font, as fontTools reads it.
    tables = []
    for file in FONT_FILES["Latn"].values():
        with TTFont(FONTS / file) as font:
            tables.append(set(font.getBestCmap()))
    drawn = set.intersection(*tables)
    assert max(drawn) < PLANES
    for place in range(PLANES):
        sort = unicodedata.category(chr(place))
        shown = place in drawn and sort not in UNSEEN and place != VARIATION
        assert (unshown(chr(place)) == "") == (shown or sort == "Cc"), f"{place:X}"


@pytest.mark.parametrize("script", ["Deva", "Beng"])
def test_devanagari_and_bengali_are_drawn_beside_latin_letters_by_fonts_of_their_own(script):
    tables = []
    for file in FONT_FILES[script].values():
        with TTFont(FONTS / file) as font:
            tables.append(set(font.getBestCmap()))
    letter = {"Deva": "क", "Beng": "ক"}[script]
    for place in range(0x3000):
        sign = chr(place)
        if not undrawn(letter + sign) and unicodedata.category(sign) != "Cc":
            assert all(place in table for table in tables), f"{place:X}"
    assert script_of("Sa " + letter) == script
    assert script_of("1\u0964 " + letter) == script
    assert script_of("1\u0964") == "Deva"  # a danda alone is in no Latin font
    assert undrawn("कক") == "ক"
    for sign in "।॥ ":
        assert not undrawn(letter + sign)


@pytest.mark.parametrize(
    ("sign", "name", "remedy"),
    [
        ("ક", "Gujarati letter ka (U+0A95)", LATIN),
        ("कব", "Bengali letter ba (U+09AC)", LATIN),
        ("→", "Rightwards arrow (U+2192)", WORDS),
        ("♯", "Music sharp sign (U+266F)", WORDS),
        ("🪕", "Banjo (U+1FA95)", WORDS),
        ("\u202e", "Right-to-left override (U+202E)", "leave that sign out"),
        ("\ue000", "U+E000", WORDS),
    ],
)
def test_it_is_told_with_its_name_and_what_to_write(sign, name, remedy):
    text = written.one().replace('"Ga"', f'"komal {sign}"')
    with pytest.raises(DeckError) as told:
        read_deck(text, "d.toml")
    assert str(told.value) == (
        f"d.toml, line 9: choice 1, text: holds a sign that Kaan cannot show, {name}; {remedy}"
    )


def test_it_is_told_wherever_a_text_of_a_deck_is_shown():
    texts = {
        "name": written.HEAD.replace('"D"', '"ક"') + written.one()[len(written.HEAD) :],
        "about": f'about = "a\\nક"\n{written.one()}',
        "by": f'by = "ક"\n{written.one()}',
        "prompt": written.one().replace("Which?", "ક?"),
        "why": written.one('why = "ક"'),
        "text": written.one().replace('"Re"', '"ક"'),
        "things": written.question("put-in-order", 'things = ["a", "ક", "c"]'),
        "first": written.pairs(("ક", "c")),
        "then": written.pairs(("a", "ક")),
    }
    assert texts.keys() == SEEN
    for field, text in texts.items():
        with pytest.raises(DeckError) as told:
            read_deck(text, "d.toml")
        (fault,) = told.value.faults
        assert field in fault.field
        assert fault.remedy == LATIN
    keys = {*KEYS, *own.SHARED, *own.CHOICE_KEYS, *own.REASON_KEYS, *own.BEFORE_KEYS}
    keys |= {*narrowed.KEYS, *(key for form in own.KEYS.values() for key in form)}
    assert keys - SEEN == NOT_SHOWN


def test_letters_with_signs_above_and_below_are_shown():
    # As ISO 15919 writes the sounds of Indian languages with Latin letters (from memory).
    text = written.one().replace('"Ga"', '"rāga Śrī, ṛṣabha, ñ ṅ ṭ ḍ ṇ ḻ m̐ – “½” ×"')
    assert read_deck(text, "d.toml").entries[0].offered[0].text.startswith("rāga")


def test_it_is_told_in_courses_and_traditions():
    step = '[[step]]\nname = "One"\nkinds = ["gap"]\n'
    with pytest.raises(CourseError, match=r"c\.toml, line 1: name: .*Gujarati letter ka.*Latin"):
        read_course(f'name = "ક"\n{step}', Path("c.toml"))
    for text in ('[yaman]\nname = "ક"', '[yaman]\nalso = [\n"ક"]', '[tala.tintal]\nname = "ક"'):
        (fault,) = read_words(text).faults
        assert "Gujarati letter ka" in str(fault)
        assert LATIN in str(fault)
