"""Backups of a log: a dated copy on each day of use, packed, checked and whole or not there at all.

    backups/log-2026-11-29.sqlite.gz         of log.sqlite; `gunzip` gives a log

The last seven are kept, and the newest of each month. A log only grows: so the newest is the one
that holds most rows, whatever the clock said when it was made. How many these are stands in the
name that the packed file bears inside (FNAME, RFC 1952), as in log-5000.sqlite.
"""

from __future__ import annotations

import contextlib
import errno
import re
import shutil
import sqlite3
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import closing
from datetime import date
from functools import partial
from pathlib import Path
from typing import NamedTuple

from scheduler.errors import (
    DamagedLogError,
    LogError,
    NewerLogError,
    NotALogError,
    UnwritableLogError,
)
from scheduler.journal import FOLDER, PACKED, PLAIN, files_of, pack, place_of, unread
from scheduler.opening import check_backup, damage, remove, telling
from scheduler.packing import BROKEN, pack_into, unpacked
from scheduler.whole import appearing_whole, sweep, sync_folder

LAST = 7
"""So many backups are kept, beside one a month."""
MANY = 200
"""New rows after which a day gets a second backup; and any day does, if the clock stands still."""
TAIL, BAD = ".gz", ".damaged"

_PAGES_AT_ONCE, _STEPS_AT_ONCE = 2_000, 100_000  # some milliseconds
_LEFT_S = 86_400.0  # after so long what was left by a program that was killed is removed
_HOLDS = """
SELECT coalesce((SELECT max(rowid) FROM answers), 0)
    + coalesce((SELECT max(rowid) FROM left_out), 0)
    + coalesce((SELECT max(rowid) FROM notes), 0)
"""


class Backup(NamedTuple):
    path: Path
    day: str
    holds: int
    """Rows; -1 where that cannot be read."""

    @property
    def words(self) -> str:
        """The day as one says it."""
        try:
            day = date.fromisoformat(self.day)
            return f"{day.day} {day:%B %Y}"
        except ValueError:
            return self.day


class StoppedError(Exception):
    """Nobody waits any longer for a backup that is being made."""


def backups_of(log: Path) -> list[Backup]:
    """The newest first, by what they hold. Raises OSError."""
    found = [Backup(path, day, _held_in(path)) for path, day in files_of(log, TAIL)]
    return sorted(found, key=lambda backup: (backup.holds, backup.path.name), reverse=True)


def has_any(log: Path) -> bool:
    """Whether a log has ever been backed up, or a journal of it kept."""
    try:
        return bool(files_of(log, TAIL, PLAIN, PACKED))
    except OSError:
        return False


def back_up(log: Path, day: date, stop: threading.Event | None = None) -> Path | None:
    """Pack old journals and make the backup of `day`, if one is due, from a connection of its own;
    returns where.

    None is due where nothing was answered since the last. Then those that are kept no longer are
    deleted. Raises LogError, DamagedLogError where the log itself is found to be torn; and
    StoppedError soon after `stop` is set.
    """
    try:
        (log.parent / FOLDER).mkdir(exist_ok=True)
        _clear_away(log)
        with contextlib.suppress(LogError, OSError):  # they are packed another time
            pack(log, partial(_go_on, stop))
        target = _due(log, day)
        if target is None:
            return None
        with tempfile.TemporaryDirectory(prefix=".copy-", dir=log.parent / FOLDER) as folder:
            copy = Path(folder) / "copy"
            holds = _copy(log, copy, stop)
            with appearing_whole(target) as file:
                name = f"log-{holds}.sqlite"
                pack_into(file, copy, name=name, go_on=partial(_go_on, stop))
        _delete_old(log, target)
    except OSError as error:
        raise UnwritableLogError(
            log.parent / FOLDER,
            wrong=f"no backup could be made there ({error.strerror or error})",
            remedy="See that there is room and that the folder may be written to",
        ) from error
    return target


def bring_back(log: Path, draft: Path) -> Backup | None:
    """Unpack the newest good backup to `draft`, where nothing stands; None where there is none.

    One that is torn is kept under another name. Raises LogError where `draft` cannot be written, or
    where one cannot be read just now.
    """
    try:
        found = backups_of(log)
    except OSError as error:
        raise unread(log.parent / FOLDER, error) from error
    sweep(draft)
    for backup in found:
        try:
            with appearing_whole(draft) as file:
                for block in _blocks(backup.path):
                    file.write(block)
            check_backup(draft)
            return backup
        except DamagedLogError:
            with contextlib.suppress(OSError):
                backup.path.rename(f"{backup.path}{BAD}")
        except (NewerLogError, NotALogError):  # somebody has put it there
            pass
        remove(draft)
    return None


