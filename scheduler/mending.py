"""Putting a log together anew: what its newest good backup lacks, from journals and torn file.

A journal's line is believed before a row of the torn file, since it bears a checksum. Rows are
added in the order of their numbers in the log, so that each device's keep theirs.
"""

from __future__ import annotations

import contextlib
import itertools
import json
import sqlite3
from collections import Counter
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path

from scheduler.backups import Backup
from scheduler.journal import NONSENSE, lines_in
from scheduler.lines import LineError
from scheduler.salvage import LEAST_ROW_BYTES, readable_rows
from scheduler.tables import ANSWERS, NOTES, TABLES, Row, table_of

JOURNAL, FILE = "journal", "file"
_Found = tuple[int, str, Row]
"""A row's number, where it was found, and the row."""
_POOL = """
CREATE TABLE lacking (number INTEGER, source TEXT, tab TEXT, uuid TEXT, row TEXT,
    UNIQUE (tab, uuid))
"""


@dataclass
class Saved:
    """What a log was put together from."""

    backup: Backup | None = None
    in_backup: int = 0
    """Answers."""
    found: Counter[str] = field(default_factory=Counter)
    """Answers that the backup lacks, by where they were found."""
    last: int = 0
    """The largest number that an answer is known to have had."""
    notes: int = 0
    """Notes that the new log holds."""
    last_note: int = 0
    """The largest number that a note is known to have had."""
    aside: Path | None = None
    """Where the torn log is kept; None where there was none any more."""

    def note_number(self, table: str, number: int) -> None:
        """Note that a row of this table had this number."""
        if table == ANSWERS.name:
            self.last = max(self.last, number)
        elif table == NOTES.name:
            self.last_note = max(self.last_note, number)

    @property
    def answers(self) -> int:
        return self.in_backup + self.found.total()

    def words(self, log: Path, wrong: str) -> str:
        """What a student is told."""
        kept = f" It is kept as {self.aside.name} in {self.aside.parent}." if self.aside else ""
        missing = self.last - self.answers
        if self.backup is None and not self.found[JOURNAL]:
            text = (
                f"A new log was begun; {_counted(self.found[FILE])} could still be read and "
                "carried over."
            )
        else:
            sources = [
                (self.in_backup, f"from the backup of {self.backup.words}" if self.backup else ""),
                (self.found[JOURNAL], "from the journal of each day"),
                (self.found[FILE], "that could be read only from the damaged log"),
            ]
            parts = [f"{count:,} {source}" for count, source in sources if count]
            text = f"A new one was put together of {_counted(self.answers)}: {', '.join(parts)}."
            if missing <= 0:
                text += " As far as their numbers tell, none is missing."
        if missing > 0:
            text += f" At least {_counted(missing)} could not be found again."
        if (notes := self.last_note - self.notes) > 0:
            rows = f"{notes:,} row{'' if notes == 1 else 's'}"
            text += f" Of what stood beside the answers, at least {rows} could not be found again."
        plainly = wrong.partition(" (")[0]
        return f"The log {log.name} could not be used: {plainly}.{kept} {text}"


@contextlib.contextmanager
def lacking(
    log: Path, draft: sqlite3.Connection, saved: Saved
) -> Iterator[Iterator[tuple[str, Row]]]:
    """The rows that `draft` lacks, in order, and where each was found; `saved.last` rises with
    the numbers seen. Works on a file of its own, for there may be many."""
    with closing(sqlite3.connect("")) as pool:
        pool.execute(_POOL)
        for number, source, row in itertools.chain(
            _in_journals(log, draft, saved), _in_file(log, draft)
        ):
            table = table_of(row)
            texts = (number, source, table.name, row.uuid, json.dumps(table.values(row)))
            is_new = pool.execute("INSERT OR IGNORE INTO lacking VALUES (?, ?, ?, ?, ?)", texts)
            if is_new.rowcount:
                saved.note_number(table.name, number)
        yield _pooled(pool)


def _in_journals(log: Path, draft: sqlite3.Connection, saved: Saved) -> Iterator[_Found]:
    for line in lines_in(log):
        saved.note_number(line.table, line.number)
        if not _has(draft, line.table, line.uuid):
            with contextlib.suppress(LineError):
                row = line.row()
                if not _has(draft, line.table, row.uuid):
                    yield line.number, JOURNAL, row


def _in_file(log: Path, draft: sqlite3.Connection) -> Iterator[_Found]:
    possible = log.stat().st_size // LEAST_ROW_BYTES if log.exists() else 0
    columns = {name: table.columns for name, table in TABLES.items()}
    for table, (number, *values) in readable_rows(log, columns):
        if not _has(draft, table, values[0]):
            with contextlib.suppress(*NONSENSE):  # damage has made nonsense of it
                yield min(number, possible), FILE, TABLES[table].read(values)


def _has(draft: sqlite3.Connection, table: str, uuid: object) -> bool:
    query = f"SELECT 1 FROM {table} WHERE uuid = ?"
    return isinstance(uuid, str) and draft.execute(query, (uuid,)).fetchone() is not None


def _pooled(pool: sqlite3.Connection) -> Iterator[tuple[str, Row]]:
    query = "SELECT source, tab, row FROM lacking ORDER BY number, rowid"
    for source, table, text in pool.execute(query):
        yield source, TABLES[table].read(json.loads(text))


def _counted(count: int) -> str:
    return f"{count:,} answer{'' if count == 1 else 's'}"
