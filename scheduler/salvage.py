"""Reading what can still be read of a torn log."""

from __future__ import annotations

import contextlib
import errno
import os
import shutil
import sqlite3
import tempfile
from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from scheduler.errors import FullDiskError, LogError
from scheduler.opening import COMPANIONS
from scheduler.schema import listed
from scheduler.whole import FULL

LEAST_ROW_BYTES = 50
"""No row takes less in the file."""
_BLOCK = 4096
_PREFIX = ".torn-"
_MOST_TRIES = 20_000  # some seconds
_BROKEN = (sqlite3.Error, UnicodeDecodeError)  # the latter where SQLite quotes what is torn


def readable_rows(
    path: Path, tables: Mapping[str, Sequence[str]]
) -> Iterator[tuple[str, tuple[Any, ...]]]:
    """The rows that can still be read from a damaged log, with their tables and, at the beginning
    of each, its number; in no order, some perhaps twice; may be none.

    Works on a copy beside it: reading may make SQLite change the file, and the damaged one is kept
    as it is. Raises LogError where that cannot be made.
    """
    with (
        tempfile.TemporaryDirectory(prefix=_PREFIX, dir=_swept(path.parent)) as folder,
        contextlib.suppress(*_BROKEN),
    ):
        copy = Path(folder) / "copy.db"
        try:
            for companion in COMPANIONS[:2]:
                if Path(f"{path}{companion}").exists():
                    _copy(Path(f"{path}{companion}"), Path(f"{copy}{companion}"))
        except OSError as error:
            kind, wrong = LogError, f"it cannot be read ({error.strerror or error})"
            if error.errno in FULL:
                kind, wrong = FullDiskError, "there is no room to read a damaged log"
            remedy = "Free some room and see that it may be read, then open the program again"
            raise kind(path, wrong=wrong, remedy=remedy) from error
        with contextlib.closing(sqlite3.connect(copy)) as conn:
            for table, columns in tables.items():
                query = f"SELECT rowid, {listed(columns)} FROM {table}"
                for row in _still_readable(conn, query, copy.stat().st_size // LEAST_ROW_BYTES):
                    yield table, row


def _swept(folder: Path) -> Path:
    """The folder, without copies of a program that was killed; nobody else makes one meanwhile."""
    for left in folder.glob(f"{_PREFIX}*"):
        shutil.rmtree(left, ignore_errors=True)
    return folder


def _copy(source: Path, target: Path) -> None:
    """Copy a file; what the disk does not give back of it is zeros in the copy. Raises OSError."""
    with source.open("rb", buffering=0) as torn, target.open("wb") as copy:
        size = os.fstat(torn.fileno()).st_size
        for at in range(0, size, _BLOCK):
            torn.seek(at)
            try:
                block = torn.read(_BLOCK)
            except OSError as error:
                if error.errno != errno.EIO:
                    raise
                block = b""
            copy.write(block.ljust(min(_BLOCK, size - at), b"\0"))


def _still_readable(conn: sqlite3.Connection, query: str, most: int) -> Iterator[tuple[Any, ...]]:
    """From both ends, since a torn page hides what lies on it or behind it; then, between the torn
    pages, in ever smaller pieces."""
    ends = [0, most + 1]
    for end, order in enumerate(("ASC", "DESC")):
        try:
            for row in conn.execute(f"{query} ORDER BY rowid {order}"):
                if end and row[0] <= ends[0]:
                    return
                ends[end] = row[0]
                yield row
            return
        except _BROKEN:
            continue
    pieces, tries = deque([(ends[0] + 1, ends[1] - 1)]), _MOST_TRIES
    # Without a limit SQLite looks for the row behind the last one, and that may be torn.
    query = f"{query} WHERE rowid BETWEEN ? AND ? ORDER BY rowid LIMIT ?"
    while pieces and tries:
        low, high = pieces.popleft()  # the largest
        try:
            for row in conn.execute(query, (low, high, high - low + 1)):
                low = row[0] + 1
                yield row
        except _BROKEN:
            tries -= 1
            middle = (low + high) // 2
            if low < high:
                pieces += [(low, middle), (middle + 1, high)]
