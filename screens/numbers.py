"""The number by which each choice is answered from a keyboard."""

from __future__ import annotations

from collections.abc import Sequence

from quizzes.question import Choice


def numbered(choices: Sequence[Choice]) -> list[tuple[int, Choice]]:
    """Each choice with its number: what it means where all are numbers, such as "two semitones".

    Else its place, from 1. A 2 that meant anything but two would be an honest answer marked wrong.
    """
    meant = [int(choice.id) if choice.id in _DIGITS else 0 for choice in choices]
    if not all(meant):
        meant = list(range(1, len(choices) + 1))
    return list(zip(meant, choices, strict=True))


_DIGITS = frozenset("123456789")
