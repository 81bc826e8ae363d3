"""A journal of each day beside a log: every new row once more, as a line of text.

    backups/log-2026-11-29.sqlite.jsonl      of log.sqlite, on that day by the device's clock
    backups/log-2026-11-27.sqlite.jsonl.gz   packed when its day was over

A line is an object of JSON (RFC 8259): the CRC-32 of what follows it, the row's number in the log,
and the row under the name of its table (`scheduler.lines`). It is written and synced once the row
is in the log. Lines that are torn are passed over, and the next begins on a line of its own.
Journals are never deleted: whichever backup turns out to be the newest good one
(`scheduler.backups`), they lead from there to the last answer.
"""

from __future__ import annotations

import contextlib
import errno
import gzip
import os
import re
import sqlite3
import time
import zlib
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

from scheduler.errors import AnswerError, LogError
from scheduler.lines import LONGEST_LINE, ROW_IN, line_of, line_of_values
from scheduler.packing import BROKEN, pack_into
from scheduler.schema import listed
from scheduler.tables import ANSWERS, LEFT_OUT, NOTES, TABLES, Row, Table
from scheduler.whole import appearing_whole, sync_folder

FOLDER = "backups"
PLAIN, PACKED = ".jsonl", ".jsonl.gz"
PACK_AFTER_S = 86_400.0
"""A journal that nobody has written to for so long is packed."""
NONSENSE = (TypeError, ValueError, ArithmeticError, RecursionError, AnswerError)
"""What a row raises in which no answer can be seen."""

_ROWS_AT_ONCE = 1000
_TAIL = 2 * LONGEST_LINE  # bytes, in which the last line surely stands whole
_UUID = re.compile(rb'\{"uuid":"([^"\\]+)"')
_LINE = re.compile(
    rb'\{"crc":"([0-9a-f]{8})",("row":(-?\d{1,19}),"(answers|left_out|notes)":(\{.*\})\})\s*'
)


class Dated(NamedTuple):
    """A file of a log's backups."""

    path: Path
    day: str
    """As in 2026-11-29; what the clock said, which need not be true."""


class Line(NamedTuple):
    """A whole line of a journal; what it holds is read only when it is asked for."""

    number: int
    """Of the row in the log."""
    table: str
    text: bytes

    @property
    def uuid(self) -> str | None:
        """Of the row; None where it does not stand plainly at the beginning."""
        match = _UUID.match(self.text)
        return match[1].decode() if match else None

    def row(self) -> Row:
        """Raises LineError."""
        return ROW_IN[self.table](self.text)


def place_of(log: Path, day: str, tail: str) -> Path:
    """Where a file of `day` is kept for the log at `log`."""
    return log.parent / FOLDER / f"{log.stem}-{day}{log.suffix}{tail}"


def files_of(log: Path, *tails: str) -> list[Dated]:
    """The files of a log with one of these tails, by name. Raises OSError where the folder cannot
    be read; there need not be one."""
    shape = re.compile(
        rf"{re.escape(log.stem)}-(\d{{4}}-\d\d-\d\d)(?:-\d+)?{re.escape(log.suffix)}"
        f"(?:{'|'.join(map(re.escape, tails))})"
    )
    try:
        names = sorted(os.listdir(log.parent / FOLDER))
    except FileNotFoundError:
        return []
    found = ((name, shape.fullmatch(name)) for name in names)
    return [Dated(log.parent / FOLDER / name, match[1]) for name, match in found if match]


class Journal:
    """What is written beside the log at `log`.

    `trouble` says, in plain words, why the last rows could not be written; they are written with
    the next ones. Whoever uses it sees to it that one thread does at a time.
    """

    def __init__(self, log: Path) -> None:
        self.trouble: str | None = None
        self._log = log
        self._file: int | None = None
        self._path = log
        self._end = 0  # where our own last line ended
        self._behind: dict[str, int] = {}  # by table, the first row that is still to be written
        self._is_caught_up = False

    def __del__(self) -> None:
        self.close()

    def finish(self) -> None:
        """Close it, and pack those of days before if anything was written."""
        if self._file is not None:
            self.close()
            with contextlib.suppress(LogError, OSError):  # they are packed another time
                pack(self._log)

    def close(self) -> None:
        if self._file is not None:
            os.close(self._file)
            self._file = None

    def add(self, db: sqlite3.Connection, first: Mapping[str, int]) -> None:
        """Write the rows of the log that are new: by table, those from a number on. Raises nothing:
        they are in the log."""
        self._lack(first)
        try:
            if not self._is_caught_up:
                # Where a program was killed between log and journal, rows before these lack, too.
                last = last_numbers(self._log, _not_empty(db))
                self._lack({table: number + 1 for table, number in last.items()})
                self._is_caught_up = True
            self._write(db)
            self._behind, self.trouble = {}, None
        except (OSError, sqlite3.Error) as error:
            with contextlib.suppress(OSError):
                self.close()
            self.trouble = (
                f"The journal in {self._log.parent / FOLDER} could not be written "
                f"({getattr(error, 'strerror', None) or error}). All answers are in the log; only "
                "this second copy of them waits. See that there is room and that the folder may be "
                "written to."
            )

    def _lack(self, first: Mapping[str, int]) -> None:
        for table, number in first.items():
            self._behind[table] = min(number, self._behind.get(table, number))

    def _write(self, db: sqlite3.Connection) -> None:
        for table, number in sorted(self._behind.items()):
            of = TABLES[table]
            query = f"SELECT rowid, {listed(of.columns)} FROM {table} WHERE rowid >= ?"
            cursor = db.execute(f"{query} ORDER BY rowid", (number,))
            while rows := cursor.fetchmany(_ROWS_AT_ONCE):
                self._put(b"".join(_lines(of, rows)))
        if self._file is not None:
            os.fsync(self._file)

    def _put(self, lines: bytes) -> None:
        file = self._opened()
        size = os.fstat(file).st_size
        if size not in (0, self._end):  # another program's line, or a torn one, stands before ours
            lines = b"\n" + lines
        self._end, left = size + len(lines), memoryview(lines)
        while left:
            left = left[os.write(file, left) :]

    def _opened(self) -> int:
        """Today's journal; not one that another program has packed meanwhile."""
        path = place_of(self._log, date.today().isoformat(), PLAIN)
        if self._file is not None and (path != self._path or not os.fstat(self._file).st_nlink):
            self.close()
        if self._file is None:
            flags = os.O_WRONLY | os.O_APPEND | os.O_CREAT | getattr(os, "O_BINARY", 0)
            path.parent.mkdir(exist_ok=True)
            is_new = not path.exists()
            self._file, self._path, self._end = os.open(path, flags, 0o666), path, 0
            if is_new:
                sync_folder(path.parent)
        return self._file


