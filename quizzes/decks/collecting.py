"""The tables of a deck, read field by field: every fault is noted, and the reading goes on."""

from __future__ import annotations

import unicodedata
from collections.abc import Collection, Iterator, Mapping
from difflib import get_close_matches
from typing import Any

from quizzes.decks.faults import Fault
from quizzes.decks.limits import LONGEST_ANSWER, LONGEST_ID, MOST_FAULTS
from quizzes.fields import shown
from quizzes.names import listed
from quizzes.places import Path, Places
from quizzes.signs import told, undrawn

SEEN = frozenset(("name", "about", "by", "prompt", "why", "text", "things", "first", "then"))
"""Fields whose texts are shown as they are; of others what they mean is shown."""


class Full(Exception):
    """There are so many faults that no more are looked for."""


class Noted:
    """The faults of one file, in the order in which they were found."""

    def __init__(self, file: str, places: Places) -> None:
        self.file, self.places = file, places
        self.faults: list[Fault] = []

    def note(self, path: Path, wrong: str, remedy: str) -> None:
        """Something is wrong with the field at `path`."""
        self.faults.append(fault_of(self.file, self.places.line_of(path), path, wrong, remedy))
        if len(self.faults) >= MOST_FAULTS:
            raise Full


def fault_of(file: str, line: int, path: Path, wrong: str, remedy: str) -> Fault:
    """A fault of the field at `path`, which is named from its question on where it is in one."""
    entry, inner = None, path
    if len(path) > 1 and path[0] == "question" and isinstance(path[1], int):
        entry, inner = path[1], path[2:]
    return Fault(file, line, in_words(inner), printable(wrong), printable(remedy), entry)


def in_words(path: Path) -> str:
    """A field's place for readers, counting from 1: `choice 2, text`; `question` for nothing."""
    words = ""
    for part in path:
        words += f" {part + 1}" if isinstance(part, int) else f", {_key(part)}"
    return words.removeprefix(", ").strip() or "question"


def _key(key: str) -> str:
    short = key if len(key) <= LONGEST_ID else key[: LONGEST_ID - 1] + "…"
    return printable(short) or '""'


def printable(text: str) -> str:
    """A text without signs that cannot be seen, such as those that a message quotes."""
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in text)


def nearest(word: str, known: Collection[str]) -> str:
    """The known word that was meant, it seems; "" where none is near."""
    if len(word) > 2 * LONGEST_ID:
        return ""
    names = list(known)
    # Capitals alone tell R from r: of what differs in nothing else the nearest was meant.
    alike = [name for name in names if name.lower() == word.lower()]
    if alike:
        return max(alike, key=lambda name: sum(map(str.__eq__, name, word)))
    found = get_close_matches(word, names, 1) or get_close_matches(word.lower(), names, 1)
    return found[0] if found else ""


def such_as(word: str, known: Collection[str], *, most: int = 8) -> str:
    """A remedy: the nearest of what is known, else all of it where that is not much."""
    near = nearest(word, known)
    if near:
        return f"write {near}"
    names = sorted(known)
    return f"write one of {listed(names[:most], 'or')}" + " …" * (len(names) > most)


