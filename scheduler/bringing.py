"""What a log file brings that a log does not hold yet; the file is read whole for it."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from scheduler.answer import Answer
from scheduler.carrying import Carried, Span
from scheduler.entries import NOT_TAKEN
from scheduler.errors import RowConflictError
from scheduler.leaving import Leaving
from scheduler.log import Log
from scheduler.schema import answer_of, row_of

MOST_HELD = 10_000
"""So many new rows are held in memory at most; of more the file is read again."""
_ROWS_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class Bringing:
    """Of a file that was found good."""

    carried: Carried
    span: Span
    new: int
    """So many of its answers the log lacked."""
    held: tuple[Answer | Leaving, ...] | None
    """All that it lacked; None where that was too much."""

    @property
    def is_known(self) -> bool:
        """Whether it brings nothing at all."""
        return self.held == ()

    def add_to(self, log: Log) -> None:
        """Add what it brings, all or nothing. Raises LogFileError where the file is another by now,
        RowConflictError, and LogError as `Log.append_all` does."""
        rows = self.carried.rows() if self.held is None else self.held
        try:
            log.append_all(rows)
        except RowConflictError as error:
            raise conflict(self.carried, error.wrong) from error


def bringing(carried: Carried, log: Log | None) -> Bringing:
    """What a file brings to a log, or to none. Raises LogFileError, and RowConflictError where
    another row stands under the same uuid."""
    lacking = _Lacking()
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
    return Bringing(carried, span, new, lacking.held)


class _Lacking:
    """Gathers rows, as long as they are few."""

    def __init__(self) -> None:
        self._rows: list[Answer | Leaving] = []
        self._is_full = False

    def add(self, row: Answer | Leaving) -> None:
        self._is_full = self._is_full or len(self._rows) == MOST_HELD
        if self._is_full:
            self._rows.clear()
        else:
            self._rows.append(row)

    @property
    def held(self) -> tuple[Answer | Leaving, ...] | None:
        return None if self._is_full else tuple(self._rows)


def conflict(carried: Carried, wrong: str) -> RowConflictError:
    return RowConflictError(
        carried.path,
        wrong=f"{wrong} here",
        remedy=f"One of the two was changed by hand. {NOT_TAKEN}; ask for the file again",
    )
