"""One fact that a teacher can teach otherwise: what is asked now, by whom, and what others have."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from quizzes.decks.faults import Fault
from quizzes.ragas.agreeing import NOT_TOLD
from quizzes.ragas.taught import TEACHER
from words import say, to_say

Path = tuple[str | int, ...]

SORTS = ("text", "names", "sargam", "lines", "numbers", "bols", "one", "some", "each")
"""How a fact is written: a text; texts with commas between; a line of sargam; several of them, or
of bols, one below the other; numbers; one of `options`; some of them, with spaces between; some
of them as a list."""
NOT_YET = to_say("Not told yet")
YOURS = to_say("Your word.")
"""To be said."""


@dataclass(frozen=True, slots=True)
class Saying:
    """What somebody teaches: in words, by whom, and what it puts into the file; `values` are none
    where it can only be read."""

    words: str
    by: str
    values: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact of what a table of the file is about."""

    table: Path
    fields: tuple[str, ...]
    """What stands for it in the table, first the one that is written."""
    title: str
    """As it is said, and so are all others that are in words."""
    sort: str
    now: str
    """What is asked now, in words."""
    by: str
    """By whom that is told, and how surely, in plain words."""
    written: str
    """As it is written in the form."""
    mine: bool = False
    """Whether it is the teacher's word."""
    others: tuple[Saying, ...] = ()
    confirm: str = ""
    """What is named to confirm it, where it is from memory; else ""."""
    options: tuple[tuple[str, str], ...] = ()
    hint: str = ""


def standing(confidence: str, source: str) -> str:
    """From whom a fact is and how surely, for a reader."""
    if confidence == TEACHER:
        return say(YOURS)
    if source == NOT_TOLD:
        return say("Nothing is asked by it.")
    if confidence == "C":
        return say("From memory. Little is asked by it until you confirm it.")
    if confidence == "A":
        return say("Sources agree: {sources}.", sources=source)
    if ";" in source:
        return say("From a few sources: {sources}.", sources=source)
    return say("From one source: {source}.", source=source)


def by_others(source: str) -> str:
    """Who teaches it otherwise."""
    if "memory" in source:
        return say("Taught by others, from memory.")
    return say("Told by {source}.", source=source)


def values_of(fact: Fact, written: str) -> dict[str, Any]:
    """What a text of the form puts into the file; nothing written takes the fact out."""
    field, text = fact.fields[0], written.strip()
    lines = [" ".join(line.split()) for line in text.splitlines() if line.strip()]
    value: Any = " ".join(text.split())
    if fact.sort == "names":
        value = [name for name in (" ".join(part.split()) for part in text.split(",")) if name]
    elif fact.sort == "lines":
        value = lines
    elif fact.sort == "each":
        value = text.split()
    elif fact.sort == "bols":
        value = [{"bols": line} for line in lines]
    elif fact.sort == "numbers":
        parts = text.replace(",", " ").split()
        value = [int(part) if part.isascii() and part.isdecimal() else part for part in parts]
    return {**dict.fromkeys(fact.fields), field: value or None}


def faults_of(fact: Fact, faults: Sequence[Fault]) -> tuple[Fault, ...]:
    """What is wrong with this fact; `faults` are those of the whole file."""
    table = ".".join(str(part) for part in fact.table)
    return tuple(fault for fault in faults if _is_of(fault.field, table, fact.fields))


def faults_of_table(table: Path, faults: Sequence[Fault]) -> tuple[Fault, ...]:
    """All that is wrong within a table of the file."""
    heading = ".".join(str(part) for part in table)
    return tuple(
        fault
        for fault in faults
        if fault.field == heading or fault.field.startswith((f"{heading},", f"{heading}."))
    )


def _is_of(where: str, table: str, fields: Collection[str]) -> bool:
    inside = [(f"{table}, {field}", f"{table}.{field}") for field in fields]
    return any(where == direct or where.startswith((f"{direct},", deep)) for direct, deep in inside)
