"""Students of a device are added, moved and given what a file brings by one program at a time."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

from practice.errors import StudentsError
from scheduler.holding import holding

_LOCK = "students.lock"


@contextmanager
def alone(home: Path, wait_s: float) -> Iterator[None]:
    """While no other thread or program does so in `home`. Raises StudentsError."""
    with ExitStack() as held:
        try:
            home.mkdir(parents=True, exist_ok=True)
            held.enter_context(holding(home / _LOCK, wait_s))
        except sqlite3.Error as error:
            raise StudentsError(
                f"{home}: answers are being brought in there just now, or it cannot be written to "
                f"({error}); wait a moment and see that there is room, then try again"
            ) from error
        except OSError as error:
            raise StudentsError(
                f"{error.filename or home}: {error.strerror or error}; see that there is room and "
                "that the folder may be written to, then try again"
            ) from error
        yield
