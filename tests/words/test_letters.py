"""Swaras in three scripts: what changes, what stays, and that fonts shape each as one sign.

Shapes are checked by HarfBuzz itself (uharfbuzz), apart from the window, on the screens' fonts.
"""

import unicodedata

import pytest
import uharfbuzz as hb
from hypothesis import given
from hypothesis import strategies as st

from audio.sargam import parse
from audio.tuning import SWARAS
from screens.look import FONTS
from screens.theme import FONT_FILES
from words import in_script, language, say, script, swaras_in, use
from words.letters import KOMAL, LETTERS, MANDRA, TAR, TIVRA

DOTTED_CIRCLE = "\u25cc"
SAPTAKS = (",", "", "'")


@pytest.fixture(autouse=True)
def english_again():
    yield
    use()


def shaped(file, script_code, text):
    """(glyph names, advance in font units) by HarfBuzz."""
    face = hb.Face(hb.Blob.from_file_path(str(FONTS / file)))
    font = hb.Font(face)
    buffer = hb.Buffer()
    buffer.add_str(text)
    buffer.script, buffer.direction = script_code, "ltr"
    hb.shape(font, buffer)
    names = [font.glyph_to_string(info.codepoint) for info in buffer.glyph_infos]
    return names, sum(position.x_advance for position in buffer.glyph_positions)


@pytest.mark.parametrize("letters", LETTERS)
def test_every_swara_in_every_saptak_is_shaped_as_one_sign(letters):
    use("en", letters)
    code = LETTERS[letters].script
    for file in FONT_FILES[code].values():
        circle, _ = shaped(file, code, DOTTED_CIRCLE)
        for swara in SWARAS:
            for saptak in SAPTAKS:
                names, advance = shaped(file, code, in_script(swara + saptak))
                assert ".notdef" not in names, (file, swara, saptak)
                # A mark that has no letter to stand on gets a circle of dots.
                assert not set(circle) & set(names), (file, swara, saptak)
                assert advance > 0


@pytest.mark.parametrize("letters", LETTERS)
def test_all_swaras_look_different(letters):
    use("en", letters)
    code = LETTERS[letters].script
    signs = [in_script(swara + saptak) for swara in SWARAS for saptak in SAPTAKS]
    assert len(set(signs)) == 36
    shapes = {tuple(shaped(FONT_FILES[code]["Kaan Sans"], code, sign)[0]) for sign in signs}
    assert len(shapes) == 36


@pytest.mark.parametrize(
    ("swara", "has", "name"),
    # Names as in the Unicode character database; the marks as words/letters.py has them.
    [
        ("r", KOMAL, "DEVANAGARI STRESS SIGN ANUDATTA"),
        ("g", KOMAL, "DEVANAGARI STRESS SIGN ANUDATTA"),
        ("d", KOMAL, "DEVANAGARI STRESS SIGN ANUDATTA"),
        ("n", KOMAL, "DEVANAGARI STRESS SIGN ANUDATTA"),
        ("M", TIVRA, "DEVANAGARI STRESS SIGN UDATTA"),
        ("S'", TAR, "DEVANAGARI SIGN ANUSVARA"),
        ("N,", MANDRA, "DEVANAGARI SIGN NUKTA"),
    ],
)
def test_komal_tivra_and_saptaks_have_their_marks_in_devanagari(swara, has, name):
    use("hi")
    assert unicodedata.name(has) == name
    assert has in in_script(swara)
    marks = {KOMAL, TIVRA, TAR, MANDRA} - {has}
    assert not marks & set(in_script(swara))


def test_all_but_swaras_stays_as_it_is_written():
    use("hi")
    assert in_script("S - R-G . | (P)m r~ S:3/2 {SR} P\\\\S D' N,") == (
        "सा - रे-ग . | (प)म रे॒~ सा:3/2 {सारे} प\\\\सा धं न" + MANDRA + "ि"
    )
    use("bn")
    assert in_script("S r G M P d' N,") == "স ঋ গ হ্ম প র্দ ন্\u200c"
    use()
    assert in_script("S r' N,") == "S r' N,"


@given(st.lists(st.sampled_from([s + o for s in SWARAS for o in SAPTAKS]), min_size=1, max_size=8))
def test_a_line_is_its_swaras_one_by_one(swaras):
    use("bn")
    line = " ".join(swaras)
    assert in_script(line).split(" ") == [in_script(swara) for swara in swaras]
    assert parse(line)  # what is read stays what is typed
    use()


@pytest.mark.parametrize(
    ("told", "code", "letters", "shown"),
    [
        (("en", ""), "en", "latin", "Latn"),
        (("en", "devanagari"), "en", "devanagari", "Deva"),
        (("en", "bengali"), "en", "bengali", "Beng"),
        (("hi", ""), "hi", "devanagari", "Deva"),
        (("hi", "latin"), "hi", "latin", "Deva"),
        (("hi", "bengali"), "hi", "devanagari", "Deva"),
        (("bn", "devanagari"), "bn", "bengali", "Beng"),
    ],
)
def test_no_text_has_two_scripts_beside_latin(told, code, letters, shown):
    use(*told)
    assert (language(), swaras_in(), script()) == (code, letters, shown)


def test_an_unknown_language_changes_nothing():
    use("hi")
    with pytest.raises(KeyError):
        use("xx")
    assert language() == "hi"


@pytest.mark.parametrize(
    ("letters", "shown"), [("latin", "Sa"), ("devanagari", "सा"), ("bengali", "সা")]
)
def test_an_english_text_has_all_of_its_swaras_in_the_letters_in_use(letters, shown):
    use("en", letters)
    assert say("Sa is the drone's own note") == f"{shown} is the drone's own note"
    assert say("{cents} above Sa, said in Sabri", cents="Sa") == (
        f"Sa above {shown}, said in Sabri"  # what is filled in is left as it is
    )
    use("hi", "latin")
    assert say("not in the catalogue: Sa") == "not in the catalogue: Sa"
