"""The day's backup of a log, made on a thread while the student practises."""

from __future__ import annotations

import threading
from collections.abc import Callable
from datetime import date

from scheduler import Log, LogError, StoppedError


class Backing:
    """Backs up `log`, unless it holds nothing yet; where that fails, `tell` is called with what is
    wrong, on that thread. Whoever closes the log closes this first."""

    def __init__(self, log: Log, day: date, tell: Callable[[str], None]) -> None:
        self._log, self._day, self._tell = log, day, tell
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None
        if not log.is_empty():
            self._thread = threading.Thread(target=self._run, name="backup")
            self._thread.start()

    def _run(self) -> None:
        try:
            self._log.back_up(self._day, self._stop)
        except StoppedError:
            pass  # it is made at the next opening
        except LogError as error:
            self._tell(f"The backup of today could not be made. {error}.")

    def close(self) -> None:
        """Leave off what is not done in a moment; it is done at the next opening."""
        self._stop.set()
        if self._thread is not None:
            self._thread.join()