def _due(log: Path, day: date) -> Path | None:
    """Where a backup is to be made, if it is."""
    with telling(log), closing(_reading(log)) as db:
        holds = db.execute(_HOLDS).fetchone()[0]
    found = backups_of(log)
    if not holds or any(backup.holds == holds for backup in found[:1]):
        return None
    name = day.isoformat()
    of_today = [backup for backup in found if backup.day == name]
    if not of_today:
        return place_of(log, name, TAIL)
    if holds - of_today[0].holds < MANY:
        return None
    numbers = range(2, len(of_today) + 3)
    places = (place_of(log, f"{name}-{number}", TAIL) for number in numbers)
    return next(place for place in places if not place.exists())


def _reading(log: Path) -> sqlite3.Connection:
    return sqlite3.connect(f"{log.absolute().as_uri()}?mode=ro", uri=True, timeout=5.0)


def _copy(log: Path, copy: Path, stop: threading.Event | None) -> int:
    """Copy the log as it is at this moment, check the copy and return how many rows it holds."""
    with telling(log), closing(_reading(log)) as source, closing(sqlite3.connect(copy)) as target:
        target.execute("PRAGMA synchronous = OFF")  # what a crash leaves of it is thrown away
        source.execute("BEGIN")
        source.execute(_HOLDS).fetchone()  # from now on it does not begin anew where others write
        source.backup(target, pages=_PAGES_AT_ONCE, progress=lambda *_: _go_on(stop))
        target.execute("PRAGMA journal_mode = DELETE")
        found = _quick_check(target, stop)
        if found != "ok":
            raise DamagedLogError(
                log,
                wrong=damage(found),
                remedy="Close the program and open it again: what can be saved is then saved",
            )
        return int(target.execute(_HOLDS).fetchone()[0])


def _quick_check(db: sqlite3.Connection, stop: threading.Event | None) -> str:
    """What SQLite finds; it is asked now and then whether to go on."""
    db.set_progress_handler(lambda: stop is not None and stop.is_set(), _STEPS_AT_ONCE)
    try:
        return str(db.execute("PRAGMA quick_check(1)").fetchone()[0])
    except sqlite3.OperationalError:
        _go_on(stop)
        raise
    finally:
        db.set_progress_handler(None, 0)


def _blocks(path: Path) -> Iterator[bytes]:
    """What is packed in a backup. Raises DamagedLogError; another LogError where it cannot be read
    just now."""
    try:
        yield from unpacked(path)
    except (OSError, *BROKEN) as error:
        if not isinstance(error, BROKEN) and error.errno != errno.EIO:
            raise unread(path, error) from error
        raise DamagedLogError(path, wrong=f"it is torn ({error})", remedy="It is kept") from error


def _held_in(path: Path) -> int:
    """How many rows a backup holds, by the name inside; see RFC 1952, section 2.3."""
    try:
        with path.open("rb") as file:
            head = file.read(64)
        match = re.match(rb"\x1f\x8b\x08\x08.{6}log-(\d{1,18})\.sqlite\0", head, re.DOTALL)
        return int(match[1]) if match else -1
    except OSError:
        return -1


def _delete_old(log: Path, made: Path) -> None:
    found = backups_of(log)
    kept = {made, *(backup.path for backup in found[:LAST])}
    of_months = {backup.day[:7]: backup.path for backup in reversed(found)}
    for backup in found:
        if backup.path not in kept and backup.path not in of_months.values():
            backup.path.unlink()
    sync_folder(log.parent / FOLDER)


def _clear_away(log: Path) -> None:
    """Remove what a program that was killed has left half done."""
    for path in (log.parent / FOLDER).glob(".*"):
        if re.fullmatch(r"\.copy-\w+|\..*\.part", path.name):
            with contextlib.suppress(OSError):
                if abs(time.time() - path.stat().st_mtime) > _LEFT_S:
                    shutil.rmtree(path) if path.is_dir() else path.unlink()


def _go_on(stop: threading.Event | None) -> None:
    if stop is not None and stop.is_set():
        raise StoppedError
