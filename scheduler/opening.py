"""Opening a log file: is it ours, is it whole, is it of today's format; and what if it is not.

SQLite keeps a log in up to three files: `log.db`, `log.db-wal` (the newest rows) and `log.db-shm`.
They belong together: a copy without the second lacks the newest answers. In `backups` beside it
stand `scheduler.backups` and `scheduler.journal`. What else lies beside a log (`scheduler.checked`,
`scheduler.kept`) only spares time and may be deleted.
"""

from __future__ import annotations

import contextlib
import sqlite3
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple

from sqlite_utils import Database

from scheduler import checked
from scheduler.checked import Check
from scheduler.errors import (
    DamagedLogError,
    FullDiskError,
    LockedLogError,
    LogError,
    NewerLogError,
    NotALogError,
    UnwritableLogError,
)
from scheduler.holding import holding, is_held_elsewhere
from scheduler.schema import APPLICATION_ID, FORMAT, migrations, prepare

SQLITE = b"SQLite format 3\0"
COMPANIONS = ("", "-wal", "-shm")
_KEEP = "The file has not been touched"
_MENDED_WHEN = (
    "Practise once as the student whose it is, or bring a file of theirs in: what can be saved is "
    "then saved"
)
_WAIT_S = 120.0  # while another process puts a large log together
_LOOKED_AT_S = 5.0  # while another only looks whether it is whole


class Opened(NamedTuple):
    """An open log; whoever closes it says so to `checked.note_closed`."""

    db: Database
    file: checked.File | None
    check: Check | None
    """When it was last found whole; None where it is open for reading only."""


