"""What is wrong with a deck: all of it, each fault with its place and its remedy."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from quizzes.errors import QuizError


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong. `line` counts from 1; `entry` is the question of the deck, from 0,
    in which it is, None where it is outside them."""

    file: str
    line: int
    field: str
    wrong: str
    remedy: str
    entry: int | None = None

    def __str__(self) -> str:
        """`gaps.toml, line 12: prompt: is missing; say what is asked`."""
        field = f"{self.field}: " if self.field else ""
        return f"{self.file}, line {self.line}: {field}{self.wrong}; {self.remedy}"


class DeckError(QuizError):
    """A deck, or a bundle of decks, that cannot be taken; `faults` are all that is wrong."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(map(str, self.faults)))
