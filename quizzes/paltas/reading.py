"""The paltas and their layouts, read from `assets/paltas.toml`.

    [[grade]]   id, name: in order, the easiest first
    [[layout]]  id, name, matra, after, confidence, source
    [[palta]]   id, name, also, grade, shape, layouts, confidence, source
    [[straight]]  raga, up, down, confidence, source: how a raga whose ways turn is run in fast
                  passages, in sargam; it may stand in none

`quizzes.paltas.palta` says what each field means. `shape` is a text such as "0 2 1"; `also`
may be left out. `confidence` is A where two sources have it, B where one does, C where
it is common practice from memory.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from audio.errors import SargamError
from audio.sargam import parse
from audio.tuning import Swara
from quizzes.errors import PaltaError
from quizzes.fields import Table, read_table
from quizzes.paltas.palta import AFTER, Grade, Layout, Palta, Shape, Straight
from quizzes.ragas.reading import CONFIDENCES, RAGAS

FILE = Path(__file__).parent.parent.parent / "assets" / "paltas.toml"

FEWEST_SWARAS, MOST_SWARAS = 2, 12
WIDEST = 7
"""Degrees that a group may span: a saptak."""
FEWEST_LAYOUTS = 2
MOST_PARTS = 8

_ID = re.compile(r"[a-z]+(-[a-z]+)*")


@dataclass(frozen=True, slots=True)
class Library:
    """All that the file tells, each in its order."""

    grades: tuple[Grade, ...]
    layouts: Mapping[str, Layout]
    paltas: Mapping[str, Palta]
    straights: Mapping[str, Straight]
    """By the raga's id."""


def load_library(path: Path = FILE) -> Library:
    """Read a file of paltas. Raises PaltaError with file, line, field and remedy."""
    table = read_table(path, error=PaltaError)
    table.only({"grade", "layout", "palta", "straight"})
    grades = _by_id(table, "grade", _grade)
    layouts = _by_id(table, "layout", _layout)
    paltas = _by_id(table, "palta", lambda each: _palta(each, grades, layouts))
    _check_apart(table, paltas)
    for each in grades:
        if all(palta.grade != each for palta in paltas.values()):
            raise table.fault("grade", f"no palta is of the grade {each!r}; add one or drop it")
    return Library(tuple(grades.values()), layouts, paltas, _straights(table))


@cache
def library() -> Library:
    """What is shipped."""
    return load_library()


def paltas() -> Mapping[str, Palta]:
    """All paltas by id, in the order of the file: grade by grade."""
    return library().paltas


def grades() -> tuple[Grade, ...]:
    """The easiest first."""
    return library().grades


def layouts() -> Mapping[str, Layout]:
    return library().layouts


def straights() -> Mapping[str, Straight]:
    """How ragas whose ways turn are run straight, by the raga's id."""
    return library().straights


def of_grade(grade: str) -> tuple[Palta, ...]:
    """The paltas of a grade, by its id."""
    return tuple(palta for palta in paltas().values() if palta.grade == grade)


def layouts_for(swaras: int) -> tuple[Layout, ...]:
    """The layouts that paltas with so many swaras to a group take, in the order of the file."""
    taken = {
        each for palta in paltas().values() if palta.swaras == swaras for each in palta.layouts
    }
    return tuple(layout for layout in layouts().values() if layout.id in taken)


T = TypeVar("T", Grade, Layout, Palta)


def _by_id(table: Table, heading: str, read: Callable[[Table], T]) -> Mapping[str, T]:
    found: dict[str, T] = {}
    names: set[str] = set()
    for each in table.inners(heading):
        one = read(each)
        if _ID.fullmatch(one.id) is None:
            raise each.fault("id", f"{one.id!r} should be small letters, with - between words")
        if one.id in found:
            raise each.fault("id", f"{one.id!r} is there already; choose another")
        if one.name in names:
            raise each.fault("name", f"{one.name!r} is there already; choose another")
        found[one.id] = one
        names.add(one.name)
    if not found:
        raise table.fault(heading, f"there is none; add a [[{heading}]]")
    return MappingProxyType(found)


