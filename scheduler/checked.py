"""A mark beside a log: it was closed cleanly, looked so then, and was found whole at that time.

Checking a file whole takes time in proportion to its rows. Where the mark fits the file, nothing
but this program's own clean work has touched it since it was checked, and it is not checked again;
in any doubt it is. The mark goes while the log is open for writing and comes back when it is
closed, so that a program that was killed leaves none. No mark outlasts thirty days: a disk may
forget what it holds without telling anybody.

A log that this process holds open, be it for reading, may not be opened and closed as a plain file:
that would take away SQLite's locks (https://www.sqlite.org/howtocorrupt.html, 2.2), and with them
the newest rows, as soon as another process closes the log. So it is noted here which ones are open,
before SQLite opens them.
"""

from __future__ import annotations

import contextlib
import json
import threading
import time
from collections import Counter
from pathlib import Path
from typing import NamedTuple

CHECK_AGAIN_AFTER_S = 30 * 86_400.0
_TORN = b"torn"
_HEADER = 100  # bytes; sizes and change counter (https://www.sqlite.org/fileformat.html)


class Check(NamedTuple):
    """That a file was found whole."""

    at_s: float
    """When, in seconds since 1970."""
    inode: int
    """Which file it was: another may lie there when this one is closed."""


File = tuple[int, int]
"""By which a file is known, whatever its name."""
_open: Counter[File] = Counter()
_guard = threading.RLock()


def begin(path: Path) -> tuple[Check | None, File | None]:
    """What `still_holding` says of the log at `path`, and which file that is, for `note_closed`: it
    is noted in the same step that this process holds it open. None where there is no file."""
    with _guard:
        try:
            return still_holding(path), note_open(path)
        except FileNotFoundError:
            return None, None


def note_open(path: Path) -> File:
    """Note that this process holds the log at `path` open; returns which file it is."""
    file = _file(path)
    with _guard:
        _open[file] += 1
    return file


def note_closed(file: File | None) -> None:
    """Note that it is held open once less."""
    if file is not None:
        with _guard:
            _open[file] -= 1


def is_open(path: Path) -> bool:
    """Whether this process holds the log at `path` open."""
    with _guard:
        return path.exists() and _open[_file(path)] > 0


def begins_with(path: Path, start: bytes) -> bool:
    """Whether a plain file begins so; a log that this process holds open is not looked at and
    passes for one. Raises OSError."""
    with _guard:
        if is_open(path):
            return True
        with path.open("rb") as file:
            return file.read(len(start)) == start


def _file(path: Path) -> File:
    found = path.stat()
    return found.st_dev, found.st_ino


def made_now(path: Path) -> Check:
    return Check(time.time(), path.stat().st_ino)


def still_holding(path: Path) -> Check | None:
    """The last check of the log at `path`, if nothing speaks against it."""
    try:
        mark = json.loads(_beside(path).read_text(encoding="utf-8"))
        at_s, looks = float(mark["checked_s"]), mark["looks"]
        if looks is None or looks != _looks(path):
            return None
        if not 0.0 <= time.time() - at_s < CHECK_AGAIN_AFTER_S:
            return None
        return Check(at_s, path.stat().st_ino)
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None


def put(path: Path, check: Check) -> None:
    """Say that the log, just closed, is as it was checked but for what was added in good order.

    Says nothing where another program still has rows of its own beside the file or has found it
    torn, where this one holds it open otherwise, or where another file lies there now.
    """
    with contextlib.suppress(OSError), _guard:
        beside = _beside(path)
        looks = None if beside.exists() and beside.read_bytes() == _TORN else _looks(path)
        if looks is not None and path.stat().st_ino == check.inode:
            mark = json.dumps({"checked_s": check.at_s, "looks": looks})
            _beside(path).write_text(mark, encoding="utf-8")


def doubt(path: Path) -> None:
    """Say that it was found torn, for whoever has it open to leave it so."""
    with contextlib.suppress(OSError):
        _beside(path).write_bytes(_TORN)


def take_away(path: Path) -> None:
    with contextlib.suppress(OSError):
        _beside(path).unlink(missing_ok=True)


def _beside(path: Path) -> Path:
    return path.with_name(f"{path.name}.checked")


def _looks(path: Path) -> list[object] | None:
    """What changes with any change to the file; None while rows stand beside it, and while this
    process holds it open."""
    if is_open(path):
        return None
    for companion in ("-wal", "-journal"):
        rows = Path(f"{path}{companion}")
        if rows.exists() and rows.stat().st_size:
            return None
    found = path.stat()
    with path.open("rb") as file:
        header = file.read(_HEADER).hex()
    return [found.st_size, found.st_mtime_ns, found.st_ctime_ns, found.st_ino, header]
