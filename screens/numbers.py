"""The number by which each choice is answered from a keyboard."""

from __future__ import annotations

from collections.abc import Sequence

from quizzes.question import Choice


def numbered(choices: Sequence[Choice]) -> list[tuple[int, Choice]]:
    """Each choice with its number: what it means where all are numbers, such as "two semitones".

    One word beside numbers, as "not even at the end" beside "after the third", is 0. Else each has
    its place, from 1. A 2 that meant anything but two would be an honest answer marked wrong.
    """
    meant = [int(choice.id) if choice.id in _DIGITS else 0 for choice in choices]
    words = [choice.id for choice in choices if not choice.id.isdecimal()]
    beside = len(words) == 1 and len(choices) > 2
    if meant.count(0) > (1 if beside else 0):
        meant = list(range(1, len(choices) + 1))
    return list(zip(meant, choices, strict=True))


_DIGITS = frozenset("123456789")
