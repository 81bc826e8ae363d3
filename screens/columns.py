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
