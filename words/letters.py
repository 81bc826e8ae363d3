"""Swaras and lines of sargam in Latin, Devanagari or Bengali letters.

Latin is what is parsed, kept and typed: `S r R g G m M P d D n N`, with `'` for tar and `,` for
mandra. The others are for reading.

Devanagari is written as in the notation that V. N. Bhatkhande made common: a line below for komal
(U+0952), an upright stroke above for tivra (U+0951), a dot above for tar (anusvara) and one below
for mandra (nukta). In Unicode so at https://khayaltech.wordpress.com/ ("Bhatkhande + Unicode"), and
the dots at https://omenad.github.io/fonts/ome-bhatkhande-english/.

Bengali is written as in akarmatrik notation, in which komal and tivra have letters of their own,
tar has a reph above, and mandra a hasanta below. The short account of it that is printed with the
score of Basanta has the hasanta, the reph, and the letters of the komal swaras (bn.wikisource.org,
page 110 of the scan); that of tivra Ma is common practice, from memory. The vowel sign after a
letter, which gives the notation its name, is left out: it stands for a matra, not for a pitch.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from words.catalogue import LANGUAGES, language, swaras_in

KOMAL, TIVRA, TAR, MANDRA = "\u0952", "\u0951", "\u0902", "\u093c"
REPH, HASANTA = "\u09b0\u09cd", "\u09cd\u200c"
"""A hasanta that does not join: without the sign behind it the next letter would."""

_SWARA = re.compile("([SrRgGmMPdDnN])('+|,+)?")


@dataclass(frozen=True, slots=True)
class Letters:
    """How swaras are written in one script: the script's code in ISO 15924, and each swara in
    mandra, madhya and tar."""

    script: str
    swaras: dict[str, tuple[str, str, str]]


def _devanagari(first: str, vowel: str = "", sign: str = "") -> tuple[str, str, str]:
    return (
        f"{first}{MANDRA}{vowel}{sign}",
        f"{first}{vowel}{sign}",
        f"{first}{vowel}{TAR}{sign}",
    )


def _bengali(letter: str) -> tuple[str, str, str]:
    return f"{letter}{HASANTA}", letter, f"{REPH}{letter}"


LETTERS = {
    "devanagari": Letters(
        "Deva",
        {
            "S": _devanagari("स", "ा"),
            "r": _devanagari("र", "े", KOMAL),
            "R": _devanagari("र", "े"),
            "g": _devanagari("ग", "", KOMAL),
            "G": _devanagari("ग"),
            "m": _devanagari("म"),
            "M": _devanagari("म", "", TIVRA),
            "P": _devanagari("प"),
            "d": _devanagari("ध", "", KOMAL),
            "D": _devanagari("ध"),
            "n": _devanagari("न", "ि", KOMAL),
            "N": _devanagari("न", "ि"),
        },
    ),
    "bengali": Letters(
        "Beng",
        dict(
            zip(
                "SrRgGmMPdDnN",
                map(_bengali, ("স", "ঋ", "র", "জ্ঞ", "গ", "ম", "হ্ম", "প", "দ", "ধ", "ণ", "ন")),
                strict=True,
            )
        ),
    ),
}
"""The letters beside Latin ones, by name."""


def in_script(sargam: str) -> str:
    """A line of sargam, or a single swara, as it is read by this student: only swaras change, every
    other sign stays."""
    letters = LETTERS.get(swaras_in())
    if letters is None:
        return sargam

    def written(match: re.Match[str]) -> str:
        marks = match.group(2) or ""
        saptak = 1 + (marks[:1] == "'") - (marks[:1] == ",")
        return letters.swaras[match.group(1)][saptak] + marks[1:]

    return _SWARA.sub(written, sargam)


def script() -> str:
    """The code in ISO 15924 of the script that all text needs now beside Latin letters, or
    "Latn"."""
    letters = LETTERS.get(swaras_in())
    return letters.script if letters else LANGUAGES[language()].script
