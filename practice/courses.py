"""Which courses may be chosen, each whole or with what is wrong with it, and what one asks."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from practice.errors import SettingsError
from practice.given import NOTHING, Given
from practice.settings import Settings
from quizzes.catalogue import added_skills, is_asked
from quizzes.course_words import about_words
from quizzes.courses import Course, check_file, courses, load_course
from quizzes.errors import CourseError
from quizzes.names import listed
from quizzes.question import Skill
from scheduler import Item
from words import say, say_many, to_say

OWN_NAME = "courses"
"""The folder of a student's own courses, within that of the settings."""


@dataclass(frozen=True, slots=True)
class CourseChoice:
    """One course, for who is to choose; `why_not` says plainly why it cannot be taken."""

    id: str
    name: str
    about: str = ""
    why_not: str | None = None
    is_own: bool = False
    """Whether it is no shipped one."""
    size: str = ""
    """How many steps and skills it has, and how long they take at its pace."""


def own_courses(folder: Path) -> Path:
    """Where the courses of a student's own lie."""
    return folder / OWN_NAME


def course_choices(folder: Path | None = None, given: Given = NOTHING) -> tuple[CourseChoice, ...]:
    """All courses, the usual one first, then those of the student's own in `folder`."""
    if folder is None:
        return tuple(_choice(course, None, given) for course in courses())
    own = own_courses(folder)
    clashing = (path for path in sorted(own.glob("*.toml")) if path.stem in courses())
    return (
        *(_choice(course, own, given) for course in courses(own=own)),
        *map(_clashing, clashing),
    )


def _choice(course: str, own: Path | None, given: Given) -> CourseChoice:
    is_own = course not in courses()
    try:
        found = _load(course, own, given)
    except CourseError as error:
        return CourseChoice(course, course, why_not=_shortly(error), is_own=is_own)
    told = " ".join(found.about.split())
    about = " ".join(filter(None, [say(told) if told else "", *missing_words(found)]))
    why_not = None if found.skills else say(NOTHING_IN_IT)
    return CourseChoice(course, say(found.name), about, why_not, is_own, about_words(found))


def _clashing(path: Path) -> CourseChoice:
    """A file of one's own that bears the id of a shipped course."""
    try:
        check_file(path)
        said = ""
    except CourseError as error:
        said = str(error)
    return CourseChoice(str(path), path.name, why_not=said, is_own=True)


def _load(course: str, own: Path | None, given: Given) -> Course:
    return load_course(course, own=own, decks=given.decks, tradition=given.tradition)


def _shortly(error: CourseError) -> str:
    """The first fault, and how many more there are."""
    first, *more = str(error).splitlines()
    return f"{first}, and {len(more)} more" if more else first


def course_of(settings: Settings, folder: Path, given: Given) -> Course:
    """The course that is set. Raises SettingsError with the remedy where it cannot be taken."""
    own = own_courses(folder)
    known = courses(own=own)
    if settings.course not in known:
        raise SettingsError(
            f"course: {settings.course!r} is not known; give one of {', '.join(known)}"
        )
    try:
        found = _load(settings.course, own, given)
    except CourseError as error:
        raise SettingsError(f"course: {_shortly(error)}") from error
    if not found.skills:
        missing = " ".join(missing_words(found))
        raise SettingsError(f"course: nothing is asked in {found.name!r}. {missing}".strip())
    return found


def missing_words(course: Course) -> tuple[str, ...]:
    """What a student is to be told of decks that a course names and that are not there."""
    if not course.missing:
        return ()
    return (
        say_many(
            "The deck {decks} of {course!r} is not here: bring it in, or take it out of the "
            "course; all else of it goes on.",
            "The decks {decks} of {course!r} are not here: bring them in, or take them out of the "
            "course; all else of it goes on.",
            len(course.missing),
            decks=listed(list(course.missing)),
            course=say(course.name),
        ),
    )


def items_of(course: Course, given: Given) -> tuple[Item, ...]:
    """What is asked, in the order in which it is met: first the teacher's decks of which the course
    says nothing, then the course, in its order; all that a teacher's word does not rule out, and
    last what the teacher has besides, of the kinds that the course asks."""
    asks = {skill.kind for skill in course.skills}
    first = [s for deck in given.decks if deck not in course.decks for s in given.skills(deck)]
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


NOTHING_IN_IT = to_say("Nothing is asked in it: its decks are not here.")
