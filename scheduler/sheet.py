"""Answers, or notes, as a sheet in CSV (RFC 4180), one a row, for those who like spreadsheets.

A spreadsheet takes a cell that begins like a formula for one, whoever wrote it; such a text gets an
apostrophe before it, as the OWASP's page on CSV injection advises (from memory). Numbers stay
numbers. What a question is made from again is not in the sheet: it is there to be read, and no log
is made of it again.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Collection, Iterable
from datetime import datetime, timedelta
from typing import Any, TextIO

from scheduler.answer import Answer, json_text
from scheduler.notes import Note

HEADS = (
    "date",
    "time",
    "skill",
    "name",
    "kind",
    "choices",
    "right",
    "given",
    "credit",
    "heard",
    "chance",
    "predicted",
    "reason",
    "response_ms",
    "counts",
    "student",
    "device",
    "session",
    "utc",
    "uuid",
)
NOTE_HEADS = ("date", "time", "what", "data", "student", "device", "utc", "uuid")
BETWEEN = " | "
"""Stands between ids in one cell."""
_LIKE_FORMULAS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
_GUARD = "'"


def write_sheet(
    out: TextIO,
    answers: Iterable[Answer],
    *,
    left_out: Collection[str],
    name_of: Callable[[str], str],
    line_end: str = "\r\n",
) -> int:
    """Write a head and the answers of one student; returns how many those are.

    Date and time are those that the student saw; `counts` is "no" in the sessions `left_out`.
    `name_of` gives a skill's name. Raises OSError.
    """
    rows, count = csv.writer(out, lineterminator=line_end), 0
    rows.writerow(HEADS)
    for answer in answers:
        rows.writerow(map(guarded, _cells(answer, answer.session not in left_out, name_of)))
        count += 1
    return count


def write_note_sheet(out: TextIO, notes: Iterable[Note], *, line_end: str = "\r\n") -> int:
    """Write a head and the notes of one student, their data as JSON; returns how many those are.
    Raises OSError."""
    rows, count = csv.writer(out, lineterminator=line_end), 0
    rows.writerow(NOTE_HEADS)
    for note in notes:
        when = _date_and_time(note.utc, note.offset_min)
        told = (note.what, json_text(note.data), note.student, note.device)
        cells = (*when, *told, note.utc.isoformat(timespec="milliseconds"), note.uuid)
        rows.writerow(map(guarded, cells))
        count += 1
    return count


def guarded(cell: Any) -> Any:
    """A cell that no spreadsheet takes for a formula."""
    if isinstance(cell, str) and cell.startswith((*_LIKE_FORMULAS, _GUARD)):
        return f"{_GUARD}{cell}"
    return cell


def _cells(answer: Answer, counts: bool, name_of: Callable[[str], str]) -> tuple[Any, ...]:
    return (
        *_date_and_time(answer.utc, answer.offset_min),
        answer.skill,
        name_of(answer.skill),
        answer.kind,
        BETWEEN.join(answer.choices),
        BETWEEN.join(answer.right),
        answer.given,
        answer.credit,
        answer.heard or "",
        answer.chance,
        answer.predicted,
        answer.reason,
        answer.response_ms,
        "yes" if counts else "no",
        answer.student,
        answer.device,
        answer.session,
        answer.utc.isoformat(timespec="milliseconds"),
        answer.uuid,
    )


def _date_and_time(utc: datetime, offset_min: int) -> tuple[str, str]:
    """As the student saw them."""
    here = utc + timedelta(minutes=offset_min)
    return f"{here:%Y-%m-%d}", f"{here:%H:%M:%S}"
