"""Words in English, and the same in the language that is in use.

Everything that is shown is written in English where it is said, whole and with named parts, and
looked up in the catalogue of the language in use; what a catalogue lacks stays English:

    say("From {low} to {high}", low=..., high=...)      with its parts filled in
    say_many("{count} gap", "{count} gaps", 3)          one or more; `count` is filled in
    say_as("of a string", "open")                       where one English word has two meanings
    TITLE = to_say("Two swaras")                        said later, by say(TITLE)

A catalogue is the gettext files in `assets/words/LANGUAGE/`, plain text that any editor of such
files reads; several files, so that a reader can take one part. English needs none.
"""

from __future__ import annotations

import gettext
import io
import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

WORDS = Path(__file__).resolve().parent.parent / "assets" / "words"


@dataclass(frozen=True, slots=True)
class Language:
    """A language: its code of ISO 639, its own name for itself, the code of its script in ISO
    15924, and how its letters for swaras are called here."""

    code: str
    name: str
    script: str
    letters: str


LANGUAGES = {
    language.code: language
    for language in (
        Language("en", "English", "Latn", "latin"),
        Language("hi", "हिन्दी", "Deva", "devanagari"),
        Language("bn", "বাংলা", "Beng", "bengali"),
    )
}


class _InUse:
    """The language and the letters for swaras in use: one of each, as one student practises."""

    language = LANGUAGES["en"]
    letters = "latin"
    catalogue = gettext.NullTranslations()


SWARAS_SAID = {
    "latin": ("Sa", "Re", "Ga", "Ma", "Pa", "Dha", "Ni"),
    "devanagari": ("सा", "रे", "ग", "म", "प", "ध", "नि"),
    "bengali": ("সা", "রে", "গা", "মা", "পা", "ধা", "নি"),
}
"""The seven by the letters in which they are read."""
_SEVEN = re.compile(rf"\b({'|'.join(SWARAS_SAID['latin'])})\b")

_SHORT = {"bn": {"দুই": ("দু", "টি")}}
"""Of a language the words that are shorter before an ending where they are filled in, as the number
two is before the ending of what is counted: their short form, and the ending."""

_ENGLISH = gettext.NullTranslations()
_IN_ENGLISH = ContextVar("in English", default=False)
"""Of each thread for itself."""


def use(language: str = "en", letters: str = "") -> None:
    """Say everything in this language from now on, with swaras in these letters, the language's own
    unless given. No text has two scripts beside Latin, so that a language takes its own letters in
    place of another script's. Raises KeyError for a language that is not known."""
    told = LANGUAGES[language]
    _InUse.language, _InUse.catalogue = told, _whole(language).catalogue
    fits = letters == "latin" or told.script == "Latn"
    _InUse.letters = letters if letters and fits else told.letters


@contextmanager
def in_english() -> Iterator[None]:
    """Say everything in English meanwhile, swaras too, on this thread alone: for what is printed,
    which is in one language."""
    before = _IN_ENGLISH.set(True)
    try:
        yield
    finally:
        _IN_ENGLISH.reset(before)


def language() -> str:
    """The code of the language in use."""
    return "en" if _IN_ENGLISH.get() else _InUse.language.code


def swaras_in() -> str:
    """The letters in use for swaras: "latin", "devanagari" or "bengali"."""
    return "latin" if _IN_ENGLISH.get() else _InUse.letters


def said_by() -> tuple[str, str, gettext.NullTranslations]:
    """What all that is said now depends on: language, letters, and the catalogue itself, of which
    another may have been read in."""
    return language(), swaras_in(), _in_use()


def _in_use() -> gettext.NullTranslations:
    return _ENGLISH if _IN_ENGLISH.get() else _InUse.catalogue


def unread() -> tuple[str, ...]:
    """Which files of the language in use cannot be read, and why; what they hold stays English."""
    return () if _IN_ENGLISH.get() else _whole(_InUse.language.code).unread


@dataclass(frozen=True, slots=True)
class _Whole:
    catalogue: gettext.NullTranslations
    unread: tuple[str, ...]


@cache
def _whole(language: str) -> _Whole:
    """All of a language's files that can be read as one catalogue, and what is wrong with the
    others: nobody is to be kept from practising by a slip of who translates."""
    whole, unread = gettext.NullTranslations(), []
    paths = sorted((WORDS / language).glob("*.po"))
    if not paths:
        return _Whole(whole, ())
    import polib  # wanted only in other languages than English

    for path in paths:
        try:
            part = gettext.GNUTranslations(io.BytesIO(polib.pofile(str(path)).to_binary()))
        except (OSError, ValueError, LookupError) as error:  # polib calls wrong syntax an OSError
            unread.append(
                f"{path} cannot be read ({error}), so that its words are in English. Mend it, as "
                "`main.py words` says where, or put back the file that came with Kaan."
            )
            continue
        part.add_fallback(whole)
        whole = part
    return _Whole(whole, tuple(unread))


def say(text: str, /, **parts: Any) -> str:
    """A text in the language in use, with its named parts filled in."""
    said = _in_use().gettext(text) if text else ""  # which stands for the head of a catalogue
    said = _in_letters(said)
    return _filled(said, text, parts) if parts else said


def say_as(meaning: str, text: str, /, **parts: Any) -> str:
    """The same, where what it means decides which words are right."""
    said = _in_letters(_in_use().pgettext(meaning, text))
    return _filled(said, text, parts) if parts else said


def say_many(one: str, many: str, count: int, /, **parts: Any) -> str:
    """The one text for one thing, the other for several; `{count}` stands for how many."""
    said = _in_letters(_in_use().ngettext(one, many, count))
    return _filled(said, one if count == 1 else many, {"count": count, **parts})


def _in_letters(said: str) -> str:
    """An English text with its swaras in the letters in use; other languages have their own."""
    letters = swaras_in()
    if letters == "latin" or language() != "en":
        return said
    latin = SWARAS_SAID["latin"]
    return _SEVEN.sub(lambda swara: SWARAS_SAID[letters][latin.index(swara[0])], said)


def _filled(said: str, english: str, parts: dict[str, Any]) -> str:
    """The text with its parts; in English where a translation has parts that there are not."""
    try:
        said = said.format(**parts)
    except (LookupError, ValueError, AttributeError, TypeError):
        said = english.format(**parts)
    for word, (short, ending) in _SHORT.get(language(), {}).items():
        said = said.replace(f"{word}{ending}", f"{short}{ending}")
    return said


def pattern_of(word: str) -> str:
    """Of a word that was filled in, what finds it in a text."""
    found = re.escape(word)
    short = _SHORT.get(language(), {}).get(word)
    return f"{found}|{short[0]}(?={short[1]})" if short else found


def to_say(text: str, /) -> str:
    """The text as it stands, to be said later; it marks what belongs in the catalogue."""
    return text
