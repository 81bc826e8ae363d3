"""Which courses a student may choose from, each whole or with what is wrong with it."""

from __future__ import annotations

from dataclasses import dataclass

from practice.errors import SettingsError
from practice.settings import Settings
from quizzes.courses import Course, courses, load_course
from quizzes.errors import CourseError


@dataclass(frozen=True, slots=True)
class CourseChoice:
    """One course, for the settings; `why_not` says plainly why it cannot be taken."""

    id: str
    name: str
    about: str = ""
    why_not: str | None = None


def course_choices() -> tuple[CourseChoice, ...]:
    """All courses, the usual one first."""
    return tuple(_choice(course) for course in courses())


def _choice(course: str) -> CourseChoice:
    try:
        found = load_course(course)
    except CourseError as error:
        return CourseChoice(course, course, why_not=str(error))
    return CourseChoice(course, found.name, " ".join(found.about.split()))


def course_of(settings: Settings) -> Course:
    """The course that is set. Raises SettingsError with the remedy where it cannot be taken."""
    known = courses()
    if settings.course not in known:
        raise SettingsError(
            f"course: {settings.course!r} is not known; give one of {', '.join(known)}"
        )
    try:
        return load_course(settings.course)
    except CourseError as error:
        raise SettingsError(f"course: {error}") from error
