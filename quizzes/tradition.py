"""A teacher's file: on ragas, on talas and on the stages of a performance, in one TOML text.

The modules `tradition` of `quizzes.ragas`, `quizzes.talas` and `quizzes.stages` say what may stand
in it; so do `quizzes.talas.layakari` of layakaris, `quizzes.stages.fitting` of what suits what, and
`quizzes.stages.layouts` of how time is shared out.

One fault does not take the whole file out of force: all faults are collected, and what is good
stands (`Words.text`).
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from quizzes.decks.faults import Fault
from quizzes.drafts import TextDraft
from quizzes.errors import At, QuizError, RagaError, StageError, TalaError
from quizzes.fields import NO_TOML, Table
from quizzes.places import places_in
from quizzes.ragas import tradition as of_ragas
from quizzes.stages import fitting, layouts
from quizzes.stages import tradition as of_stages
from quizzes.talas import layakari as of_layakaris
from quizzes.talas import tradition as of_talas

MOST_BYTES = 200_000
"""Of a tradition; a teacher's word on all ragas that are known takes less."""
MOST_FAULTS = 200
"""So many are looked for; of a file with more nothing is in force."""
AS_TOLD = "write it so"
"""The remedy where what is wrong says what would be right."""
DEEPEST = 12
"""So many tables and lists may lie within one another."""
_HEADING = re.compile(r"\s*\[")
_ENDLESS = re.compile(r"[\d_]{4000,}")
_AT_LINE = re.compile(r"\(at line (\d+)")


class TraditionError(QuizError):
    """A teacher's file that is not whole; `faults` are all that is wrong."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        self.faults = faults
        super().__init__("\n".join(map(str, faults)))


@dataclass(frozen=True, slots=True)
class Words:
    """What a teacher's file says."""

    text: str
    """What of it is in force: the file's own text where nothing is wrong with it."""
    faults: tuple[Fault, ...] = ()


def load_tradition(path: Path) -> str:
    """The text of a tradition's file, checked. Raises TraditionError with all faults."""
    words = load_words(path)
    if words.faults:
        raise TraditionError(words.faults)
    return words.text


def load_words(path: Path) -> Words:
    """What a tradition's file says, and what is wrong with it."""
    try:
        return read_words(path.read_bytes().decode("utf-8"), str(path))
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        return Words("", (Fault(str(path), 1, "", reason, "it should be a file of TOML in UTF-8"),))


def read_words(text: str, file: str = "tradition.toml") -> Words:
    """What a text says, and what is wrong with it; `file` is for messages."""
    text = text.replace("\r\n", "\n").removeprefix("\ufeff")
    if len(text.encode("utf-8", "replace")) > MOST_BYTES:
        remedy = f"keep it below {MOST_BYTES // 1000} kB"
        return Words("", (Fault(file, 1, "", "is too large for a teacher's word", remedy),))
    if places_in(text, deepest=DEEPEST + 1).deepest > DEEPEST:
        wrong = f"its tables lie more than {DEEPEST} deep within one another"
        return Words("", (Fault(file, 1, "", wrong, "leave out what is deeper"),))
    faults: list[Fault] = []
    values = _parsed(text, file, faults)
    taken_out: set[tuple[str | int, ...]] = set()
    while (error := _first_fault(text, values, file)) is not None:
        at = error.at
        if at is None or len(faults) >= MOST_FAULTS:
            return Words("", (*faults, Fault(file, 1, "", str(error), "mend what stands above")))
        if at.place not in taken_out:
            faults.append(_fault(at, file))
        taken_out |= _take_out(values, at.place)
    if not faults:
        return Words(text)
    faults.sort(key=lambda fault: fault.line)
    in_force = TextDraft("", file)
    in_force.put((), _whole(values))
    return Words(in_force.text, tuple(faults))


def _parsed(text: str, file: str, faults: list[Fault]) -> dict[str, Any]:
    """The values of a text; a table in which it is no TOML is left out, and its fault added."""
    lines = text.split("\n")
    while any(lines):
        try:
            return tomllib.loads("\n".join(lines))
        except (ValueError, RecursionError) as error:
            at, wrong = _fault_of_toml(str(error), lines)
            if len(faults) < MOST_FAULTS:
                faults.append(Fault(file, at, "", wrong, NO_TOML))
            else:
                break
            begin = max((n for n in range(at) if _HEADING.match(lines[n])), default=0)
            end = next((n for n in range(at, len(lines)) if _HEADING.match(lines[n])), len(lines))
            lines[begin:end] = [""] * (end - begin)
    return {}


def _fault_of_toml(said: str, lines: list[str]) -> tuple[int, str]:
    """At which line a text is no TOML, and what is wrong; at the last that is not empty where the
    fault is only known at the end."""
    if found := _AT_LINE.search(said):
        return min(int(found[1]), len(lines)), said.partition(" (at ")[0]
    for number, line in enumerate(lines, 1):
        if _ENDLESS.search(line):  # which Python does not read
            return number, "A number has very many digits"
    last = max(number for number, line in enumerate(lines, 1) if line)
    return last, said.partition(" (at ")[0]


def _first_fault(text: str, values: dict[str, Any], file: str) -> QuizError | None:
    """What the first reader that does not take it says."""
    of = Table(Path(file), text, values, RagaError)
    try:
        of_ragas.read_told(of, of_ragas.ragas())
        of = replace(of, error=TalaError)
        in_talas = of_talas.read_told(of, of_talas.talas())
        of_layakaris.read_told(of, of_layakaris.layakaris())
        of = replace(of, error=StageError)
        taught = of_stages.read_told(of, of_stages.form(), in_talas)
        fitting.read_told(of, fitting.fits(), in_talas)
        layouts.read_told(of, layouts.layouts(), taught)
    except QuizError as error:
        return error
    return None


def _fault(at: At, file: str) -> Fault:
    wrong, _, remedy = at.message.partition("; ")
    if not remedy:
        wrong, remedy = at.message, AS_TOLD
    heading = f"{at.heading} {at.number or ''}".strip()
    return Fault(file, at.line, ", ".join(filter(None, (heading, at.field))), wrong, remedy)


def _take_out(values: dict[str, Any], place: tuple[str | int, ...]) -> set[tuple[str | int, ...]]:
    """Take the field at this place out, or where it is missing what should hold it; gives the
    places that are gone."""
    for end in range(len(place), 0, -1):
        inside: Any = values
        for key in place[: end - 1]:
            inside = _within(inside, key)
        key = place[end - 1]
        if _within(inside, key) is None:
            continue
        if isinstance(inside, list):
            inside[int(key)] = None
        else:
            del inside[key]
        return {place, place[:end]}
    values.clear()
    return {place}


def _within(inside: Any, key: str | int) -> Any:
    if isinstance(inside, dict):
        return inside.get(key)
    at = int(key) if isinstance(key, int) else -1
    return inside[at] if isinstance(inside, list) and 0 <= at < len(inside) else None


def _whole(values: Any) -> Any:
    """Without the places of tables that were taken out."""
    if isinstance(values, dict):
        return {key: _whole(each) for key, each in values.items()}
    if isinstance(values, list):
        return [_whole(each) for each in values if each is not None]
    return values
