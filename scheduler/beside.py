"""Reading what stands beside a log's answers: which sessions are left out, and notes."""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sqlite_utils import Database

from scheduler import checked
from scheduler.errors import DamagedLogError
from scheduler.leaving import Leaving, Pair, left_out_of
from scheduler.notes import Note, in_order
from scheduler.opening import telling
from scheduler.schema import LEAVING_COLUMNS, NOTE_COLUMNS, leaving_of, listed, note_of


class Beside:
    """The small tables of an open log; `scheduler.rows` reads the answers."""

    path: Path
    _db: Database
    _lock: threading.RLock
    _check: checked.Check | None

    def left_out(self, student: str) -> frozenset[str]:
        """The sessions of `student` that are left out."""
        return frozenset(session for _, session in self._left_out(student))

    def leavings(self, student: str | None = None) -> list[Leaving]:
        """All that was ever left out or put back, in the order in which it came into the log."""
        if not self._knows("left_out"):
            return []
        query = f"SELECT {listed(LEAVING_COLUMNS)} FROM left_out"
        rows = self._ask(f"{query} WHERE ?1 IS NULL OR student = ?1 ORDER BY rowid", student)
        return [leaving_of(row) for row in rows]

    def notes(self, student: str | None = None, what: str | None = None) -> list[Note]:
        """All notes in order, or those of one student, or under one word."""
        if not self._knows("notes"):
            return []
        named = {"student = ?": student, "what = ?": what}
        wanted = {clause: value for clause, value in named.items() if value is not None}
        where = f"WHERE {' AND '.join(wanted)} " if wanted else ""
        query = f"SELECT {listed(NOTE_COLUMNS)} FROM notes {where}ORDER BY rowid"
        return in_order(map(note_of, self._ask(query, *wanted.values())))

    def noted_on(self, student: str, device: str) -> int:
        """How many notes of `student` were made on this device."""
        if not self._knows("notes"):
            return 0
        query = "SELECT count(*) FROM notes WHERE student = ? AND device = ?"
        return int(self._ask(query, student, device)[0][0])

    def _knows(self, table: str) -> bool:
        """Whether there is this table: not in a log of an older version, open for reading."""
        return bool(self._ask("SELECT 1 FROM sqlite_master WHERE name = ?", table))

    def _left_out(self, student: str | None) -> frozenset[Pair]:
        return left_out_of(self.leavings(student))

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
