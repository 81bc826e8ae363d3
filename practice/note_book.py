"""What a student's log holds beside answers, as practice writes and reads it.

Under each word stands one thing: a phrase kept (`practice.phrases`), a palta given or played, or
minutes on the instrument (`practice.instrument`).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from datetime import datetime, timedelta, timezone
from typing import Any, Protocol

from scheduler import Log, Note

_LONGEST_MIN = 24 * 60 - 1
"""From UTC; Python's zones are no farther from it."""


class Notes(Protocol):
    """A student's notes in order, or those under one word, as `scheduler.Log.notes` gives them.
    Raises LogError."""

    def __call__(self, what: str | None = None) -> list[Note]: ...


def no_notes(what: str | None = None) -> list[Note]:
    """Of a student of whom nothing was ever noted."""
    return []


def notes_of(log: Log, student: str) -> Notes:
    """The notes of one student of an open log."""

    def notes(what: str | None = None) -> list[Note]:
        return log.notes(student, what)

    return notes


class NoteBook:
    """Writes and reads the notes of one student of an open log."""

    def __init__(self, log: Log, student: str, device: str, now: Callable[[], datetime]) -> None:
        self.read = notes_of(log, student)
        self._log, self._student, self._device, self._now = log, student, device, now

    def write(self, what: str, data: Mapping[str, Any], when: datetime | None = None) -> Note:
        """On the disk when this returns. `when` it was said, by the clock on the wall
        there, if that was not just now. Raises LogError, and AnswerError for what cannot be
        kept."""
        local = self._now().astimezone() if when is None else when
        offset = local.utcoffset()
        note = Note(
            student=self._student,
            what=what,
            data=data,
            utc_ms=int(local.timestamp() * 1000),
            offset_min=0 if offset is None else round(offset.total_seconds() / 60),
            device=self._device,
        )
        self._log.append_all([note])
        return note


def local_time(note: Note) -> datetime:
    """When it was noted, by the clock on the wall there."""
    offset_min = max(-_LONGEST_MIN, min(note.offset_min, _LONGEST_MIN))
    return note.utc.astimezone(timezone(timedelta(minutes=offset_min)))


def number_in(value: object) -> float | None:
    """A finite number; None for anything else, as `true` and a whole number without measure are."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return None
    try:
        return float(value) if math.isfinite(value) else None
    except OverflowError:
        return None