def _grade(table: Table) -> Grade:
    table.only({"id", "name"})
    return Grade(table.text("id"), table.text("name"))


def _layout(table: Table) -> Layout:
    table.only({"id", "name", "matra", "after", "confidence", "source"})
    matra = table.text("matra")
    if re.fullmatch(rf"x[x-]{{0,{MOST_PARTS - 1}}}", matra) is None:
        raise table.fault(
            "matra",
            f"{matra!r} should be up to {MOST_PARTS} signs, x a swara and - a hold, "
            'the first x, such as "x-xx"',
        )
    return Layout(
        table.text("id"),
        table.text("name"),
        matra,
        table.one_of("after", AFTER),
        table.text("source"),
        table.one_of("confidence", CONFIDENCES),
    )


def _palta(table: Table, grades: Collection[str], layouts: Mapping[str, Layout]) -> Palta:
    table.only({"id", "name", "also", "grade", "shape", "layouts", "confidence", "source"})
    return Palta(
        table.text("id"),
        table.text("name"),
        table.text("also", needed=False),
        table.one_of("grade", grades),
        _shape(table),
        _layouts(table, layouts),
        table.text("source"),
        table.one_of("confidence", CONFIDENCES),
    )


def _straights(table: Table) -> Mapping[str, Straight]:
    found: dict[str, Straight] = {}
    for each in table.inners("straight"):
        each.only({"raga", "up", "down", "confidence", "source"})
        raga = each.text("raga")
        if not (RAGAS / f"{raga}.toml").is_file():
            raise each.fault("raga", f"{raga!r} is no raga known here; write the id of one")
        if raga in found:
            raise each.fault("raga", f"{raga!r} is there already; leave one of the two out")
        found[raga] = Straight(
            raga,
            _way(each, "up", rising=True),
            _way(each, "down", rising=False),
            each.one_of("confidence", CONFIDENCES),
            each.text("source"),
        )
    return MappingProxyType(found)


def _way(table: Table, field: str, *, rising: bool) -> tuple[Swara, ...]:
    text = table.text(field)
    try:
        way = tuple(note.swara for note in parse(text).notes())
    except SargamError as error:
        raise table.fault(field, f"{text!r} should be sargam: {error}") from error
    steps = [swara.steps if rising else -swara.steps for swara in way]
    if any(after <= before for before, after in pairwise(steps)):
        side = "rise" if rising else "fall"
        raise table.fault(field, f"{text!r} should {side} all along; leave its turns out")
    return way


def _shape(table: Table) -> Shape:
    text = table.text("shape")
    if re.fullmatch(r"0( -?[0-9])*", text) is None:
        raise table.fault(
            "shape", f'{text!r} should be degrees from the first swara, which is 0: "0 2 1"'
        )
    shape = tuple(map(int, text.split()))
    if not FEWEST_SWARAS <= len(shape) <= MOST_SWARAS:
        raise table.fault(
            "shape", f"it has {len(shape)} swaras; from {FEWEST_SWARAS} to {MOST_SWARAS} may stand"
        )
    if max(shape) - min(shape) > WIDEST:
        raise table.fault("shape", f"{text!r} should span {WIDEST} degrees at most")
    return shape


def _layouts(table: Table, known: Mapping[str, Layout]) -> tuple[str, ...]:
    named = table.texts("layouts")
    for each in named:
        if each not in known:
            raise table.fault(
                "layouts", f"{each!r} is not known; known are {', '.join(known)}", value=each
            )
    if len(set(named)) < max(FEWEST_LAYOUTS, len(named)):
        raise table.fault("layouts", f"should name {FEWEST_LAYOUTS} or more, each once")
    return named


def _check_apart(table: Table, paltas: Mapping[str, Palta]) -> None:
    """Two paltas that sound the same could not be told apart."""
    seen: dict[Shape, str] = {}
    for each, palta in zip(table.inners("palta"), paltas.values(), strict=True):
        before = seen.setdefault(palta.shape, palta.id)
        if before != palta.id:
            raise each.fault("shape", f"is that of {before!r}; change one or drop one")