def open_for_writing(path: Path, *, wait_s: float) -> Opened:
    """Open or found the log at `path`. Raises LogError; DamagedLogError if it is torn."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise UnwritableLogError(
            path, wrong=f"its folder cannot be made ({error.strerror})", remedy="Choose another"
        ) from error
    with telling(path), contextlib.ExitStack() as undoing:
        _check_not_emptied(path)
        found, file = checked.begin(path)
        undoing.callback(checked.note_closed, file)
        conn = sqlite3.connect(path, timeout=wait_s, check_same_thread=False)
        undoing.callback(conn.close)
        db = prepare(conn, wait_s=wait_s)
        _check_kind(db, path)
        check = found or _check_whole(db, path)
        checked.take_away(path)
        _migrate(db, path)
        undoing.pop_all()
    return Opened(db, file or checked.note_open(path), check)


def open_for_reading(path: Path) -> Opened:
    """Open the log at `path` without changing it. Raises LogError, and never sets it aside."""
    if not path.is_file():
        raise LogError(path, wrong="there is no such file", remedy="Check its name and folder")
    with telling(path), contextlib.ExitStack() as undoing:
        found, file = checked.begin(path)
        undoing.callback(checked.note_closed, file)
        for immutable in ("", "&immutable=1"):  # the second where no lock file may be written
            name = path.absolute().as_uri() + "?mode=ro" + immutable
            conn = sqlite3.connect(name, uri=True, check_same_thread=False)
            try:
                db = prepare(conn, wait_s=5.0)
                _check_kind(db, path)
                if found is None:
                    _check_whole(db, path)
            except sqlite3.OperationalError as error:
                conn.close()
                if immutable or _code(error) not in (sqlite3.SQLITE_CANTOPEN, _READONLY):
                    raise
            except sqlite3.DatabaseError as error:
                conn.close()
                undoing.close()
                # Only now: a log that is open in this process may not be read as a plain file.
                if _code(error) == sqlite3.SQLITE_NOTADB and not _looks_like_sqlite(path):
                    raise _no_database(path) from error
                raise
            except BaseException:
                conn.close()
                raise
            else:
                break
        if not db.table("answers").exists():
            db.close()
            raise NotALogError(path, wrong="it holds no answers", remedy=f"{_KEEP}; choose a log")
        undoing.pop_all()
    return Opened(db, file, None)


def _no_database(path: Path) -> NotALogError:
    return NotALogError(path, wrong="it is not a database", remedy=f"{_KEEP}; choose a log")


def set_aside(path: Path) -> Path | None:
    """Rename a damaged log and its companions; returns its new name, which was free, or None where
    there is nothing any more."""
    stamp = datetime.now(UTC).strftime("%Y%m%d-%H%M%S")
    for number in range(1000):
        tail = f"-{number}" if number else ""
        aside = path.with_name(f"{path.stem}.damaged-{stamp}{tail}{path.suffix}")
        if not any(Path(f"{aside}{companion}").exists() for companion in COMPANIONS):
            break
    there = [companion for companion in COMPANIONS if Path(f"{path}{companion}").exists()]
    holds_any = "" in there or ("-wal" in there and Path(f"{path}-wal").stat().st_size > 0)
    try:
        for companion in there:
            Path(f"{path}{companion}").rename(f"{aside}{companion}")
    except OSError as error:
        raise UnwritableLogError(
            path, wrong=f"damaged, and cannot be renamed ({error})", remedy="Move it by hand"
        ) from error
    return aside if holds_any else None


def settle(db: Database, path: Path) -> None:
    """Bring all rows into the one file, so that it can be moved by itself: closing would, too, but
    not tell where it cannot. Raises LogError, as where the disk is full."""
    with telling(path):
        is_busy, *_ = db.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
    if is_busy:
        remedy = "Close the other program, then open this one again"
        raise LockedLogError(path, wrong="another program reads it", remedy=remedy)


def remove(path: Path) -> None:
    """Remove what is left of a log that was never finished, its companions too."""
    for companion in COMPANIONS:
        Path(f"{path}{companion}").unlink(missing_ok=True)
    checked.take_away(path)


@contextlib.contextmanager
def alone(path: Path) -> Iterator[None]:
    """While no other process puts the log at `path` together, or has it open: it would go on with
    the one set aside. Raises LockedLogError."""
    lock = path.with_name(f"{path.name}.mending")
    with contextlib.ExitStack() as held:
        with telling(lock):
            held.enter_context(holding(lock, _WAIT_S))
        until = time.monotonic() + _LOOKED_AT_S
        while is_held_elsewhere(path):
            if time.monotonic() > until:
                checked.doubt(path)
                raise LockedLogError(
                    path,
                    wrong="it is damaged, and another program or window has it open",
                    remedy="Close that one, then try again: what can be saved is then saved",
                )
            time.sleep(0.05)
        yield
    with contextlib.suppress(OSError):
        lock.unlink(missing_ok=True)


def check_backup(path: Path) -> None:
    """See that a copy of a log is one and whole, and set it to write ahead again. Raises LogError;
    DamagedLogError if it is torn."""
    with telling(path), contextlib.closing(sqlite3.connect(path)) as conn:
        db = prepare(conn, wait_s=5.0)
        _check_kind(db, path)
        _check_whole(db, path)
        if not db.table("answers").exists():
            raise DamagedLogError(path, wrong="it holds no answers", remedy=_KEEP)
        db.enable_wal()


_READONLY = sqlite3.SQLITE_READONLY
_UNREAD = 0
"""The code of an error that is not SQLite's own, as where a text is no UTF-8."""
_ERRORS: dict[int, tuple[type[LogError], str, str]] = {
    sqlite3.SQLITE_NOTADB: (
        DamagedLogError,
        "it is not a database",
        "Close the program and open it again: the file is then set aside and kept",
    ),
    sqlite3.SQLITE_CORRUPT: (
        DamagedLogError,
        "it is damaged",
        "Close the program and open it again: the file is then set aside and kept",
    ),
    sqlite3.SQLITE_FULL: (
        FullDiskError,
        "the disk is full",
        "Free some room, then answer again; nothing written before is lost",
    ),
    sqlite3.SQLITE_BUSY: (
        LockedLogError,
        "another program holds it",
        "Close the other window or program that uses this file, then try again",
    ),
    sqlite3.SQLITE_READONLY: (
        UnwritableLogError,
        "it may be read but not written",
        "Allow writing to the file and its folder, or choose another folder",
    ),
    sqlite3.SQLITE_CANTOPEN: (
        UnwritableLogError,
        "it cannot be opened in this folder",
        "Check that the folder exists and may be written, or choose another",
    ),
    sqlite3.SQLITE_IOERR: (
        LogError,
        "the disk does not read or write",
        "Check the disk and its room, then try again",
    ),
}
_ERRORS[sqlite3.SQLITE_LOCKED] = _ERRORS[sqlite3.SQLITE_BUSY]
_ERRORS[sqlite3.SQLITE_PERM] = _ERRORS[sqlite3.SQLITE_READONLY]


