"""Which courses may be chosen, each whole or with what is wrong with it, and what one asks."""

from __future__ import annotations

from dataclasses import dataclass

from practice.errors import SettingsError
from practice.given import Given
from practice.settings import Settings
from quizzes.catalogue import added_skills, is_asked
from quizzes.courses import Course, courses, load_course
from quizzes.decks.deck import KIND
from quizzes.errors import CourseError
from quizzes.question import Skill
from scheduler import Item


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


def items_of(course: Course, given: Given) -> tuple[Item, ...]:
    """What is asked, in the order in which it is met: first the teacher's decks of which the course
    says nothing, then the course, in its order; all that a teacher's word does not rule out, and
    last what the teacher has besides, of the kinds that the course asks."""
    of_course = {skill.id for skill in course.skills}
    asks = {skill.kind for skill in course.skills}
    first = [
        skill
        for deck in given.decks
        if of_course.isdisjoint(skill.id for skill in given.skills(deck) if skill.kind == KIND)
        for skill in given.skills(deck)
    ]
    besides = [skill for skill in added_skills(given.tradition) if skill.kind in asks]
    asked = {skill.id: skill for skill in (*first, *course.skills, *besides)}
    return tuple(item_of(s) for s in asked.values() if is_asked(s.id, given.tradition))


def item_of(skill: Skill) -> Item:
    """A skill as the plan sees it."""
    return Item(
        skill.id,
        skill.kind,
        skill.family,
        skill.cluster,
        skill.chance,
        skill.seconds,
        skill.kin,
    )
