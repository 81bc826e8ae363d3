"""What students are called, in any script: as it is kept, and as it is looked up."""

from __future__ import annotations

from unicodedata import category, normalize

from practice.errors import StudentsError
from words import say

LONGEST_NAME = 60


def can_be_seen(sign: str) -> bool:
    """Whether it is a sign, or joins or parts two, as names in many scripts need it."""
    return sign.isprintable() or sign in "\u200c\u200d"


def cleaned(text: str) -> str:
    """A name as it is kept, in any script: on one line, without what is no sign at all."""
    whole = text.encode("utf-8", "replace").decode("utf-8")  # half signs can be in no file
    return " ".join("".join(s for s in whole if s.isspace() or category(s) != "Cc").split())


def checked_name(text: str) -> str:
    """The name as it is kept. Raises StudentsError where none is left of it, or too much."""
    name = cleaned(text)
    if not name:
        raise StudentsError(say("write the name of who is to practise here"))
    if len(name) > LONGEST_NAME:
        raise StudentsError(
            say(
                "the name has {count} letters; {most} are the most",
                count=len(name),
                most=LONGEST_NAME,
            )
        )
    return name


def plain(name: str) -> str:
    """A name by which it is looked up: however it is capitalised, spaced and put together."""
    return " ".join(normalize("NFKC", name).casefold().split())
