"""What the log of a student tells, kept at hand while practice goes on."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from functools import partial

from practice.settings import Settings
from practice.standing import recall
from practice.thresholds import Thresholds
from scheduler import Item, Log, LogError, Recalled, begun_lately


class Remembered:
    """Memory, history and thresholds as of the rows of the log that were read last."""

    settings: Settings
    _log: Log
    _items: tuple[Item, ...]
    _now: Callable[[], datetime]
    _recalled: Recalled | None = None
    _ahead: Recalled | None = None
    """What another thread has read since."""

    def read_ahead(self) -> None:
        """On another thread: read what came into the log from elsewhere, which may take its time,
        so that `refresh` is soon done."""
        with suppress(LogError):
            if self._looked() != self._seen:
                student, items = self.settings.student_id, self._items
                self._ahead = recall(self._log, student, items, self._recalled, is_to_keep=False)

    def _notice(self) -> None:
        """Read what has been added to the log or left out by another process, if anything has;
        what cannot be read now is noticed later."""
        with suppress(LogError):
            if self._looked() != self._seen:
                self._forget()

    def _forget(self) -> None:
        """Read memory and thresholds afresh from the log."""
        self._remember()
        self._thresholds = Thresholds(partial(self._log.latest, self.settings.student_id))

    def _looked(self) -> tuple[object, ...]:
        """What tells, soon, whether the log is as it was."""
        return self._log.numbers(), self._log.left_out(self.settings.student_id)

    def _remember(self) -> None:
        """What the log tells of every skill ever asked, in the course or not."""
        self._seen = self._looked()
        student = self.settings.student_id
        since, self._ahead = self._ahead or self._recalled, None
        found = self._recalled = recall(self._log, student, self._items, since)
        self._memory, self._history = found.memory, found.history
        self._begun_at = begun_lately(self._log, self._memory, student, self._now())
