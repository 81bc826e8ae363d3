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
from typing import IO

from scheduler.answer import Answer
from scheduler.carrying import Carried, Span
from scheduler.entries import NOT_TAKEN
from scheduler.errors import FullDiskError, LogError, RowConflictError
from scheduler.leaving import Leaving
from scheduler.lines import LineError, answer_in, leaving_in, line_of
from scheduler.log import Log
from scheduler.packing import BROKEN
from scheduler.schema import answer_of, row_of

MOST_HELD = 10_000
"""So many new rows are held in memory at most; more are packed into a file without a name."""
_ROWS_AT_ONCE = 500
_STAYS = "What was taken before it stays"
_ANSWER, _LEAVING = b"a", b"l"


@dataclass(frozen=True, slots=True)
class Bringing:
    """Of a file that was found good."""

    carried: Carried
    span: Span
    new: int
    """So many of its answers the log lacked."""
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
    span, new, answers = Span(), 0, carried.answers()
    while some := list(itertools.islice(answers, _ROWS_AT_ONCE)):
        here = {} if log is None else log.values_under(answer.uuid for answer in some)
        for answer in some:
            span = span.with_one(answer)
            row = here.get(answer.uuid)
            if row is None:
                lacking.add(answer)
                new += 1
            elif row != row_of(answer) and answer_of(row) != answer:
                raise conflict(carried, f"another answer stands under uuid {answer.uuid}")
    return Bringing(carried, span, new, lacking)


class Lacking:
    """Rows in the order in which they were added; once they are read, none is added any more."""

    def __init__(self) -> None:
        self._rows: list[Answer | Leaving] = []
        self._packed: IO[bytes] | None = None

    def __bool__(self) -> bool:
        return bool(self._rows) or self._packed is not None

    def add(self, row: Answer | Leaving) -> None:
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
                    file.write((_LEAVING if isinstance(row, Leaving) else _ANSWER) + line_of(row))
            self._packed.flush()
        except OSError as error:
            raise FullDiskError(
                Path(tempfile.gettempdir()),
                wrong=f"what comes in cannot be kept there meanwhile ({error.strerror or error})",
                remedy=f"Free some room, then bring the file in again. {NOT_TAKEN}",
            ) from error
        self._rows.clear()

    def __iter__(self) -> Iterator[Answer | Leaving]:
        if self._packed is not None:
            try:
                self._packed.seek(0)
                for line in gzip.GzipFile(fileobj=self._packed, mode="rb"):
                    read = leaving_in if line[:1] == _LEAVING else answer_in
                    yield read(line[1:])
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
