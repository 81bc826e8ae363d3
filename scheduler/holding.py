"""A lock that processes and threads hold one after the other."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterator
from pathlib import Path


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
