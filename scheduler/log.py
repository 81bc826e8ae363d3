"""The log: every answer, one row each, only ever added; on disk before `append` returns.

An SQLite file in write-ahead mode with synchronous=FULL. One connection, guarded by a lock: a Log
may be opened on one thread and used on another. Where rows come from several devices, each
device's own order is kept and the devices are merged by time.
"""

from __future__ import annotations

import contextlib
import sqlite3
import threading
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from scheduler import checked
from scheduler.answer import Answer, Meeting
from scheduler.errors import AnswerError, DamagedLogError, LogError, RowConflictError
from scheduler.merged import BEFORE_ALL, merged
from scheduler.opening import (
    open_for_reading,
    open_for_writing,
    readable_rows,
    remove,
    set_aside,
    telling,
)
from scheduler.schema import COLUMNS, INSERT, MEETING_COLUMNS, answer_of, row_of

_ROWS_AT_ONCE = 1000
_AFTER_ALL = 2**63 - 1  # rows are numbered with 64 bits
_NONSENSE = (TypeError, ValueError, ArithmeticError, RecursionError, sqlite3.IntegrityError)


class Dated(NamedTuple):
    """A meeting and what its place in the order hangs on: the latest time that its device had
    seen, and then the device's name."""

    latest_ms: int
    device: str
    meeting: Meeting


