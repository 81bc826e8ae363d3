"""about.json of a log file: whose log it is, when it was written, and what its entries must be."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any, NoReturn

from scheduler.answer import is_deeper

FORMAT = 2
"""Version of the whole file, the newest that is known here."""
MARK = "kaan-log"
"""Under which the format stands, in no other file of ours."""
MOST_BYTES = 2**31 - 1
"""Of an entry: three million answers, and what a zip file of the plain form holds."""
LONGEST_STUDENT = 200
"""Characters of an id."""
_MOST_DEEP = 8
_DIGEST = re.compile("[0-9a-f]{64}")


class AboutError(Exception):
    """What is wrong with a text that should be about.json."""


class NotAboutError(AboutError):
    """It is somebody else's."""


class NewerAboutError(AboutError):
    """It was written by a newer version of this program."""


@dataclass(frozen=True, slots=True)
class Entry:
    """What an entry must be: how many lines of how many bytes, and their SHA-256 in hex."""

    rows: int
    bytes: int
    sha256: str


@dataclass(frozen=True, slots=True)
class About:
    student: str
    """The student's id, which is in every row."""
    written: datetime
    about: Mapping[str, Any]
    """What else the writer tells of the student; nothing is known of it here."""
    entries: Mapping[str, Entry]
    format: int = FORMAT

    def text(self) -> str:
        """As it stands in the file."""
        told = {
            MARK: self.format,
            "student": self.student,
            "written": self.written.isoformat(timespec="milliseconds"),
            "about": self.about,
            "entries": {name: asdict(entry) for name, entry in self.entries.items()},
        }
        return f"{json.dumps(told, ensure_ascii=False, indent=2, allow_nan=False)}\n"


def read_about(data: bytes, names_in: Mapping[int, frozenset[str]]) -> About:
    """What a text tells of a file whose entries have these names, by its format. Raises
    AboutError."""
    try:
        told = json.loads(data, object_pairs_hook=_unlike, parse_constant=_refuse)
        json.dumps(told, ensure_ascii=False, allow_nan=False).encode()  # what fits into no file
    except (ValueError, RecursionError) as error:
        raise AboutError("it is no JSON") from error
    if type(told) is not dict or type(told.get(MARK)) is not int:
        raise NotAboutError("it is not Kaan's")
    if told[MARK] > FORMAT:
        raise NewerAboutError(f"its format is {told[MARK]}, newer than {FORMAT}"[:80])
    if told[MARK] not in names_in:
        raise AboutError(f"{MARK}={told[MARK]} is no format"[:80])
    check_student(told.get("student"))
    if type(told.get("about")) is not dict or is_deeper(told["about"], _MOST_DEEP):
        raise AboutError("about: should be an object that is not nested deeply")
    entries, names = told.get("entries"), names_in[told[MARK]]
    if type(entries) is not dict or entries.keys() != names:
        raise AboutError(f"entries: should tell of {', '.join(sorted(names))}")
    read = {name: _read_entry(name, entry) for name, entry in entries.items()}
    written = _read_time(told.get("written"))
    return About(told["student"], written, told["about"], read, told[MARK])


def check_student(value: Any) -> None:
    """That it can be shown as a student's id. Raises AboutError."""
    if type(value) is not str or not value:
        raise AboutError("student: should be a text that is not empty")
    if len(value) > LONGEST_STUDENT or not value.isprintable():
        raise AboutError(f"student: should be at most {LONGEST_STUDENT} signs that can be seen")


def _read_time(value: Any) -> datetime:
    try:
        written = datetime.fromisoformat(value)
        written.astimezone()  # no year of which no date can be made in every zone
        if written.utcoffset() is not None:
            return written
    except (TypeError, ValueError, OverflowError):
        pass
    raise AboutError("written: should be a time with its offset, as in RFC 3339")


def _read_entry(name: str, entry: Any) -> Entry:
    if type(entry) is not dict or entry.keys() != {"rows", "bytes", "sha256"}:
        raise AboutError(f"entries: {name}: should tell rows, bytes and sha256")
    for count in ("rows", "bytes"):
        if type(entry[count]) is not int or not 0 <= entry[count] <= MOST_BYTES:
            raise AboutError(f"entries: {name}: {count}={entry[count]!r:.40} cannot be")
    if type(entry["sha256"]) is not str or not _DIGEST.fullmatch(entry["sha256"]):
        raise AboutError(f"entries: {name}: sha256={entry['sha256']!r:.80} cannot be")
    return Entry(**entry)


def _unlike(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """An object in which no name stands twice."""
    found = dict(pairs)
    if len(found) != len(pairs):
        raise AboutError("a name stands twice in it")
    return found


def _refuse(name: str) -> NoReturn:
    raise AboutError(f"it is no JSON: {name} is no number there")
