"""What is said of the shipped courses as their files have it, for who translates it."""

from __future__ import annotations

from collections.abc import Iterator

from quizzes.courses import courses, load_course


def said_of_courses() -> Iterator[tuple[str, str]]:
    """(where, text) of the name of each, of what it is about, and of the names of its steps."""
    for course in courses():
        found, where = load_course(course), f"assets/courses/{course}.toml"
        yield where, found.name
        yield where, " ".join(found.about.split())
        yield from ((where, step.name) for step in found.steps)