class Log:
    """The log at `path`, founded if there is none.

    `trouble` is None, or says in plain words that a damaged file was found, under which name it is
    kept and how many answers were carried over from it. Waits `wait_s` for a locked file. Raises
    LogError (see `scheduler.errors`), each with the file, what is wrong and the remedy.
    """

    def __init__(self, path: Path | str, *, wait_s: float = 5.0) -> None:
        self.path = Path(path)
        self.trouble: str | None = None
        self._lock = threading.RLock()
        self._check: checked.Check | None
        try:
            self._db, self._check = open_for_writing(self.path, wait_s=wait_s)
        except DamagedLogError as error:
            aside, carried = self._mend()
            self._db, self._check = open_for_writing(self.path, wait_s=wait_s)
            self.trouble = (
                f"The log {self.path.name} could not be used: {error.wrong}. It is kept as "
                f"{aside.name} in {aside.parent}. A new log was begun; {carried} answers could "
                "still be read and were carried over."
            )

    @classmethod
    def reading(cls, path: Path | str) -> Log:
        """The log at `path` for reading only, such as a student's; it is never changed.

        Raises NotALogError, DamagedLogError, NewerLogError or LogError.
        """
        log = cls.__new__(cls)
        log.path, log.trouble, log._lock = Path(path), None, threading.RLock()
        log._check = None
        log._db = open_for_reading(log.path)
        return log

    def __enter__(self) -> Log:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        with self._lock:
            self._db.close()
            if self._check is not None:
                checked.put(self.path, self._check)
                self._check = None

    def append(self, answer: Answer) -> None:
        """Add one answer; it is on disk when this returns.

        Appending it again does nothing. Raises RowConflictError if another answer stands under
        its uuid, and FullDiskError, LockedLogError or UnwritableLogError.
        """
        self.append_all([answer])

    def append_all(self, answers: Iterable[Answer]) -> int:
        """Add all answers or none, such as another device's; returns how many were new."""
        new = 0
        with self._lock, self._telling(), self._db.atomic():
            for answer in answers:
                new += self._insert(answer)
        return new

    def answers(self, student: str | None = None) -> Iterator[Answer]:
        """All answers in order, or those of one student."""
        return map(answer_of, self._rows(COLUMNS, student))

    def meetings(self, student: str | None = None) -> Iterator[Meeting]:
        """What memory needs of all answers, in order; several times faster than `answers`."""
        return map(Meeting._make, self._rows(MEETING_COLUMNS, student))

    def dated_meetings(
        self,
        student: str,
        *,
        after: int = BEFORE_ALL,
        until: int = _AFTER_ALL,
        latest_ms: Mapping[str, int] | None = None,
    ) -> Iterator[Dated]:
        """The meetings in the rows after one number and until another, in order among themselves.

        `latest_ms` is what each device had seen before them.
        """
        streams = self._streams(MEETING_COLUMNS, student, after, until)
        for latest, device, row in merged(streams, latest_ms or {}):
            yield Dated(latest, device, Meeting._make(row))

    def latest(self, student: str, skill: str, count: int) -> list[Answer]:
        """The last answers of `student` on `skill` that came into the log, the newest first."""
        columns = ", ".join(f"[{name}]" for name in COLUMNS)
        query = f"SELECT {columns} FROM answers WHERE student = ? AND skill = ?"
        rows = self._ask(f"{query} ORDER BY rowid DESC LIMIT ?", student, skill, count)
        return [answer_of(row) for row in rows]

    def students(self) -> tuple[str, ...]:
        """Everybody who has answered, by name."""
        return tuple(row[0] for row in self._ask(_STUDENTS))

    def count(self) -> int:
        return int(self._ask("SELECT count(*) FROM answers")[0][0])

    def numbers(self) -> tuple[int, int]:
        """The first and the last row number; (1, 0) when there are none.

        They rise by one with each row unless another program has written into the file.
        """
        query = "SELECT (SELECT min(rowid) FROM answers), (SELECT max(rowid) FROM answers)"
        first, last = self._ask(query)[0]
        return (1, 0) if last is None else (first, last)

    def count_between(self, after: int, until: int) -> int:
        """How many rows there are after one number and until another."""
        query = "SELECT count(*) FROM answers NOT INDEXED WHERE rowid > ? AND rowid <= ?"
        return int(self._ask(query, after, until)[0][0])

    def uuids_at(self, rows: Iterable[int]) -> list[str | None]:
        """The answers' uuids in rows of these numbers; None where there is no such row."""
        query = "SELECT uuid FROM answers WHERE rowid = ?"
        found = (self._ask(query, row) for row in rows)
        return [row[0][0] if row else None for row in found]

    def copy_to(self, path: Path | str) -> None:
        """Write a whole copy into one file, to be handed on. Raises LogError if `path` exists.

        Copying the file itself would miss the newest answers, which stand in its companion.
        """
        target = Path(path)
        if target.exists():
            raise LogError(target, wrong="it exists already", remedy="Choose another name")
        with self._lock, telling(target):
            copy = sqlite3.connect(target)
            try:
                self._db.conn.backup(copy)
                copy.execute("PRAGMA journal_mode = DELETE")
            finally:
                copy.close()

    def _insert(self, answer: Answer) -> bool:
        row = row_of(answer)
        try:
            self._db.conn.execute(INSERT, row)
        except sqlite3.IntegrityError:
            columns = ", ".join(f"[{name}]" for name in COLUMNS)
            found = self._ask(f"SELECT {columns} FROM answers WHERE uuid = ?", answer.uuid)
            if not found:
                raise
            if found[0] != row:
                raise RowConflictError(
                    self.path,
                    wrong=f"another answer stands under uuid {answer.uuid}",
                    remedy="Give every answer a uuid of its own",
                ) from None
            return False
        return True

    def _mend(self) -> tuple[Path, int]:
        """Put a log of what can still be read in the place of a damaged one; returns the latter's
        new name and how many answers were carried over.

        All are carried over before the damaged one is touched, so that nothing is half done where
        the program is killed or the disk full.
        """
        draft = self.path.with_name(f"{self.path.name}.mended")
        remove(draft)
        try:
            with Log(draft) as log:
                carried = log._carry_over(readable_rows(self.path))
            aside = set_aside(self.path)
            draft.rename(self.path)
        finally:
            remove(draft)
        return aside, carried

    def _carry_over(self, rows: Iterable[Sequence[Any]]) -> int:
        carried = 0
        with self._lock, self._telling(), self._db.atomic():
            for row in rows:
                try:
                    carried += self._insert(answer_of(row))
                except (AnswerError, RowConflictError, *_NONSENSE):
                    continue  # damage has made nonsense of it; it stays in the file kept
        return carried

    def _ask(self, query: str, *values: object) -> list[tuple[Any, ...]]:
        with self._lock, self._telling():
            return self._db.conn.execute(query, values).fetchall()

    @contextlib.contextmanager
    def _telling(self) -> Iterator[None]:
        try:
            with telling(self.path):
                yield
        except DamagedLogError:
            self._check = None  # to be checked whole when it is opened next
            raise

    def _rows(self, columns: Iterable[str], student: str | None) -> Iterator[tuple[Any, ...]]:
        streams = self._streams(columns, student, BEFORE_ALL, _AFTER_ALL)
        return (row for _, _, row in merged(streams, {}))

    def _streams(
        self, columns: Iterable[str], student: str | None, after: int, until: int
    ) -> dict[str, Iterator[tuple[Any, ...]]]:
        """The rows after one number and until another, in their order, by device; to each row its
        time is added at the end."""
        # Through an index whole rows would come in no order, and each would be looked up.
        source = "FROM answers NOT INDEXED WHERE rowid > ? AND rowid <= ?"
        values: tuple[object, ...] = (after, until)
        if student is not None:
            source, values = f"{source} AND student = ?", (*values, student)
        devices = [row[0] for row in self._ask(f"SELECT DISTINCT device {source}", *values)]
        query = f"SELECT {', '.join(f'[{name}]' for name in columns)}, utc_ms {source}"
        if len(devices) == 1:  # spares comparing each
            return {devices[0]: self._fetched(f"{query} ORDER BY rowid", values)}
        query = f"{query} AND device = ? ORDER BY rowid"
        return {device: self._fetched(query, (*values, device)) for device in devices}

    def _fetched(self, query: str, values: tuple[object, ...]) -> Iterator[tuple[Any, ...]]:
        with self._lock, self._telling():
            cursor = self._db.conn.execute(query, values)
        while True:
            with self._lock, self._telling():
                rows = cursor.fetchmany(_ROWS_AT_ONCE)
            if not rows:
                return
            yield from rows


# The names in turn, each by one look into the index: a DISTINCT would read all of it.
_STUDENTS = """
WITH RECURSIVE known(name) AS (
    SELECT min(student) FROM answers
    UNION ALL
    SELECT (SELECT min(student) FROM answers WHERE student > name) FROM known
    WHERE name IS NOT NULL
)
SELECT name FROM known WHERE name IS NOT NULL
"""
