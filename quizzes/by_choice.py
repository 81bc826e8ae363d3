"""What kinds share that are answered by one choice: how it is marked."""

from __future__ import annotations

from quizzes.levels import Level
from quizzes.question import Mark, Question


class ByChoice:
    """A kind that is marked by one choice and has no level; the rest is its own."""

    name: str
    by_ear = False
    """Whether the answer can be heard, by who knows its name; else it has to be known as well."""

    def level(self, skill: str) -> Level | None:
        return None

    def is_heard(self, skill: str) -> bool:
        """Whether the answer to this skill can be heard; a kind may ask in several ways."""
        return self.by_ear

    def mark(self, question: Question, given: str) -> Mark:
        choice = question.choice(given)
        if given in question.right:
            return Mark(1.0)
        return Mark(0.0, heard=choice.skill if choice.skill != question.skill else None)
