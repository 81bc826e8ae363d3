"""The log: every answer, one row each, only ever added; on disk before `append` returns.

A session may be left out, as somebody else's, and put back: its answers stay, and count for
nothing while it is (`scheduler.leaving`).

An SQLite file in write-ahead mode with synchronous=FULL. One connection, guarded by a lock: a Log
may be opened on one thread and used on another. `scheduler.rows` reads it.
"""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from scheduler import checked
from scheduler.answer import Answer, milliseconds_of
from scheduler.errors import AnswerError, DamagedLogError, LogError, RowConflictError
from scheduler.leaving import Leaving
from scheduler.opening import (
    open_for_reading,
    open_for_writing,
    readable_rows,
    remove,
    set_aside,
    telling,
)
from scheduler.rows import Rows
from scheduler.schema import (
    COLUMNS,
    INSERT,
    INSERT_LEAVING,
    LEAVING_COLUMNS,
    answer_of,
    leaving_of,
    leaving_row_of,
    listed,
    row_of,
)

_NONSENSE = (TypeError, ValueError, ArithmeticError, RecursionError, sqlite3.IntegrityError)


class Log(Rows):
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
            if checked.is_open(self.path):  # whoever holds it would go on with the one set aside
                raise
            aside, carried = self._mend()
            self._db, self._check = open_for_writing(self.path, wait_s=wait_s)
            self.trouble = (
                f"The log {self.path.name} could not be used: {error.wrong}. It is kept as "
                f"{aside.name} in {aside.parent}. A new log was begun; {carried} answers could "
                "still be read and were carried over."
            )
        self._file: tuple[int, int] | None = checked.note_open(self.path)

    @classmethod
    def reading(cls, path: Path | str) -> Log:
        """The log at `path` for reading only, such as a student's; it is never changed.

        Raises NotALogError, DamagedLogError, NewerLogError or LogError.
        """
        log = cls.__new__(cls)
        log.path, log.trouble, log._lock = Path(path), None, threading.RLock()
        log._check = log._file = None
        log._db = open_for_reading(log.path)
        return log

    def __enter__(self) -> Log:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        with self._lock:
            self._db.close()
            if self._file is not None:
                checked.note_closed(self._file)
                self._file = None
            if self._check is not None:
                checked.put(self.path, self._check)
                self._check = None

    def append(self, answer: Answer) -> None:
        """Add one answer; it is on disk when this returns.

        Appending it again does nothing. Raises RowConflictError if another answer stands under
        its uuid, and FullDiskError, LockedLogError or UnwritableLogError.
        """
        self.append_all([answer])

    def append_all(self, rows: Iterable[Answer | Leaving]) -> int:
        """Add all rows or none, such as another device's; returns how many were new.

        Those are its `answers` and its `leavings`; in which order they come does not matter.
        """
        new = 0
        with self._lock, self._telling(), self._db.atomic():
            for row in rows:
                new += self._insert(row)
        return new

    def leave_out(self, *sessions: str, student: str, device: str, utc: datetime) -> None:
        """Let the answers of these sessions count for nothing from now on; they stay in the log.

        All or none of it is on disk when this returns. Raises as `append` does, and AnswerError.
        """
        self._say(sessions, student, device, utc, is_out=True)

    def put_back(self, *sessions: str, student: str, device: str, utc: datetime) -> None:
        """Let the answers of these sessions count again; see `leave_out`."""
        self._say(sessions, student, device, utc, is_out=False)

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

    def _say(
        self, sessions: Iterable[str], student: str, device: str, utc: datetime, *, is_out: bool
    ) -> None:
        query = "SELECT max(utc_ms) FROM left_out WHERE student = ? AND session = ?"
        rows: list[Leaving] = []
        now_ms = milliseconds_of(utc)
        for session in sessions:
            before_ms = self._ask(query, student, session)[0][0]
            # Later than all that was said of it, or a clock set back would make this say nothing.
            at_ms = now_ms if before_ms is None else max(now_ms, before_ms + 1)
            said = {"student": student, "session": session, "device": device}
            rows.append(Leaving(**said, is_out=is_out, utc_ms=at_ms))
        self.append_all(rows)

    def _insert(self, given: Answer | Leaving) -> bool:
        row: tuple[Any, ...]
        columns: tuple[str, ...]
        if isinstance(given, Leaving):
            table, columns, what = "left_out", LEAVING_COLUMNS, "row on what is left out"
            insert, row = INSERT_LEAVING, leaving_row_of(given)
        else:
            table, columns, what = "answers", COLUMNS, "answer"
            insert, row = INSERT, row_of(given)
        try:
            self._db.conn.execute(insert, row)
        except sqlite3.IntegrityError:
            found = self._ask(f"SELECT {listed(columns)} FROM {table} WHERE uuid = ?", given.uuid)
            if not found:
                raise
            if found[0] != row:
                raise RowConflictError(
                    self.path,
                    wrong=f"another {what} stands under uuid {given.uuid}",
                    remedy="Give every row a uuid of its own",
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
                log._carry_over(leaving_of, readable_rows(self.path, "left_out", LEAVING_COLUMNS))
                carried = log._carry_over(answer_of, readable_rows(self.path, "answers", COLUMNS))
            aside = set_aside(self.path)
            draft.rename(self.path)
        finally:
            remove(draft)
        return aside, carried

    def _carry_over(
        self, read: Callable[[Sequence[Any]], Answer | Leaving], rows: Iterable[Sequence[Any]]
    ) -> int:
        carried = 0
        with self._lock, self._telling(), self._db.atomic():
            for row in rows:
                try:
                    carried += self._insert(read(row))
                except (AnswerError, RowConflictError, *_NONSENSE):
                    continue  # damage has made nonsense of it; it stays in the file kept
        return carried
