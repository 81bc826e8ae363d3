"""What a student plays on the instrument: which paltas were given, and minutes. Never marks.

Each is a note of its own in the log. Nothing here says what a student knows: what is played on the
instrument is heard by nobody but who plays it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from practice.note_book import NoteBook, Notes, local_time, number_in
from scheduler import AnswerError, LogError, Note
from scheduler.history import day_of

PALTA, MINUTES = "palta", "minutes"
"""The words of their notes."""
GIVEN, CLEAN, AGAIN, SLOWER = SAID = ("given", "clean", "again", "slower")
"""That a palta was offered; and what the student said of playing it: clean, once more, or too
fast."""
LONGEST_MIN = 24 * 60.0


@dataclass(frozen=True, slots=True)
class PaltaNoted:
    """A palta that was given to a student, or what the student said of playing it."""

    key: str
    """Which palta, so that it is never given again."""
    said: str
    """One of SAID."""
    tempo: float
    """Matras a minute; 0 where none was set."""
    at: datetime
    """By the clock on the wall where it was noted."""
    detail: Mapping[str, Any]
    """What else was told of it; JSON values only."""

    def whole(self, name: str) -> int | None:
        """A whole number of the detail; None where that is not told, as `true` tells none."""
        value = self.detail.get(name)
        return value if type(value) is int else None


def paltas_of(notes: Iterable[Note]) -> tuple[PaltaNoted, ...]:
    """All that was noted of paltas among a student's notes, in order."""
    found = (_palta_of(note) for note in notes if note.what == PALTA)
    return tuple(palta for palta in found if palta is not None)


def paltas_given(notes: Iterable[Note]) -> frozenset[str]:
    """The keys of all paltas that a student was ever given."""
    return frozenset(palta.key for palta in paltas_of(notes))


def note_palta(
    book: NoteBook,
    key: str,
    said: str = GIVEN,
    *,
    tempo: float = 0.0,
    detail: Mapping[str, Any] | None = None,
    when: datetime | None = None,
) -> PaltaNoted:
    """Note that a palta was given, or what was said of playing it at so many matras a minute; just
    now or, where the log could not be written then, at the moment `when`.

    Raises AnswerError for what is none of SAID or cannot be kept, and LogError.
    """
    if said not in SAID:
        raise AnswerError(f"said={said!r}: give one of {', '.join(SAID)}")
    if not key:
        raise AnswerError("key='': give a text that is not empty")
    data = {"key": key, "said": said, "tempo": float(tempo), "detail": dict(detail or {})}
    noted = _palta_of(book.write(PALTA, data, when))
    assert noted is not None
    return noted


def note_minutes(
    book: NoteBook, minutes: float, *, palta: str = "", when: datetime | None = None
) -> None:
    """Note so many minutes on the instrument, which have just ended, or did at the moment `when`;
    with which palta, if with one.

    Raises AnswerError for what no day holds, and LogError.
    """
    if not 0.0 < minutes <= LONGEST_MIN:
        raise AnswerError(f"minutes={minutes!r}: give more than 0, and at most {LONGEST_MIN:.0f}")
    book.write(MINUTES, {"minutes": round(float(minutes), 2), "palta": palta}, when)


def minutes_by_day(notes: Iterable[Note]) -> dict[int, float]:
    """Minutes on the instrument by day since 1 January 1970, in the student's local time."""
    found: dict[int, float] = {}
    for note in notes:
        if note.what == MINUTES:
            minutes = number_in(note.data.get("minutes"))
            if minutes is not None and 0.0 < minutes <= LONGEST_MIN:
                day = day_of(local_time(note))
                found[day] = found.get(day, 0.0) + minutes
    return found


def minutes_told(notes: Notes) -> dict[int, float]:
    """The same as a student's log has them; none where it cannot be read just now, which keeps no
    picture of all else from being shown."""
    try:
        return minutes_by_day(notes(MINUTES))
    except LogError:
        return {}


def _palta_of(note: Note) -> PaltaNoted | None:
    """None where another program has written it otherwise."""
    data = note.data
    key, said, detail = data.get("key"), data.get("said"), data.get("detail", {})
    tempo = number_in(data.get("tempo", 0.0))
    if not (isinstance(key, str) and key and said in SAID and isinstance(detail, dict)):
        return None
    if tempo is None or tempo < 0.0:
        return None
    return PaltaNoted(key, str(said), tempo, local_time(note), detail)