class Part:
    """One table of a deck, at `path`; what is asked of it is noted where it is wrong."""

    def __init__(self, values: Mapping[str, Any], path: Path, noted: Noted) -> None:
        self.values, self.path, self._noted = values, path, noted
        self._meant: set[str] = set()
        """Fields for which a misspelt key stands, it seems: that is told already."""

    def __contains__(self, field: str) -> bool:
        return field in self.values

    @property
    def at(self) -> int:
        """Which of its list it is, from 0; 0 for one of no list."""
        last = self.path[-1] if self.path else 0
        return last if isinstance(last, int) else 0

    @property
    def faults(self) -> int:
        """How many faults were noted so far, in all."""
        return len(self._noted.faults)

    def fault(self, field: str, wrong: str, remedy: str, *inside: str | int) -> None:
        """Note a fault of a field, or of what lies inside it."""
        self._noted.note((*self.path, field, *inside), wrong, remedy)

    def line_of(self, field: str, *inside: str | int) -> int:
        return self._noted.places.line_of((*self.path, field, *inside))

    def wrong(self, wrong: str, remedy: str) -> None:
        """Note a fault of the whole table."""
        self._noted.note(self.path, wrong, remedy)

    def lacks(self, field: str) -> bool:
        """Whether a field is left out, and no misspelt key stands for it."""
        return field not in self.values and field not in self._meant

    def missing(self, field: str, remedy: str) -> None:
        """Note that a field is missing, where it is."""
        if self.lacks(field):
            self.fault(field, "is missing", remedy)

    def text(
        self, field: str, *, most: int, remedy: str = "", needed: bool = True, lines: bool = False
    ) -> str:
        """A text; "" where it is wrong or left out. `remedy` is for where it is missing; `lines`
        says whether it may go over several."""
        if field not in self.values:
            if needed:
                self.missing(field, remedy or f'write {field} = "…"')
            return ""
        return self.text_in(self.values[field], field, most=most, needed=needed, lines=lines)

    def text_in(
        self,
        value: object,
        field: str,
        *inside: str | int,
        most: int,
        needed: bool = True,
        lines: bool = False,
    ) -> str:
        """The same of a value that lies inside a field."""
        if not isinstance(value, str):
            self.fault(field, f"{shown(value)} is no text", "put a text in quotes", *inside)
            return ""
        text = value.strip()
        if needed and not text:
            self.fault(field, "is empty", "write something between the quotes", *inside)
        elif len(text) > most:
            self.fault(field, f"has {len(text)} characters", f"write at most {most}", *inside)
        elif (sign := _unprintable(text, lines=lines)) is not None:
            said = (
                "breaks off in the middle" if sign == "\n" else f"holds the sign U+{ord(sign):04X}"
            )
            remedy = "write it as one line" if sign in "\n\r\t" else "leave that sign out"
            self.fault(field, said, f"{remedy}; a \\ in a text stands between '…'", *inside)
        elif field in SEEN and (sign := undrawn(text)):
            self.fault(field, *told(sign), *inside)
        else:
            return text
        return ""

    def switch(self, field: str, *, needed: bool = False) -> bool | None:
        """true or false; None where it is wrong or left out."""
        value = self.values.get(field)
        remedy = f"write {field} = true or {field} = false, without quotes"
        if value is None:
            if needed:
                self.missing(field, remedy)
            return None
        if not isinstance(value, bool):
            self.fault(field, f"{shown(value)} is neither true nor false", remedy)
            return None
        return value

    def number(self, field: str, least: float, most: float, *, whole: bool = False) -> float | None:
        """A number from `least` to `most`; None where it is wrong or left out."""
        value = self.values.get(field)
        if value is None:
            return None
        fits = type(value) is int if whole else type(value) in (int, float)
        if not fits or not least <= value <= most:
            sort = "a whole number" if whole else "a number"
            said = f"write {sort} from {least:g} to {most:g}, without quotes"
            self.fault(field, f"{shown(value)} cannot be used", said)
            return None
        return float(value)

    def listed(
        self, field: str, *, most: int, example: str, longest: int = LONGEST_ANSWER
    ) -> list[tuple[int, str]]:
        """The texts of a list, each with its place in it; those that are wrong left out."""
        value = self.values.get(field, [])
        if not isinstance(value, list) or not value:
            if field in self.values:
                said = "is empty" if value == [] else f"{shown(value)} is no list of texts"
                self.fault(field, said, f"write it such as {field} = {example}")
            return []
        return self.texts_in(value, field, most=most, longest=longest)

    def texts_in(
        self,
        values: list[Any],
        field: str,
        *inside: str | int,
        most: int,
        longest: int = LONGEST_ANSWER,
    ) -> list[tuple[int, str]]:
        """The same of a list that lies inside a field; a text that stands there twice is wrong."""
        if len(values) > most:
            self.fault(field, f"names {len(values)}", f"name at most {most}", *inside)
            return []
        found: dict[str, int] = {}
        for at, each in enumerate(values):
            text = self.text_in(each, field, *inside, at, most=longest)
            if text in found:
                first = self.line_of(field, *inside, found[text])
                said = f"{text} stands there already, at line {first}"
                self.fault(field, said, "leave one of them out", *inside, at)
            elif text:
                found[text] = at
        return [(at, text) for text, at in found.items()]

    def tables(self, field: str) -> Iterator[Part]:
        """The tables of `[[question.field]]`, or of `[[field]]` at the top."""
        values = self.values.get(field, [])
        if not isinstance(values, list):
            self.fault(field, "is no list of tables", f"begin each with {self._heading(field)}")
            return
        for at, each in enumerate(values):
            if isinstance(each, dict):
                yield Part(each, (*self.path, field, at), self._noted)
            else:
                said = f"{shown(each)} is no table"
                self.fault(field, said, f"begin each with {self._heading(field)}", at)

    def _heading(self, field: str) -> str:
        above = ".".join(part for part in self.path if isinstance(part, str))
        return f"[[{above}.{field}]]" if above else f"[[{field}]]"

    def only(self, known: Collection[str], elsewhere: Mapping[str, str]) -> None:
        """Note every key that is not known; `elsewhere` says of some where they belong. What such
        a key was meant for is not told to be missing afterwards."""
        for key in self.values:
            if key in known:
                continue
            if key in elsewhere:
                self.fault(key, "does not belong here", elsewhere[key])
                continue
            near = nearest(key, known)
            self._meant.add(near)
            remedy = f"write {near}" if near else f"known are {', '.join(sorted(known))}"
            self.fault(key, "is not known here", f"{remedy}, or leave it out")


def _unprintable(text: str, *, lines: bool) -> str | None:
    """The first control character."""
    for sign in text:
        if unicodedata.category(sign) == "Cc" and not (lines and sign == "\n"):
            return sign
    return None
