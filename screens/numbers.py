"""The key by which each choice is answered from a keyboard: a number that cannot lie, or a letter.

A 2 that meant anything but two would be an honest answer marked wrong.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from string import ascii_lowercase

from quizzes.question import Choice

NOUGHT = "0"
"""The key of the one thing beside numbers that is none, such as "not even at the end"."""
PART = "/"
"""In an id that is a fraction."""
_NUMBER = re.compile(r"\d+")


def keyed(choices: Sequence[Choice]) -> list[tuple[str, Choice]]:
    """Each choice with its key.

    Where all are whole numbers, as written or in words, such as "two semitones", they are the keys;
    one word beside them, as "not even at the end" beside "after the third", is 0. Where there is no
    number at all, each has its place, from 1. Else, as where some are fractions, a number might be
    taken for what it says, and letters are the keys; so they are where a place has two figures. No
    letter is one that is itself a choice, such as a swara.
    """
    meant = [_meant(choice) for choice in choices]
    words = [place for place, number in enumerate(meant) if number is None]
    if len(words) == 1 and len(choices) > 2 and not _has_number(choices[words[0]]):
        meant[words[0]] = NOUGHT
    keys = [number for number in meant if number is not None]
    places = [str(place) for place in range(1, len(choices) + 1)]
    honest = len(set(keys)) == len(choices) and (keys == places or max(map(len, keys)) == 1)
    if not honest:
        numberless = not any(map(_has_number, choices))
        by_place = numberless and not 10 <= len(places) <= len(ascii_lowercase)
        keys = places if by_place else _letters(choices)
    return list(zip(keys, choices, strict=True))


def _letters(choices: Sequence[Choice]) -> list[str]:
    # What is written in letters that no keyboard has is known there by its id, as swaras are.
    said = {(c.label if c.label.isascii() else c.id).lower() for c in choices}
    free = [letter for letter in ascii_lowercase if letter not in said]
    return (free if len(free) >= len(choices) else list(ascii_lowercase))[: len(choices)]


def _meant(choice: Choice) -> str | None:
    """The one whole number that a choice is, as its label says or else its id; "half way into
    matra 7" is none."""
    written = _NUMBER.findall(choice.label)
    if len(written) > 1 or PART in choice.id:
        return None
    return written[0] if written else choice.id if choice.id.isdecimal() else None


def _has_number(choice: Choice) -> bool:
    """Whether a number is read in its label, or meant by its id."""
    return _NUMBER.search(choice.label) is not None or _NUMBER.match(choice.id) is not None
