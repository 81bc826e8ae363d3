"""Courses: which there are, those that are shipped and those of one's own, and reading one.

`quizzes.course` says what stands in the file of a course. Those that are shipped lie under
`assets/courses/`; those of a teacher's own, in the student's folder, may not bear the same ids.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from functools import lru_cache
from pathlib import Path

from quizzes.course import NO_DECKS, Course, Step, course_of
from quizzes.decks.deck import Deck
from quizzes.decks.limits import LONGEST_ID
from quizzes.errors import CourseError
from quizzes.fields import read_text, table_of
from quizzes.ids import names_file

__all__ = [
    "COURSES",
    "MOST_BYTES",
    "USUAL",
    "Course",
    "Step",
    "check_file",
    "courses",
    "load_course",
    "path_of",
    "read_course",
]

COURSES = Path(__file__).parent.parent / "assets" / "courses"
USUAL = "first-path"
MOST_BYTES = 200_000
_ID_WORDS = f"small letters, figures and -, at most {LONGEST_ID} of them, such as first-term"


def courses(*, folder: Path = COURSES, own: Path | None = None) -> tuple[str, ...]:
    """The ids of all courses of a folder, the usual one first, then those of one's `own` folder,
    readable or not; one that bears the id of a shipped one is not among these."""
    ids = sorted(path.stem for path in folder.glob("*.toml"))
    others = sorted(path.stem for path in own.glob("*.toml")) if own else []
    first = sorted(ids, key=lambda course: course != USUAL)
    return (*first, *(course for course in others if course not in ids))


def path_of(course: str, *, folder: Path = COURSES, own: Path | None = None) -> Path:
    """Where the file of a course lies, or should: what is shipped stands above what is one's own.
    Raises CourseError for an id that cannot be one, and for one that is not known."""
    if course in courses(folder=folder):
        return folder / f"{course}.toml"
    known = courses(folder=folder, own=own)
    if own is None or course not in known:
        path = (own or folder) / f"{course}.toml"
        listed = ", ".join(known) or "none"
        raise CourseError(f"{path}: there is no such file; known are {listed}")
    return own / f"{course}.toml"


def load_course(
    course: str = USUAL,
    *,
    folder: Path = COURSES,
    own: Path | None = None,
    decks: Mapping[str, Deck] = NO_DECKS,
    tradition: str = "",
) -> Course:
    """Read the course file `course`.toml of the shipped ones, else of one's own.

    `decks` are those that there are, by id, and `tradition` is a teacher's word, which may know of
    more ragas and talas. Raises CourseError with all faults, each with file, line, field, remedy.
    """
    path = path_of(course, folder=folder, own=own)
    is_own = path.parent != folder
    if is_own:
        check_file(path)
    text = read_text(path, error=CourseError)
    with suppress(CourseError):  # with its decks it may be another
        found = _without_decks(text, path, tradition, is_own)
        if not found.decks:
            return found
    table = table_of(text, path, error=CourseError)
    return course_of(course, table, decks, tradition, is_own=is_own)


def read_course(
    text: str, path: Path, *, decks: Mapping[str, Deck] = NO_DECKS, tradition: str = ""
) -> Course:
    """The course of one's own in this text; `path` is for messages and for its id. Raises
    CourseError."""
    table = table_of(text, path, error=CourseError)
    return course_of(path.stem, table, decks, tradition, is_own=True)


@lru_cache(maxsize=16)
def _without_decks(text: str, path: Path, tradition: str, is_own: bool) -> Course:
    """The course in this text, as it is where there are no decks. Kept, since most courses name
    none, and all of them are wanted whenever one is to be chosen. Raises CourseError."""
    table = table_of(text, path, error=CourseError)
    return course_of(path.stem, table, NO_DECKS, tradition, is_own=is_own)


def check_file(path: Path, *, folder: Path = COURSES) -> None:
    """Raises CourseError where a file of one's own cannot hold a course, whatever is in it."""
    if not names_file(path.stem):
        raise CourseError(f"{path}: its name should be of {_ID_WORDS}")
    if (folder / path.name).exists():
        raise CourseError(f"{path}: a course that is shipped is called so; give it another name")
    if path.exists() and path.stat().st_size > MOST_BYTES:
        raise CourseError(
            f"{path}: is larger than {MOST_BYTES // 1000} kB; a course is a short text"
        )
