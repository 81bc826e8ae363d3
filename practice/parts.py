"""The parts of what a student is asked, by name: the teacher's decks and the course's steps."""

from __future__ import annotations

from collections import Counter

from practice.given import Given
from quizzes.courses import Course


def parts_of(course: Course, given: Given) -> dict[str, tuple[str, ...]]:
    """The skills of each part by its name, decks first; several steps may bear one name. Decks of
    one name are told apart by their ids."""
    parts: dict[str, tuple[str, ...]] = {}
    names = Counter(deck.name.casefold() for deck in given.decks.values())
    names.update({step.name.casefold() for step in course.steps})
    for deck in given.decks.values():
        is_one = names[deck.name.casefold()] == 1
        name = deck.name if is_one else f"{deck.name} ({deck.id})"
        parts[name] = tuple(skill.id for skill in given.skills(deck.id))
    for step in course.steps:
        parts[step.name] = (*parts.get(step.name, ()), *(skill.id for skill in step.skills))
    return parts