def _not_empty(db: sqlite3.Connection) -> list[str]:
    """The tables in which something stands."""
    return [name for name in TABLES if db.execute(f"SELECT 1 FROM {name} LIMIT 1").fetchone()]


def _lines(table: Table, rows: Iterable[Sequence[Any]]) -> Iterator[bytes]:
    for number, *row in rows:
        with contextlib.suppress(*NONSENSE):  # another program has put it there
            line = line_of_values(row) if table is ANSWERS else line_of(table.read(row))
            rest = f'"row":{number},"{table.name}":{line.decode().rstrip()}}}'.encode()
            yield b'{"crc":"%08x",%b\n' % (zlib.crc32(rest), rest)


def lines_in(log: Path) -> Iterator[Line]:
    """All lines in the journals of a log that are whole, by the days of their files; what was
    written more than once comes as often. What is torn is left out. Raises LogError where a file
    cannot be read just now."""
    try:
        for file in files_of(log, PLAIN, PACKED):
            yield from _whole_lines(_text_of(file.path))
    except OSError as error:
        raise unread(Path(error.filename or log.parent / FOLDER), error) from error


def last_numbers(log: Path, sought: Collection[str]) -> dict[str, int]:
    """Of these tables the last number that is surely in the journals, by table. Raises OSError.

    Of leavings, which are few, 0 where none stands near the end of those not packed yet; no answers
    where there are none in any journal. Of notes the one before the last, where that is packed: it
    is then written again, and need not be looked for so far back next time.
    """
    last = dict[str, int]()
    for path, _ in files_of(log, PLAIN):
        with path.open("rb") as file:
            file.seek(max(0, path.stat().st_size - _TAIL))
            _note_last(_whole_lines(file), last)
    last.setdefault(LEFT_OUT.name, 0)
    packed = [path for path, _ in files_of(log, PACKED)]
    is_far = NOTES.name in sought and NOTES.name not in last
    while packed and not last.keys() >= set(sought):
        _note_last(_whole_lines(_text_of(packed.pop())), last)
    if is_far:
        last[NOTES.name] = max(0, last.get(NOTES.name, 0) - 1)
    return last


def _note_last(lines: Iterable[Line], last: dict[str, int]) -> None:
    for line in lines:
        last[line.table] = max(line.number, last.get(line.table, line.number))


def pack(log: Path, go_on: Callable[[], None] = lambda: None) -> None:
    """Pack the journals whose day is over, to a seventh or less; each is whole in one file or in
    both at any moment. Raises LogError, as where the disk is full, OSError, and what `go_on` does,
    which is asked between pieces."""
    for path, day in files_of(log, PLAIN):
        if (
            day == date.today().isoformat()
            or abs(time.time() - path.stat().st_mtime) < PACK_AFTER_S
        ):
            continue
        packed = place_of(log, day, PACKED)
        with appearing_whole(packed) as file:
            pack_into(file, path, go_on=go_on)
            if packed.exists():  # that day came twice, by a clock set back
                file.write(packed.read_bytes())
        path.unlink(missing_ok=True)  # another program may pack it, too


def _text_of(path: Path) -> Iterator[bytes]:
    """The lines of a journal, packed or not, as far as it is whole. Raises OSError where it cannot
    be read just now."""
    opened = gzip.open if path.name.endswith(PACKED) else open
    try:
        with opened(path, "rb") as file:
            yield from file
    except BROKEN:
        return
    except OSError as error:
        if error.errno not in (errno.EIO, errno.ENOENT):  # torn as far as the disk itself goes
            raise


def unread(path: Path, error: OSError) -> LogError:
    """That a log cannot be put together now, since a file is needed for it."""
    return LogError(
        path,
        wrong=f"it cannot be read just now ({error.strerror or error}), and a damaged log is to be "
        "put together of it",
        remedy="See that it may be read, then open the program again; nothing has been changed",
    )


def _whole_lines(lines: Iterable[bytes]) -> Iterator[Line]:
    for line in lines:
        match = _LINE.fullmatch(line)
        if match and int(match[1], 16) == zlib.crc32(match[2]):
            yield Line(int(match[3]), match[4].decode(), match[5])
