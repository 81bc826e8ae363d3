"""What a log file brings that a log does not hold yet; the file is read whole for it."""

from __future__ import annotations

import gzip
import itertools
import tempfile
import time
import weakref
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO, TypeVar

from scheduler.answer import Answer
from scheduler.carrying import Carried, Span
from scheduler.entries import NOT_TAKEN
from scheduler.errors import FullDiskError, LogError, RowConflictError
from scheduler.lines import ROW_IN, LineError, line_of
from scheduler.log import Log
from scheduler.notes import Note
from scheduler.packing import BROKEN
from scheduler.tables import TABLES, Row, table_of

MOST_HELD = 10_000
"""So many new rows are held in memory at most; more are packed into a file without a name."""
_ROWS_AT_ONCE = 500
_STAYS = "What was taken before it stays"
_Kind = TypeVar("_Kind", Answer, Note)
_MARKS = {name.encode()[:1]: name for name in TABLES}
"""Before each line that is packed: of which table it is."""


@dataclass(frozen=True, slots=True)
class Bringing:
    """Of a file that was found good."""

    carried: Carried
    span: Span
    new: int
    """So many of its answers the log lacked."""
    new_notes: int
    """So many of its notes."""
    lacking: Lacking
    """All that it lacked."""

    @property
    def is_known(self) -> bool:
        """Whether it brings nothing at all."""
        return not self.lacking

    def add_to(self, log: Log) -> None:
        """Add what it brings, some rows at once, so that an answer that is given meanwhile finds
        the log free. Where that fails in the middle, what was added stays, and the rest comes when
        the file is brought in again. Raises RowConflictError, and LogError as `Log.append_all`."""
        rows, took_s = iter(self.lacking), 0.0
        while some := list(itertools.islice(rows, _ROWS_AT_ONCE)):
            time.sleep(took_s)  # whoever waits for a log looks only now and then
            begun = time.monotonic()
            try:
                log.append_all(some)
            except RowConflictError as error:
                raise conflict(self.carried, error.wrong, _STAYS) from error
            took_s = time.monotonic() - begun


def bringing(carried: Carried, log: Log | None) -> Bringing:
    """What a file brings to a log, or to none. Raises LogFileError, and RowConflictError where
    another row stands under the same uuid."""
    lacking = Lacking()
    said = {} if log is None else {each.uuid: each for each in log.leavings()}
    for leaving in carried.leavings():
        known = said.setdefault(leaving.uuid, leaving)
        if known is leaving:
            lacking.add(leaving)
        elif known != leaving:
            raise conflict(carried, f"another row stands under uuid {leaving.uuid}")
    span, new, new_notes = Span(), 0, 0
    for answer, is_new in _looked_up(carried, carried.answers(), log):
        span = span.with_one(answer)
        if is_new:
            lacking.add(answer)
            new += 1
    for note, is_new in _looked_up(carried, carried.notes(), log):
        if is_new:
            lacking.add(note)
            new_notes += 1
    return Bringing(carried, span, new, new_notes, lacking)


def _looked_up(
    carried: Carried, rows: Iterator[_Kind], log: Log | None
) -> Iterator[tuple[_Kind, bool]]:
    """Each row, and whether the log lacks it. Raises RowConflictError."""
    while some := list(itertools.islice(rows, _ROWS_AT_ONCE)):
        table = table_of(some[0])
        here = {} if log is None else log.values_under((row.uuid for row in some), table)
        for row in some:
            known = here.get(row.uuid)
            if known is not None and known != table.values(row) and table.read(known) != row:
                raise conflict(carried, f"another {table.what} stands under uuid {row.uuid}")
            yield row, known is None


class Lacking:
    """Rows in the order in which they were added; once they are read, none is added any more."""

    def __init__(self) -> None:
        self._rows: list[Row] = []
        self._packed: IO[bytes] | None = None

    def __bool__(self) -> bool:
        return bool(self._rows) or self._packed is not None

    def add(self, row: Row) -> None:
        """Raises FullDiskError."""
        self._rows.append(row)
        if len(self._rows) == MOST_HELD:
            self._pack()

    def _pack(self) -> None:
        try:
            if self._packed is None:
                self._packed = tempfile.TemporaryFile()  # noqa: SIM115
                weakref.finalize(self, self._packed.close)
            with gzip.GzipFile(fileobj=self._packed, mode="wb", compresslevel=1) as file:
                for row in self._rows:
                    file.write(table_of(row).name.encode()[:1] + line_of(row))
            self._packed.flush()
        except OSError as error:
            raise FullDiskError(
                Path(tempfile.gettempdir()),
                wrong=f"what comes in cannot be kept there meanwhile ({error.strerror or error})",
                remedy=f"Free some room, then bring the file in again. {NOT_TAKEN}",
            ) from error
        self._rows.clear()

    def __iter__(self) -> Iterator[Row]:
        if self._packed is not None:
            try:
                self._packed.seek(0)
                for line in gzip.GzipFile(fileobj=self._packed, mode="rb"):
                    yield ROW_IN[_MARKS[line[:1]]](line[1:])
            except (OSError, *BROKEN, LineError) as error:
                raise LogError(
                    Path(tempfile.gettempdir()),
                    wrong=f"what was kept there meanwhile is gone ({error})",
                    remedy="See that there is room, then bring the file in again",
                ) from error
        yield from self._rows


def conflict(carried: Carried, wrong: str, taken: str = NOT_TAKEN) -> RowConflictError:
    return RowConflictError(
        carried.path,
        wrong=f"{wrong} here",
        remedy=f"One of the two was changed by hand. {taken}; ask for the file again",
    )
