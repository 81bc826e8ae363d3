"""Bols in the letters of the language in use."""

import unicodedata
from collections.abc import Iterator

import pytest

from audio.mizrab import mizrab
from audio.theka import PHRASES
from audio.voices.tabla import BOLS
from quizzes.bols import mizrab_bols, tabla_bols
from quizzes.talas import talas
from words import use

SCRIPTS = {"hi": "DEVANAGARI", "bn": "BENGALI"}


@pytest.fixture(autouse=True)
def english_again() -> Iterator[None]:
    yield
    use("en")


def of_one_script(text: str, script: str) -> bool:
    """By the names of its letters in Unicode; bars, rests and figures are of none."""
    names = [unicodedata.name(letter) for letter in text if letter not in " |-\u200c"]
    return bool(names) and all(name.startswith(script) for name in names)


@pytest.mark.parametrize(("language", "script"), SCRIPTS.items())
def test_every_bol_that_can_be_played_and_every_theka_is_written_in_the_script(
    language: str, script: str
) -> None:
    use(language)
    lines = [*BOLS, *PHRASES, *(line for tala in talas("").values() for line in tala.written())]
    assert [line for line in lines if not of_one_script(tabla_bols(line), script)] == []
    assert [bol for bol in mizrab().bols if not of_one_script(mizrab_bols(bol), script)] == []


@pytest.mark.parametrize(
    ("language", "line", "written"),
    [
        # The theka of jhumra at bdviolinlab.blogspot.com and of tintal at bangla-kobita.com.
        ("bn", "dhin dha tirakita | dhin dhin dhage", "ধিন্ ধা তেরেকেটে | ধিন্ ধিন্ ধাগে"),
        ("bn", "na tin tin na | tete", "না তিন্ তিন্ না | তেটে"),
        # As pakhawaj bols stand at onushilon.org, and in Hindi manuals (common practice).
        ("bn", "tite kata gadi gene", "তিট কত গদি গিন"),
        ("hi", "dhin dhin | dhage tirakita | tu na | kat ta", "धिं धिं | धागे तिरकिट | तू ना | कत् ता"),
        ("hi", "dhi na | dhina | dhinna", "धी ना | धिना | धिन्ना"),
        # What is no bol stays, and so do rests.
        ("hi", "-dha - xyz", "-धा - xyz"),
        ("en", "dha dhin", "dha dhin"),
    ],
)
def test_a_line_is_spelt_as_thekas_are_printed(language: str, line: str, written: str) -> None:
    use(language)
    assert tabla_bols(line) == written


def test_strokes_of_the_mizrab_are_spelt_as_in_a_hindi_manual() -> None:
    use("hi")  # "Sitar Malika" at Hindi Wikisource, scan p. 57: दा, दिर, द्रा
    assert mizrab_bols("da ra dir dra") == "दा रा दिर द्रा"
