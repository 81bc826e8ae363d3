"""The log: every answer, one row each, only ever added; on disk before `append` returns.

A session may be left out, as somebody else's, and put back: its answers stay, and count for
nothing while it is (`scheduler.leaving`). Notes stand beside the answers (`scheduler.notes`).

An SQLite file in write-ahead mode with synchronous=FULL. One connection, guarded by a lock: a Log
may be opened on one thread and used on another. `scheduler.rows` reads it.
"""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterable
from datetime import date, datetime
from glob import escape
from pathlib import Path

from scheduler import backups, checked
from scheduler.answer import Answer, milliseconds_of
from scheduler.errors import DamagedLogError, RowConflictError
from scheduler.journal import NONSENSE, Journal
from scheduler.leaving import Leaving
from scheduler.mending import Saved, lacking
from scheduler.notes import Note
from scheduler.opening import (
    Opened,
    alone,
    open_for_reading,
    open_for_writing,
    remove,
    set_aside,
    settle,
)
from scheduler.rows import Rows
from scheduler.schema import listed
from scheduler.tables import Row, table_of

_GONE = "it is gone or empty, though there are backups of it"


class Log(Rows):
    """The log at `path`, founded if there is none.

    `trouble` is None, or says in plain words that a damaged file was found, under which name it is
    kept, how many answers were saved from where (`scheduler.mending`) and how many are missing.
    Every new row is written into a journal, too, unless `keeps_journal` is False. Waits `wait_s`
    for a locked file. Raises LogError (see `scheduler.errors`), each with the file, what is wrong
    and the remedy.
    """

    def __init__(
        self, path: Path | str, *, wait_s: float = 5.0, keeps_journal: bool = True
    ) -> None:
        self.path = Path(path)
        self.trouble: str | None = None
        self._lock = threading.RLock()
        self._journal = Journal(self.path) if keeps_journal else None
        try:
            self._look_for_it()
            opened = open_for_writing(self.path, wait_s=wait_s)
        except DamagedLogError:
            if checked.is_open(self.path):  # whoever holds it would go on with the one set aside
                raise
            with alone(self.path):
                opened = self._open_or_mend(wait_s)
        self._db, self._file, self._check = opened

    @classmethod
    def reading(cls, path: Path | str) -> Log:
        """The log at `path` for reading only, such as a student's; it is never changed.

        Raises NotALogError, DamagedLogError, NewerLogError or LogError.
        """
        log = cls.__new__(cls)
        log.path, log.trouble, log._lock = Path(path), None, threading.RLock()
        log._journal = None
        log._db, log._file, log._check = open_for_reading(log.path)
        return log

    def __enter__(self) -> Log:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        with self._lock:
            self._db.close()
            if self._journal is not None:
                self._journal.finish()
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

    def append_all(self, rows: Iterable[Row]) -> int:
        """Add all rows or none, such as another device's; returns how many were new.

        Those are its `answers`, its `leavings` and its `notes`; in which order these three come
        does not matter.
        """
        new, first = 0, dict[str, int]()
        with self._lock:
            with self._telling(), self._db.atomic():
                for row in rows:
                    number = self._insert(row)
                    if number is not None:
                        new += 1
                        first.setdefault(table_of(row).name, number)
            if first and self._journal is not None:
                self._journal.add(self._db.conn, first)
        return new

    @property
    def journal_trouble(self) -> str | None:
        """Why the newest rows stand in the log alone, in plain words; mostly None."""
        return None if self._journal is None else self._journal.trouble

    def back_up(self, day: date, stop: threading.Event | None = None) -> Path | None:
        """Make the backup of this day, if one is due, and bring the journal up to date; returns
        where it is. Takes its time: to be called on a thread of its own, while others go on.

        Raises LogError; DamagedLogError where the log is found to be torn, which is then mended
        when it is opened next. Raises backups.StoppedError soon after `stop` is set.
        """
        with self._lock:
            if self._journal is not None:
                self._journal.add(self._db.conn, {})
        with self._telling():
            return backups.back_up(self.path, day, stop)

    def leave_out(self, *sessions: str, student: str, device: str, utc: datetime) -> None:
        """Let the answers of these sessions count for nothing from now on; they stay in the log.

        All or none of it is on disk when this returns. Raises as `append` does, and AnswerError.
        """
        self._say(sessions, student, device, utc, is_out=True)

    def put_back(self, *sessions: str, student: str, device: str, utc: datetime) -> None:
        """Let the answers of these sessions count again; see `leave_out`."""
        self._say(sessions, student, device, utc, is_out=False)

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

    def _insert(self, given: Row) -> int | None:
        """The number of the row; None where it stands already."""
        table = table_of(given)
        row = table.values(given)
        try:
            return self._db.conn.execute(table.insert, row).lastrowid
        except sqlite3.IntegrityError:
            chosen = f"SELECT {listed(table.columns)} FROM {table.name}"
            found = self._ask(f"{chosen} WHERE uuid = ?", given.uuid)
            if not found:
                raise
            if found[0] != row:
                raise RowConflictError(
                    self.path,
                    wrong=f"another {table.what} stands under uuid {given.uuid}",
                    remedy="Give every row a uuid of its own",
                ) from None
            return None

    def _look_for_it(self) -> None:
        """A log that is gone though it was kept a copy of is no new one. Raises DamagedLogError."""
        if self.path.exists() and self.path.stat().st_size:
            return
        if self._ready.exists() or backups.has_any(self.path):
            raise DamagedLogError(
                self.path,
                wrong=_GONE,
                remedy="To begin anew, remove the folder backups, too",
            )

    @property
    def _ready(self) -> Path:
        """A log put together that is still to take the place of the damaged one."""
        return self.path.with_name(f"{self.path.name}.ready")

    def _open_or_mend(self, wait_s: float) -> Opened:
        """Open the log; once it is mended, unless another process has done so meanwhile."""
        try:
            self._look_for_it()
            return open_for_writing(self.path, wait_s=wait_s)
        except DamagedLogError as error:
            if self._ready.exists() and not self.path.exists():
                set_aside(self.path)  # its companions, if they were not yet
                self._ready.rename(self.path)
                self.trouble = (
                    f"The log {self.path.name} was damaged and has been put together anew; the "
                    "program was ended before it could say so. The damaged one is kept beside it."
                )
            else:
                self.trouble = self._mend().words(self.path, error.wrong)
                if error.wrong == _GONE:
                    self.trouble += f" {error.remedy}."
            return open_for_writing(self.path, wait_s=wait_s)

    def _mend(self) -> Saved:
        """Put a log of all that can be saved in the place of a damaged one.

        It is whole before the damaged one is touched, so that nothing is half done where the
        program is killed or the disk full.
        """
        draft, saved = self.path.with_name(f"{self.path.name}.mended"), Saved()
        remove(draft)
        remove(self._ready)
        try:
            saved.backup = backups.bring_back(self.path, draft)
            with Log(draft, keeps_journal=False) as log:
                log._carry_over(self.path, saved)
                settle(log._db, draft)
            checked.take_away(draft)
            draft.rename(self._ready)
            saved.aside = set_aside(self.path)
            for kept in self.path.parent.glob(f"{escape(self.path.name)}.memory-*"):
                kept.unlink()  # it stands on rows that may be others now
            self._ready.rename(self.path)
        finally:
            remove(draft)
            if self.path.exists():
                remove(self._ready)
        return saved

    def _carry_over(self, torn: Path, saved: Saved) -> None:
        """Add what this log lacks of the one that is torn."""
        saved.in_backup, saved.last = self.count(), self.numbers()[1]
        saved.notes = saved.last_note = len(self.notes())
        with (
            self._lock,
            self._telling(),
            lacking(torn, self._db.conn, saved) as rows,
            self._db.atomic(),
        ):
            for source, row in rows:
                try:
                    is_new = self._insert(row) is not None
                except (RowConflictError, sqlite3.IntegrityError, *NONSENSE):
                    continue  # damage has made nonsense of it; it stays in the file kept
                saved.found[source] += is_new and isinstance(row, Answer)
                saved.notes += is_new and isinstance(row, Note)
