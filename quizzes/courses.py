"""Courses: which skills a student takes, and in which order they are met.

A course is a TOML file under `assets/courses/`: `name`, `about`, then `[[step]]` tables, each with
a `name` and a list `skills` of skill ids. Order in the file is order of meeting.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from pathlib import Path

from quizzes.catalogue import skill_of
from quizzes.errors import CourseError, UnknownSkill
from quizzes.question import Skill

COURSES = Path(__file__).parent.parent / "assets" / "courses"


@dataclass(frozen=True, slots=True)
class Step:
    """A few skills that belong together."""

    name: str
    skills: tuple[Skill, ...]


@dataclass(frozen=True, slots=True)
class Course:
    id: str
    name: str
    about: str
    steps: tuple[Step, ...]

    @property
    def skills(self) -> tuple[Skill, ...]:
        return tuple(skill for step in self.steps for skill in step.skills)


def load_course(course: str = "first-path", *, folder: Path = COURSES) -> Course:
    """Read the course file `course`.toml. Raises CourseError with file, place and remedy."""
    path = folder / f"{course}.toml"
    try:
        text = path.read_text(encoding="utf-8")
        data = tomllib.loads(text)
    except FileNotFoundError as error:
        known = ", ".join(sorted(p.stem for p in folder.glob("*.toml"))) or "none"
        raise CourseError(f"{path}: there is no such course; known are {known}") from error
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise CourseError(f"{path}: {error}; mend the file, it should be TOML in UTF-8") from error
    return _Reader(path, text).course(course, data)


class _Reader:
    """Checks the tables of one course file; knows where in the file a value stands."""

    def __init__(self, path: Path, text: str) -> None:
        self._path = path
        self._lines = text.splitlines()
        self._seen: set[str] = set()

    def course(self, course: str, data: dict[str, object]) -> Course:
        self._only(data, {"name", "about", "step"}, "the course")
        steps = data.get("step")
        if not isinstance(steps, list) or not steps:
            raise self._fault("step", "a course needs at least one [[step]]")
        return Course(
            course,
            self._text(data, "name", "the course"),
            self._text(data, "about", "the course"),
            tuple(self._step(number, step) for number, step in enumerate(steps, 1)),
        )

    def _step(self, number: int, step: object) -> Step:
        where = f"step {number}"
        if not isinstance(step, dict):
            raise self._fault("step", f"{where} should be a [[step]] table with name and skills")
        self._only(step, {"name", "skills"}, where)
        skills = step.get("skills")
        if not isinstance(skills, list) or not skills:
            raise self._fault("skills", f'{where} needs skills, a list such as ["swara:S"]')
        return Step(
            self._text(step, "name", where), tuple(self._skill(skill, where) for skill in skills)
        )

    def _skill(self, skill: object, where: str) -> Skill:
        try:
            found = skill_of(skill) if isinstance(skill, str) else None
        except UnknownSkill as error:
            raise self._fault(str(skill), f"{where}, skills: {error}") from error
        if found is None:
            raise self._fault("skills", f"{where}, skills: {skill!r} should be text in quotes")
        if found.id in self._seen:
            raise self._fault(found.id, f"{where}, skills: {found.id} stands twice; remove one")
        self._seen.add(found.id)
        return found

    def _text(self, table: dict[str, object], key: str, where: str) -> str:
        value = table.get(key)
        if not isinstance(value, str) or not value.strip():
            raise self._fault(key, f"{where} needs {key}, a text in quotes")
        return value

    def _only(self, table: dict[str, object], known: set[str], where: str) -> None:
        for key in table:
            if key not in known:
                raise self._fault(
                    key, f"{where}: {key!r} is not known; known are {', '.join(sorted(known))}"
                )

    def _fault(self, token: str, message: str) -> CourseError:
        """With the last line that holds the token: a repeated one is the one at fault."""
        pattern = re.compile(rf"(?<![\w:'-]){re.escape(token)}(?![\w:'-])")
        lines = [number for number, line in enumerate(self._lines, 1) if pattern.search(line)]
        place = f", line {lines[-1]}" if lines else ""
        return CourseError(f"{self._path}{place}: {message}")
