"""Courses: which skills a student takes, and in which order they are met.

A course is a TOML file under `assets/courses/`: `name`, `about`, `source` where it follows somebody
else's syllabus, then `[[step]]` tables, each with a `name` and what is met in it, in this order:

    skills = ["swara:S", "gap:S-P:up"]      ids of skills, as `main.py kinds KIND` lists them
    ragas = ["yaman", "bhupali"]            what is asked of these ragas
    talas = ["tintal", "jhaptal"]           what is asked of these talas
    ask = ["raga-from-phrase:note"]         of that only what begins so; all of it unless given

Order in the file is order of meeting. What a step asks of ragas or of talas is met kind by kind, in
the order in which kinds are usually met, so that those of a step are met side by side; what an
earlier step has asked is not met again.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from quizzes.catalogue import is_of_talas, skill_of
from quizzes.errors import CourseError, UnknownSkill
from quizzes.fields import Table, read_table
from quizzes.kept import OF_RAGAS, skills_of
from quizzes.kinds import KINDS
from quizzes.question import Skill
from quizzes.ragas.asking import raga_in
from quizzes.ragas.reading import raga_ids
from quizzes.talas.asking import talas_in
from quizzes.talas.reading import tala_ids

COURSES = Path(__file__).parent.parent / "assets" / "courses"
USUAL = "first-path"


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
    source: str
    steps: tuple[Step, ...]

    @property
    def skills(self) -> tuple[Skill, ...]:
        return tuple(skill for step in self.steps for skill in step.skills)


def courses(*, folder: Path = COURSES) -> tuple[str, ...]:
    """The ids of all courses of a folder, the usual one first."""
    ids = sorted(path.stem for path in folder.glob("*.toml"))
    return tuple(sorted(ids, key=lambda course: course != USUAL))


def load_course(course: str = USUAL, *, folder: Path = COURSES) -> Course:
    """Read the course file `course`.toml. Raises CourseError with file, line, field and remedy."""
    table = read_table(folder / f"{course}.toml", error=CourseError)
    table.only({"name", "about", "source", "step"})
    steps = table.inners("step")
    if not steps:
        raise table.fault("step", "a course needs at least one [[step]]")
    seen = _Seen()
    return Course(
        course,
        table.text("name"),
        table.text("about"),
        table.text("source", needed=False),
        tuple(_step(step, seen) for step in steps),
    )


class _Seen:
    """What came in earlier steps: ids of skills, and the ragas asked in them."""

    def __init__(self) -> None:
        self.skills: set[str] = set()
        self.ragas: set[str] = set()

    def add(self, skill: Skill) -> None:
        self.skills.add(skill.id)
        if skill.id.startswith(OF_RAGAS):
            self.ragas.add(raga_in(skill.id))


def _step(table: Table, seen: _Seen) -> Step:
    """One step; what is `seen` already came in an earlier one."""
    table.only({"name", "skills", "ragas", "talas", "ask"})
    if "ragas" in table.values and "talas" in table.values:
        raise table.fault("talas", "stands beside ragas; give each a step of its own")
    name = table.text("name")
    skills = []
    for text in table.texts("skills", needed=not table.values.keys() & {"ragas", "talas"}):
        skill = _skill(table, text)
        if skill.id in seen.skills:
            said = f"{skill.id} stands twice in the course; remove one"
            raise table.fault("skills", said, value=skill.id)
        seen.add(skill)
        skills.append(skill)
    brought = _of_ragas(table, seen) if "ragas" in table.values else _of_talas(table)
    for skill in list(brought):
        if skill.id not in seen.skills:
            seen.add(skill)
            skills.append(skill)
    if not skills:
        field = "ragas" if "ragas" in table.values else "talas"
        raise table.fault(field, f"nothing new is asked of these {field} so; remove the step")
    return Step(name, tuple(skills))


def _skill(table: Table, text: str) -> Skill:
    try:
        return skill_of(text)
    except UnknownSkill as error:
        raise table.fault("skills", str(error), value=text) from error


def _of_ragas(table: Table, seen: _Seen) -> Iterator[Skill]:
    """Where two ragas are asked against each other, the second of them brings it in."""
    chosen = table.texts("ragas")
    beginnings = table.texts("ask", needed=False) or (OF_RAGAS,)
    for raga in chosen:
        if raga not in _known():
            said = f"{raga!r} is no raga known here; `main.py raga` lists them"
            raise table.fault("ragas", said, value=raga)
    met = seen.ragas | set(chosen)
    places = sorted({place for raga in chosen for place in _places().get(raga, ())})
    skills = [_skills_of_ragas()[place] for place in places]
    for beginning in beginnings:
        if not _is_asked(beginning):
            said = f"nothing that is asked of ragas begins with {beginning!r}"
            raise table.fault("ask", said, value=beginning)
        for skill in skills:
            if skill.id.startswith(beginning) and met.issuperset(_ragas_of(skill)):
                yield skill


def _of_talas(table: Table) -> Iterator[Skill]:
    """Way by way of asking, and in each way the talas in the order of the step."""
    chosen = table.texts("talas", needed=False)
    for tala in chosen:
        if tala not in tala_ids():
            said = f"{tala!r} is no tala known here; `main.py tala` lists them"
            raise table.fault("talas", said, value=tala)
    beginnings = table.texts("ask", needed=False)
    for beginning in beginnings:
        if not any(skill.id.startswith(beginning) for skill in _skills_of_talas()):
            said = f"nothing that is asked of talas begins with {beginning!r}"
            raise table.fault("ask", said, value=beginning)
    for beginning in beginnings or ("",):
        ways: dict[str, dict[str, Skill]] = {}
        for skill in _skills_of_talas():
            for tala in talas_in([skill.id], chosen):
                if skill.id.startswith(beginning):
                    ways.setdefault(skill.id.replace(tala, ""), {})[tala] = skill
        for of_talas in ways.values():
            yield from (of_talas[tala] for tala in chosen if tala in of_talas)


@cache
def _skills_of_talas() -> tuple[Skill, ...]:
    return tuple(skill for kind in KINDS if is_of_talas(kind) for skill in skills_of(kind))


@cache
def _known() -> frozenset[str]:
    return frozenset(raga_ids())


@cache
def _is_asked(beginning: str) -> bool:
    return any(skill.id.startswith(beginning) for skill in _skills_of_ragas())


@cache
def _skills_of_ragas() -> tuple[Skill, ...]:
    return tuple(skill for kind in KINDS if kind.startswith(OF_RAGAS) for skill in skills_of(kind))


@cache
def _places() -> Mapping[str, Sequence[int]]:
    """Where, in the order of meeting, what is asked of each raga stands."""
    places: dict[str, list[int]] = {}
    for place, skill in enumerate(_skills_of_ragas()):
        for raga in _ragas_of(skill):
            places.setdefault(raga, []).append(place)
    return places


def _ragas_of(skill: Skill) -> tuple[str, ...]:
    return tuple(raga_in(skill.id).split("-"))
