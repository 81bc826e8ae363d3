"""The errors of `quizzes`, as a tree.

QuizError
├── UnknownSkill     a skill or kind that nothing here can ask
├── CourseError      a course file that cannot be read
├── TalaError        a file of a tala that cannot be read
├── RagaError        a file of a raga, or a teacher's words on one, that cannot be read
├── StageError       a file of the stages of a performance, or a teacher's words on them
├── PaltaError       a file of paltas that cannot be read
└── ShadesError      the file of a swara's treatments that cannot be read
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class At:
    """Where in a file a fault is: its line, the field, and the table in which that stands, of
    several [[tables]] the number; `message` says what is wrong and what would be right."""

    heading: str
    number: int
    field: str
    line: int
    message: str
    place: tuple[str | int, ...] = ()
    """The way to the field from the whole file: keys, and numbers from 0 in lists."""


class QuizError(Exception):
    """Root of every error that `quizzes` raises on purpose."""

    at: At | None = None
    """Of a fault in a file, where it is known."""


class UnknownSkill(QuizError):
    """A skill or kind that nothing here can ask."""


class CourseError(QuizError):
    """A course file that cannot be read; each line of the message names file, place, fault and
    remedy."""

    faults: tuple[At, ...] = ()
    """Where each of the faults is."""


class TalaError(QuizError):
    """A file of a tala that cannot be read; the message names file, line, fault and remedy."""


class RagaError(QuizError):
    """A file of a raga or a tradition that cannot be read; with file, line, fault and remedy."""


class StageError(QuizError):
    """A file of stages, or a tradition, that cannot be read; with file, line, fault and remedy."""


class PaltaError(QuizError):
    """A file of paltas that cannot be read; with file, line, fault and remedy."""


class ShadesError(QuizError):
    """A file of shades that cannot be read; the message names file, line, fault and remedy."""


def not_asked(skill: str, kind: str) -> UnknownSkill:
    """To be raised for an id of which a kind does not ask."""
    return UnknownSkill(f"{skill!r} is not asked; `main.py kinds {kind}` lists what is")
