"""Columns of text in a terminal: how broad a text is there, and texts made equally broad."""

from __future__ import annotations

import unicodedata

_WITHOUT_BREADTH = ("Mn", "Me", "Cf")
"""Signs that stand above or below a letter, or are not seen, by their category in Unicode."""


def broad(text: str) -> int:
    """In how many columns a text stands, as most terminals count letters of Indian scripts."""
    return sum(unicodedata.category(letter) not in _WITHOUT_BREADTH for letter in text)


def padded(text: str, columns: int) -> str:
    """The text with spaces behind it, so many columns broad."""
    return text + " " * (columns - broad(text))


_SIGNS = ("Mn", "Mc", "Cf")
_JOINING = ("\u094d", "\u09cd")
"""A virama or hasanta binds the letter before it to the next."""


def without_last(text: str) -> str:
    """The text without its last letter and the signs of that, and without what it was bound to."""
    end = len(text) - 1
    while end > 0 and (unicodedata.category(text[end]) in _SIGNS or text[:end].endswith(_JOINING)):
        end -= 1
    return text[: max(0, end)]


def cut(text: str, columns: int) -> str:
    """The text, so many columns broad at most."""
    while broad(text) > columns:
        text = without_last(text)
    return text
