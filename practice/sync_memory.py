"""What was read from and written to the folder kept in step; it only spares doing it again.

It lies in the folder that all students of the device share, never in the one kept in step. Where
it is lost, or of another folder, all is read anew, which changes nothing in any log.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from practice.small_files import put_table, table_in
from practice.sync_files import Found, Stamp

MEMORY_NAME = "in-step.json"
VERSION = 1
TAKEN, STRANGER, BROKEN, NEWER, OTHER = "taken", "stranger", "broken", "newer", "other"
"""What a file was when it was read: taken in; of a student who is not taken in here; not whole; of
a newer version of this program; no log file at all."""
_STATES = (TAKEN, STRANGER, BROKEN, NEWER, OTHER)


@dataclass(frozen=True, slots=True)
class Read:
    """A file that was read."""

    stamp: Stamp
    digest: str
    """"" for what is no log file."""
    state: str
    student: str = ""
    """The student's id, where it is known."""
    name: str = ""
    """What the file calls them."""
    words: str = ""
    """What is wrong with it."""


@dataclass(frozen=True, slots=True)
class Mine:
    """A student of this device: how far the log was looked at, and the file put there last."""

    log: tuple[Stamp | None, ...]
    """Of the log's files, by which it is known not to have changed."""
    until: int
    """The number of the last row that was looked at."""
    uuid: str | None
    """Which row that was, to tell another log in its place."""
    leavings: int
    """How many rows this device had written on what is left out."""
    is_owed: bool
    """Whether something answered here is not in a file there yet."""
    notes: int = 0
    """How many notes this device had written."""
    place: str = ""
    digest: str = ""


@dataclass(slots=True)
class SyncMemory:
    """Of one folder: files by place, students by id, and what was done last."""

    folder: str
    files: dict[str, Read] = field(default_factory=dict)
    students: dict[str, Mine] = field(default_factory=dict)
    taken: tuple[str, str] | None = None
    """When something was taken in last, in ISO 8601 with its offset, and what, in words."""
    written: tuple[str, str] | None = None
    """The same of what was put there."""

    def is_known(self, found: Found) -> Read | None:
        """What a file was, if it has not changed since it was read."""
        read = self.files.get(found.place)
        return read if read is not None and read.stamp == found.stamp else None

    def has_taken(self, digest: str, student: str) -> bool:
        """Whether the same content was taken in, or put there, under any name."""
        taken = (read for read in self.files.values() if read.state == TAKEN)
        if any((read.digest, read.student) == (digest, student) for read in taken):
            return True
        mine = self.students.get(student)
        return mine is not None and mine.digest == digest

    def forget(self, student: str) -> None:
        """Let all files of a student be read anew: the log is not the one they were taken into."""
        self.files = {at: read for at, read in self.files.items() if read.student != student}

    def keep_only(self, places: Iterable[str]) -> None:
        """Forget files that are there no more."""
        there = set(places)
        self.files = {at: read for at, read in self.files.items() if at in there}

    def save(self, home: Path) -> None:
        """Raises OSError."""
        put_table(home / MEMORY_NAME, {"version": VERSION, **asdict(self)})


def remembered(home: Path, folder: str) -> SyncMemory:
    """What is remembered of this folder; nothing where that cannot be read."""
    try:
        table = table_in(home / MEMORY_NAME)
        if table.get("version") == VERSION and table["folder"] == folder:
            return SyncMemory(
                folder,
                {str(at): _read_of(each) for at, each in table["files"].items()},
                {str(name): _mine_of(each) for name, each in table["students"].items()},
                _said(table["taken"]),
                _said(table["written"]),
            )
    except (OSError, ValueError, LookupError, TypeError, AttributeError):
        pass  # as if it were not there
    return SyncMemory(folder)


def _read_of(table: Mapping[str, Any]) -> Read:
    texts = {name: _text(table[name]) for name in ("digest", "state", "student", "name", "words")}
    if texts["state"] not in _STATES:
        raise ValueError(texts["state"])
    return Read(stamp=_stamp_of(table["stamp"]), **texts)


def _mine_of(table: Mapping[str, Any]) -> Mine:
    return Mine(
        log=tuple(None if each is None else _stamp_of(each) for each in table["log"]),
        until=int(table["until"]),
        uuid=None if table["uuid"] is None else _text(table["uuid"]),
        leavings=int(table["leavings"]),
        is_owed=bool(table["is_owed"]),
        notes=int(table.get("notes", 0)),  # older versions knew of none
        place=_text(table["place"]),
        digest=_text(table["digest"]),
    )


def _said(value: Any) -> tuple[str, str] | None:
    if value is None:
        return None
    at, words = map(_text, value)
    if datetime.fromisoformat(at).tzinfo is None:
        raise ValueError(at)
    return at, words


def _stamp_of(values: list[int]) -> Stamp:
    size, mtime_ns, ctime_ns = map(int, values)
    return Stamp(size, mtime_ns, ctime_ns)


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError(value)
    return value
