"""Tables of a TOML file, read field by field; a fault is told with file, line, field and remedy."""

from __future__ import annotations

import tomllib
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from quizzes.decks.limits import LONGEST_LINE
from quizzes.errors import At, QuizError
from quizzes.places import Path as Place
from quizzes.places import Places, places_in
from quizzes.signs import told, undrawn

NO_TOML = "mend the file, it should be TOML in UTF-8"


def read_table(path: Path, *, error: type[QuizError]) -> Table:
    """The whole file as a table. Raises `error` where it is not there or is no TOML."""
    return table_of(read_text(path, error=error), path, error=error)


def read_text(path: Path, *, error: type[QuizError]) -> str:
    """The text of a TOML file. Raises `error` where it is not there or is no text."""
    try:
        return path.read_text(encoding="utf-8")
    except FileNotFoundError as fault:
        known = ", ".join(sorted(each.stem for each in path.parent.glob("*.toml"))) or "none"
        raise error(f"{path}: there is no such file; known are {known}") from fault
    except (OSError, UnicodeDecodeError) as fault:
        raise error(f"{path}: {fault}; {NO_TOML}") from fault


def table_of(text: str, path: Path, *, error: type[QuizError]) -> Table:
    """A whole text as a table; `path` is for messages. Raises `error` where it is no TOML."""
    for number, line in enumerate(text.split("\n"), 1):
        if len(line) > LONGEST_LINE:  # a key of so many parts would take minutes
            wrong = f"has more than {LONGEST_LINE} characters; break it"
            raise error(f"{path}, line {number}: {wrong}")
    try:
        return Table(path, text, tomllib.loads(text), error)
    except (ValueError, RecursionError) as fault:  # a number or a nest may be too large to be read
        raise error(f"{path}: {fault}; {NO_TOML}") from fault


@dataclass(frozen=True)
class Table:
    """One table of a file, at `place` in it, `whole` being its text; knows at which line each field
    stands.

    `error` is what it raises, with file, line, field and remedy. `heading` and `number` say which
    table it is, such as the second [[theka]]; a [source] that stands once has number 0, and a
    [theka.source] the number of its [[theka]].
    """

    path: Path
    whole: str
    values: Mapping[str, Any]
    error: type[QuizError]
    heading: str = ""
    number: int = 0
    place: Place = ()

    def text(self, field: str, *, needed: bool = True) -> str:
        value = self.values.get(field, None if needed else "")
        if not isinstance(value, str) or (needed and not value.strip()):
            raise self.fault(field, "should be a text in quotes")
        self._check_signs(field, value)
        return value.strip()

    def texts(self, field: str, *, needed: bool = True) -> tuple[str, ...]:
        value = self.values.get(field, None if needed else [])
        if not isinstance(value, list) or not all(isinstance(each, str) for each in value):
            raise self.fault(field, 'should be a list of texts, such as ["drut"]')
        if needed and not value:
            raise self.fault(field, "is empty; it should name at least one")
        for each in value:
            self._check_signs(field, each)
        return tuple(value)

    def _check_signs(self, field: str, text: str) -> None:
        if sign := undrawn(text):
            raise self.fault(field, "; ".join(told(sign)), value=text)

    def switch(self, field: str) -> bool:
        """False where it is left out."""
        value = self.values.get(field, False)
        if not isinstance(value, bool):
            raise self.fault(field, f"should be true or false; given {shown(value)}")
        return value

    def numbers(self, field: str, *, single: bool = False) -> tuple[int, ...]:
        value = self.values.get(field)
        numbers = [value] if single else value
        if not isinstance(numbers, list) or not all(
            type(each) is int and each > 0 for each in numbers
        ):
            wanted = "a whole number" if single else "a list of whole numbers"
            raise self.fault(field, f"should be {wanted} above 0; given {shown(value)}")
        return tuple(numbers)

    def one_of(self, field: str, known: Collection[str]) -> str:
        """One of the texts that are known; "" where it is left out and that is one of them."""
        value = self.text(field, needed="" not in known)
        if value not in known:
            listed = ", ".join(each for each in known if each)
            raise self.fault(field, f"{value!r} is not known; it should be one of {listed}")
        return value

    def span(self, field: str, *, most: float) -> tuple[float, float]:
        """Two numbers, from 0 to `most`, the first no larger than the second."""
        value = self.values.get(field)
        if not (
            isinstance(value, list)
            and len(value) == 2
            and all(type(each) in (int, float) for each in value)
            and 0 <= value[0] <= value[1] <= most
        ):
            raise self.fault(
                field, f"should be two numbers, from and to, of 0 to {most:g}; given {shown(value)}"
            )
        return float(value[0]), float(value[1])

    def inner(self, heading: str) -> Table:
        value = self.values.get(heading)
        if not isinstance(value, dict):
            raise self.fault(heading, f"should be a table [{self._path(heading)}]")
        path = self._path(heading)
        return replace(self, values=value, heading=path, place=(*self.place, heading))

    def inners(self, heading: str) -> list[Table]:
        """A list of tables; None stands for one that was taken out, so that the others keep their
        numbers."""
        value = self.values.get(heading, [])
        if not isinstance(value, list) or not all(
            each is None or isinstance(each, dict) for each in value
        ):
            raise self.fault(heading, f"should be tables [[{self._path(heading)}]]")
        path = self._path(heading)
        return [
            replace(
                self,
                values=each,
                heading=path,
                number=number,
                place=(*self.place, heading, number - 1),
            )
            for number, each in enumerate(value, 1)
            if each is not None
        ]

    def _path(self, heading: str) -> str:
        return f"{self.heading}.{heading}" if self.heading else heading

    def only(self, known: set[str]) -> None:
        for field in self.values:
            if field not in known:
                raise self.fault(field, f"is not known; known are {', '.join(sorted(known))}")

    def fault(self, field: str, message: str, *, value: str = "") -> QuizError:
        """The error to raise; a `value` of a list that fills several lines is looked up there."""
        where = f"{self.heading} {self.number or ''}".strip() + ", " if self.heading else ""
        place = (*self.place, field, *self._last(field, value))
        line = _places_in(self.whole).line_of(place)
        error = self.error(f"{self.path}, line {line}: {where}{field}: {message}")
        error.at = At(self.heading, self.number, field, line, message, (*self.place, field))
        return error

    def _last(self, field: str, value: str) -> tuple[int, ...]:
        """Where in a list a value stands last: a repeated one is the one at fault."""
        values = self.values.get(field)
        if not value or not isinstance(values, list) or value not in values:
            return ()
        return (len(values) - 1 - values[::-1].index(value),)


@lru_cache(maxsize=4)
def _places_in(text: str) -> Places:
    """Walked over once, however many faults it has."""
    return places_in(text)


def shown(value: object) -> str:
    """A value as a message shows it: short, and whatever it is."""
    if isinstance(value, (dict, list)):
        return "a table" if isinstance(value, dict) else "a list"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and abs(value) >= 10**LONGEST_SHOWN:
        return "a number with very many digits"
    text = repr(value) if isinstance(value, str) else str(value)
    return text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 1] + "…"


LONGEST_SHOWN = 60
