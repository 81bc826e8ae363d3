"""Locks on files: one that processes and threads hold one after the other; who holds a log."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterator
from pathlib import Path

try:
    import fcntl
except ImportError:  # on Windows, where a file that is open cannot be renamed at all
    fcntl = None  # type: ignore[assignment]

_SHARED_FIRST, _SHARED_SIZE = 0x4000_0002, 510
"""The bytes that each connection locks as long as it is open, where the file is written ahead:
https://www.sqlite.org/src/file/src/os.h, SHARED_FIRST and SHARED_SIZE (from memory)."""


@contextlib.contextmanager
def holding(path: Path, wait_s: float) -> Iterator[None]:
    """While nobody else holds the lock at `path`, neither another process nor another thread.

    SQLite locks a file alike on all systems. Raises sqlite3.Error, as where it is held for so long.
    """
    lock = sqlite3.connect(path, timeout=wait_s, isolation_level=None)
    try:
        lock.execute("PRAGMA journal_mode = OFF")  # it holds nothing
        lock.execute("BEGIN IMMEDIATE")
        yield
    finally:
        lock.close()


def is_held_elsewhere(path: Path) -> bool:
    """Whether another process has the log at `path` open, as far as the system tells. Not to be
    asked of one that this process has open: its own locks would go."""
    if fcntl is None:
        return False
    with contextlib.suppress(OSError), path.open("rb+") as file:
        try:
            fcntl.lockf(file, fcntl.LOCK_EX | fcntl.LOCK_NB, _SHARED_SIZE, _SHARED_FIRST)
        except (BlockingIOError, PermissionError):
            return True
    return False
