"""The tables of a log by what stands in them, so that whoever takes rows of any sort takes all."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from scheduler.answer import Answer
from scheduler.leaving import Leaving
from scheduler.notes import Note
from scheduler.schema import (
    COLUMNS,
    INSERT,
    INSERT_LEAVING,
    INSERT_NOTE,
    LEAVING_COLUMNS,
    NOTE_COLUMNS,
    answer_of,
    leaving_of,
    leaving_row_of,
    note_of,
    note_row_of,
    row_of,
)

Row = Answer | Leaving | Note
"""What stands in a log."""


@dataclass(frozen=True, slots=True)
class Table:
    """One table: its rows are only ever added, each under a uuid of its own."""

    name: str
    what: str
    """What one row is called."""
    columns: Sequence[str]
    insert: str
    """The statement that adds a row of these columns."""
    values: Callable[[Any], tuple[Any, ...]]
    """Of a row, in the order of the columns."""
    read: Callable[[Sequence[Any]], Row]
    """The row that these values are of."""


ANSWERS = Table("answers", "answer", COLUMNS, INSERT, row_of, answer_of)
LEFT_OUT = Table(
    "left_out",
    "row on what is left out",
    LEAVING_COLUMNS,
    INSERT_LEAVING,
    leaving_row_of,
    leaving_of,
)
NOTES = Table("notes", "note", NOTE_COLUMNS, INSERT_NOTE, note_row_of, note_of)
TABLES: Mapping[str, Table] = {table.name: table for table in (ANSWERS, LEFT_OUT, NOTES)}
_OF = {Answer: ANSWERS, Leaving: LEFT_OUT, Note: NOTES}


def table_of(row: Row) -> Table:
    """Where a row stands."""
    return _OF[type(row)]
