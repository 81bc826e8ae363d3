"""The log: every answer, one row each, only ever added; on disk before `append` returns.

An SQLite file in write-ahead mode with synchronous=FULL. One connection, guarded by a lock: a Log
may be opened on one thread and used on another. Where rows come from several devices, each
device's own order is kept and the devices are merged by time.
"""

from __future__ import annotations

import heapq
import sqlite3
import threading
from collections.abc import Iterable, Iterator
from operator import itemgetter
from pathlib import Path
from typing import Any

from scheduler.answer import Answer, Meeting
from scheduler.errors import AnswerError, DamagedLogError, LogError, RowConflictError
from scheduler.opening import (
    open_for_reading,
    open_for_writing,
    readable_rows,
    set_aside,
    telling,
)
from scheduler.schema import COLUMNS, INSERT, MEETING_COLUMNS, answer_of, row_of

_ROWS_AT_ONCE = 1000


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
        try:
            self._db = open_for_writing(self.path, wait_s=wait_s)
        except DamagedLogError as error:
            aside = set_aside(self.path)
            self._db = open_for_writing(self.path, wait_s=wait_s)
            carried = self._carry_over(aside)
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
        log._db = open_for_reading(log.path)
        return log

    def __enter__(self) -> Log:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        with self._lock:
            self._db.close()

    def append(self, answer: Answer) -> None:
        """Add one answer; it is on disk when this returns.

        Appending it again does nothing. Raises RowConflictError if another answer stands under
        its uuid, and FullDiskError, LockedLogError or UnwritableLogError.
        """
        self.append_all([answer])

    def append_all(self, answers: Iterable[Answer]) -> int:
        """Add all answers or none, such as another device's; returns how many were new."""
        new = 0
        with self._lock, telling(self.path), self._db.atomic():
            for answer in answers:
                new += self._insert(answer)
        return new

    def answers(self, student: str | None = None) -> Iterator[Answer]:
        """All answers in order, or those of one student."""
        return map(answer_of, self._rows(COLUMNS, student))

    def meetings(self, student: str | None = None) -> Iterator[Meeting]:
        """What memory needs of all answers, in order; several times faster than `answers`."""
        return map(Meeting._make, self._rows(MEETING_COLUMNS, student))

    def students(self) -> tuple[str, ...]:
        """Everybody who has answered, by name."""
        return tuple(row[0] for row in self._ask("SELECT DISTINCT student FROM answers ORDER BY 1"))

    def count(self) -> int:
        return int(self._ask("SELECT count(*) FROM answers")[0][0])

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

    def _carry_over(self, aside: Path) -> int:
        carried = 0
        for row in readable_rows(aside):
            try:
                self.append(answer_of(row))
            except (AnswerError, LogError, TypeError, ValueError):
                continue  # a row that damage has made nonsense of; it stays in the file kept
            carried += 1
        return carried

    def _ask(self, query: str, *values: object) -> list[tuple[Any, ...]]:
        with self._lock, telling(self.path):
            return self._db.conn.execute(query, values).fetchall()

    def _rows(self, columns: Iterable[str], student: str | None) -> Iterator[tuple[Any, ...]]:
        names = list(columns)
        where, values = ("", ()) if student is None else (" AND student = ?", (student,))
        devices = [row[0] for row in self._ask("SELECT DISTINCT device FROM answers ORDER BY 1")]
        query = f"SELECT {', '.join(f'[{name}]' for name in names)} FROM answers"
        if len(devices) < 2:
            return self._fetched(f"{query} WHERE true{where} ORDER BY rowid", values)
        query = f"{query} WHERE device = ?{where} ORDER BY rowid"
        streams = [self._fetched(query, (device, *values)) for device in devices]
        return _merged(streams, time_at=names.index("utc_ms"))

    def _fetched(self, query: str, values: tuple[object, ...]) -> Iterator[tuple[Any, ...]]:
        with self._lock, telling(self.path):
            cursor = self._db.conn.execute(query, values)
        while True:
            with self._lock, telling(self.path):
                rows = cursor.fetchmany(_ROWS_AT_ONCE)
            if not rows:
                return
            yield from rows


def _merged(streams: list[Iterator[tuple[Any, ...]]], *, time_at: int) -> Iterator[tuple[Any, ...]]:
    """Merge by the latest time that each stream has seen, so that none is put out of order."""

    def dated(stream: Iterator[tuple[Any, ...]], number: int) -> Iterator[tuple[int, int, Any]]:
        latest = -(2**63)
        for row in stream:
            latest = max(latest, row[time_at])
            yield latest, number, row

    by_time = heapq.merge(*(dated(s, n) for n, s in enumerate(streams)), key=itemgetter(0, 1))
    for _, _, row in by_time:
        yield row
