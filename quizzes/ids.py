"""Ids of decks, questions and courses: what is one, and one read off a name for ever after."""

from __future__ import annotations

import re
import secrets
import string
import unicodedata
from collections.abc import Collection
from typing import Any

from quizzes.decks.limits import LONGEST_ID

RANDOM_LETTERS = 5
_ID = re.compile(rf"[a-z0-9][a-z0-9-]{{0,{LONGEST_ID - 1}}}")
_DEVICE = re.compile(r"con|prn|aux|nul|com\d|lpt\d")
"""Some systems keep a few names for devices, whatever stands behind the dot."""


def is_id(text: str) -> bool:
    """Whether it can be the id of anything."""
    return _ID.fullmatch(text) is not None


def names_file(text: str) -> bool:
    """Whether it is an id by which a file may be called on every system."""
    return is_id(text) and _DEVICE.fullmatch(text) is None


def slug(text: Any, most: int = LONGEST_ID) -> str:
    """`On which swara?` as `on-which-swara`; whole words, if one of them fits; "" where a text has
    no letters of a to z and no digits."""
    spread = unicodedata.normalize("NFKD", text if isinstance(text, str) else "")
    letters = "".join(sign for sign in spread.lower() if not unicodedata.combining(sign))
    words = "".join(sign if sign.isascii() and sign.isalnum() else " " for sign in letters).split()
    found = ""
    for word in words:
        longer = f"{found}-{word}" if found else word[:most]
        if len(longer) > most:
            break
        found = longer
    return found


def unique(slug: str, taken: Collection[Any]) -> str:
    """The slug itself, or with the first number from 2 that makes it one of its own."""
    found, number = slug, 1
    while found in taken:
        number += 1
        end = f"-{number}"
        found = slug[: LONGEST_ID - len(end)].rstrip("-") + end
    return found


def new_id(name: str, otherwise: str) -> str:
    """An id that nobody else has, from a name, or from another word where that gives none."""
    drawn = "".join(secrets.choice(string.ascii_lowercase) for _ in range(RANDOM_LETTERS))
    return f"{slug(name, LONGEST_ID - RANDOM_LETTERS - 1) or otherwise}-{drawn}"
