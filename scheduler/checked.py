"""A mark beside a log: it was closed cleanly, looked so then, and was found whole at that time.

Checking a file whole takes time in proportion to its rows. Where the mark fits the file, nothing
but this program's own clean work has touched it since it was checked, and it is not checked again;
in any doubt it is. The mark goes while the log is open for writing and comes back when it is
closed, so that a program that was killed leaves none. No mark outlasts thirty days: a disk may
forget what it holds without telling anybody.
"""

from __future__ import annotations

import contextlib
import json
import time
from pathlib import Path
from typing import NamedTuple

CHECK_AGAIN_AFTER_S = 30 * 86_400.0
_HEADER = 100  # bytes; sizes and change counter (https://www.sqlite.org/fileformat.html)


class Check(NamedTuple):
    """That a file was found whole."""

    at_s: float
    """When, in seconds since 1970."""
    inode: int
    """Which file it was: another may lie there when this one is closed."""


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

    Says nothing where another program still has rows of its own beside the file, or where another
    file lies there now.
    """
    with contextlib.suppress(OSError):
        looks = _looks(path)
        if looks is not None and path.stat().st_ino == check.inode:
            mark = json.dumps({"checked_s": check.at_s, "looks": looks})
            _beside(path).write_text(mark, encoding="utf-8")


def take_away(path: Path) -> None:
    with contextlib.suppress(OSError):
        _beside(path).unlink(missing_ok=True)


def _beside(path: Path) -> Path:
    return path.with_name(f"{path.name}.checked")


def _looks(path: Path) -> list[object] | None:
    """What changes with any change to the file; None while rows stand beside it."""
    for companion in ("-wal", "-journal"):
        rows = Path(f"{path}{companion}")
        if rows.exists() and rows.stat().st_size:
            return None
    found = path.stat()
    with path.open("rb") as file:
        header = file.read(_HEADER).hex()
    return [found.st_size, found.st_mtime_ns, found.st_ctime_ns, found.st_ino, header]