@contextlib.contextmanager
def telling(path: Path) -> Iterator[None]:
    """Turn SQLite's errors into LogErrors that name the file and the remedy."""
    try:
        yield
    except sqlite3.Error as error:
        kind, wrong, remedy = _ERRORS.get(
            _code(error), (LogError, "SQLite refuses", "Please keep the file and report this")
        )
        raise kind(path, wrong=f"{wrong} ({error})", remedy=remedy) from error
    except UnicodeDecodeError as error:  # what SQLite says quotes what stands torn in the file
        _, wrong, remedy = _ERRORS[sqlite3.SQLITE_CORRUPT]
        raise DamagedLogError(path, wrong=wrong, remedy=remedy) from error


def _code(error: sqlite3.Error) -> int:
    """The primary result code; extended codes keep it in their low byte."""
    return getattr(error, "sqlite_errorcode", _UNREAD) & 0xFF


def _looks_like_sqlite(path: Path) -> bool:
    """The first 16 bytes are a fixed text (https://www.sqlite.org/fileformat.html#magic)."""
    try:
        return checked.begins_with(path, SQLITE)
    except OSError as error:
        raise LogError(
            path, wrong=f"it cannot be read ({error.strerror})", remedy="Allow it"
        ) from error


def _check_not_emptied(path: Path) -> None:
    """SQLite throws away the newest rows beside a main file that is empty or gone: refuse first."""
    wal = Path(f"{path}-wal")
    if wal.exists() and wal.stat().st_size and not (path.exists() and path.stat().st_size):
        raise DamagedLogError(
            path, wrong="it is empty but its newest rows are not", remedy="It is set aside and kept"
        )


def _check_kind(db: Database, path: Path) -> None:
    """Whether it is a log, of a format that is known here."""
    newer = "Update this program, then open the file again; it has not been touched"
    version = db.execute("PRAGMA user_version").fetchone()[0]
    ours = db.execute("PRAGMA application_id").fetchone()[0] == APPLICATION_ID
    begun = set(db.table_names()) <= {migrations.migrations_table}  # new, or cut off while founded
    if not ours and not begun:
        raise NotALogError(
            path,
            wrong="it is a database of another program",
            remedy=f"{_KEEP}; choose a log, or another name for a new one",
        )
    if version > FORMAT:
        raise NewerLogError(
            path, wrong=f"its format is {version}, newer than {FORMAT}", remedy=newer
        )


def _migrate(db: Database, path: Path) -> None:
    """Bring the log to today's format. Which steps were taken stands in it as text, and where that
    is torn, no structure tells: then a step fails that was taken before, or cannot be read."""
    try:
        migrations.apply(db)
    except sqlite3.OperationalError as error:
        if _code(error) not in (_UNREAD, sqlite3.SQLITE_ERROR):
            raise
        wrong = f"it is damaged (what it tells of its own format cannot be: {error})"
        raise DamagedLogError(path, wrong=wrong, remedy=_MENDED_WHEN) from error


def _check_whole(db: Database, path: Path) -> Check:
    """Read every page and row; 0.6 s for a million answers on a desk."""
    check = checked.made_now(path)
    found = db.execute("PRAGMA quick_check(1)").fetchone()[0]
    if found != "ok":
        raise DamagedLogError(path, wrong=damage(found), remedy=_MENDED_WHEN)
    return check


def damage(found: str) -> str:
    """What `quick_check` found, on one line."""
    return f"it is damaged ({found.removeprefix('*** in database main ***').strip()})"
