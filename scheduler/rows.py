"""Reading the answers of a log, and what memory and history need of them.

Where rows come from several devices, each device's own order is kept and the devices are merged by
time.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import datetime
from typing import Any, NamedTuple

from scheduler.answer import Answer, Meeting, json_text, milliseconds_of, moment_of
from scheduler.beside import Beside
from scheduler.leaving import Pair
from scheduler.merged import BEFORE_ALL, merged
from scheduler.schema import COLUMNS, MEETING_COLUMNS, answer_of, listed
from scheduler.tables import ANSWERS, TABLES, Table

_ROWS_AT_ONCE = 1000
_AFTER_ALL = 2**63 - 1  # rows are numbered with 64 bits


class Dated(NamedTuple):
    """A meeting and what its place in the order hangs on: the latest time that its device had
    seen, and then the device's name."""

    latest_ms: int
    device: str
    meeting: Meeting


class Sat(NamedTuple):
    """A session: how many answers, how many of them to what had not just been told, how many of
    these right, and from when to when, in milliseconds since 1970 in UTC."""

    session: str
    answers: int
    asked: int
    right: int
    first_ms: int
    last_ms: int


class Rows(Beside):
    """The rows of an open log; `Log` opens it and adds to it."""

    def answers(
        self, student: str | None = None, *, with_left_out: bool = True
    ) -> Iterator[Answer]:
        """All answers in order, or those of one student; only those that count, if so wished."""
        left_out = self._left_out(student) if not with_left_out else ()
        return map(answer_of, self._rows(COLUMNS, student, left_out))

    def values(self, student: str) -> Iterator[tuple[Any, ...]]:
        """The answers of one student in order, as they stand in the log, by COLUMNS."""
        return self._rows(COLUMNS, student, ())

    def meetings(self, student: str | None = None) -> Iterator[Meeting]:
        """What memory needs of all answers that count, in order; several times faster than
        `answers`."""
        rows = self._rows(MEETING_COLUMNS, student, self._left_out(student))
        return map(Meeting._make, rows)

    def dated_meetings(
        self,
        student: str,
        *,
        after: int = BEFORE_ALL,
        until: int = _AFTER_ALL,
        latest_ms: Mapping[str, int] | None = None,
        left_out: Collection[str] | None = None,
    ) -> Iterator[Dated]:
        """The meetings in the rows after one number and until another, in order among themselves.

        `latest_ms` is what each device had seen before them; `left_out` are the sessions that do
        not count, as the log has it unless they are given.
        """
        sessions = self.left_out(student) if left_out is None else left_out
        pairs = [(student, session) for session in sessions]
        streams = self._streams(MEETING_COLUMNS, student, pairs, after, until)
        for latest, device, row in merged(streams, latest_ms or {}):
            yield Dated(latest, device, Meeting._make(row))

    def latest(
        self,
        student: str,
        skill: str,
        count: int,
        *,
        right: str | None = None,
        given: str | None = None,
        until: datetime | None = None,
    ) -> list[Answer]:
        """The last answers of `student` on `skill` that came into the log and count, the newest
        first; only those to which `right` alone was right, to which `given` was answered, or which
        were given before `until` (aware), where it is named."""
        counts, pairs = _counting(self._left_out(student))
        wanted: dict[str, object] = {
            "[right] = ?": None if right is None else json_text([right]),
            "given = ?": given,
            "utc_ms < ?": None if until is None else milliseconds_of(until),
        }
        named = {clause: value for clause, value in wanted.items() if value is not None}
        where = "".join(f" AND {clause}" for clause in named)
        query = (
            f"SELECT {listed(COLUMNS)} FROM answers WHERE student = ? AND skill = ?{counts}{where} "
            "ORDER BY rowid DESC LIMIT ?"
        )
        return [
            answer_of(row)
            for row in self._ask(query, student, skill, *pairs, *named.values(), count)
        ]

    def first_met(self, student: str, skills: Iterable[str], since: datetime) -> list[datetime]:
        """When each of these skills was met for the first time in what counts, where that was at
        `since` (aware) or later; the first of them first."""
        counts, pairs = _counting(self._left_out(student))
        query = (
            "SELECT min(utc_ms) AS first FROM answers WHERE student = ? "
            f"AND skill IN (SELECT value FROM json_each(?)){counts} "
            "GROUP BY skill HAVING first >= ? ORDER BY first"
        )
        values = (student, json.dumps(list(skills)), *pairs, milliseconds_of(since))
        return [moment_of(first) for (first,) in self._ask(query, *values)]

    def sessions(self, student: str) -> list[Sat]:
        """The sessions of `student`, left out or not, in the order in which they came in."""
        query = (
            "SELECT session, count(*), sum(chance < 1.0), sum(chance < 1.0 AND credit = 1.0), "
            "min(utc_ms), max(utc_ms) FROM answers NOT INDEXED "
            "WHERE student = ? GROUP BY session ORDER BY max(rowid)"
        )
        return [Sat._make(row) for row in self._ask(query, student)]

    def has_any(self, student: str, sessions: Collection[str], *, until: int) -> bool:
        """Whether one of the rows until a number is of one of these sessions."""
        query = (
            "SELECT 1 FROM answers NOT INDEXED WHERE rowid <= ? AND student = ? "
            "AND session IN (SELECT value FROM json_each(?)) LIMIT 1"
        )
        return bool(self._ask(query, until, student, json.dumps(sorted(sessions))))

    def students(self) -> tuple[str, ...]:
        """Everybody who has answered, or of whom there is a note, by name."""
        found = {row[0] for row in self._ask(_STUDENTS.format(table="answers"))}
        if self._knows("notes"):
            found |= {row[0] for row in self._ask(_STUDENTS.format(table="notes"))}
        return tuple(sorted(found))

    def last_student(self) -> str:
        """Who has answered last, by the order of rows; where nobody has, of whom there is the last
        note; "" where there is none."""
        for table in ("answers", "notes"):
            query = f"SELECT student FROM {table} ORDER BY rowid DESC LIMIT 1"
            if self._knows(table) and (rows := self._ask(query)):
                return str(rows[0][0])
        return ""

    def is_empty(self) -> bool:
        """Whether nothing at all stands in it."""
        tables = filter(self._knows, TABLES)
        return not any(self._ask(f"SELECT 1 FROM {table} LIMIT 1") for table in tables)

    def count(self) -> int:
        return int(self._ask("SELECT count(*) FROM answers")[0][0])

    def values_under(
        self, uuids: Iterable[str], table: Table = ANSWERS
    ) -> dict[str, tuple[Any, ...]]:
        """Of the rows that stand under these uuids in a table, the values as they stand in the
        log, by uuid."""
        if not self._knows(table.name):
            return {}
        chosen = f"SELECT {listed(table.columns)} FROM {table.name}"
        query = f"{chosen} WHERE uuid IN (SELECT value FROM json_each(?))"
        return {row[0]: row for row in self._ask(query, json.dumps(list(uuids)))}

    def has_any_of(self, student: str, device: str) -> bool:
        """Whether `student` has answered on this device, or something was noted there."""
        query = "SELECT 1 FROM answers NOT INDEXED WHERE student = ? AND device = ? LIMIT 1"
        return bool(self._ask(query, student, device)) or self.noted_on(student, device) > 0

    def numbers(self) -> tuple[int, int]:
        """The first and the last row number; (1, 0) when there are none.

        They rise by one with each row unless another program has written into the file.
        """
        query = "SELECT (SELECT min(rowid) FROM answers), (SELECT max(rowid) FROM answers)"
        first, last = self._ask(query)[0]
        return (1, 0) if last is None else (first, last)

    def count_between(self, after: int, until: int) -> int:
        """How many rows there are after one number and until another."""
        query = "SELECT count(*) FROM answers NOT INDEXED WHERE rowid > ? AND rowid <= ?"
        return int(self._ask(query, after, until)[0][0])

    def uuids_at(self, rows: Iterable[int]) -> list[str | None]:
        """The answers' uuids in rows of these numbers; None where there is no such row."""
        query = "SELECT uuid FROM answers WHERE rowid = ?"
        found = (self._ask(query, row) for row in rows)
        return [row[0][0] if row else None for row in found]

    def _rows(
        self, columns: Iterable[str], student: str | None, left_out: Collection[Pair]
    ) -> Iterator[tuple[Any, ...]]:
        streams = self._streams(columns, student, left_out, BEFORE_ALL, _AFTER_ALL)
        return (row for _, _, row in merged(streams, {}))

    def _streams(
        self,
        columns: Iterable[str],
        student: str | None,
        left_out: Collection[Pair],
        after: int,
        until: int,
    ) -> dict[str, Iterator[tuple[Any, ...]]]:
        """The rows after one number and until another that are not left out, in their order, by
        device; to each row its time is added at the end."""
        counts, pairs = _counting(left_out)
        # Through an index whole rows would come in no order, and each would be looked up.
        source = f"FROM answers NOT INDEXED WHERE rowid > ? AND rowid <= ?{counts}"
        values: tuple[object, ...] = (after, until, *pairs)
        if student is not None:
            source, values = f"{source} AND student = ?", (*values, student)
        devices = [row[0] for row in self._ask(f"SELECT DISTINCT device {source}", *values)]
        query = f"SELECT {listed(columns)}, utc_ms {source}"
        if len(devices) == 1:  # spares comparing each
            return {devices[0]: self._fetched(f"{query} ORDER BY rowid", values)}
        query = f"{query} AND device = ? ORDER BY rowid"
        return {device: self._fetched(query, (*values, device)) for device in devices}

    def _fetched(self, query: str, values: tuple[object, ...]) -> Iterator[tuple[Any, ...]]:
        with self._lock, self._telling():
            cursor = self._db.conn.execute(query, values)
        while True:
            with self._lock, self._telling():
                rows = cursor.fetchmany(_ROWS_AT_ONCE)
            if not rows:
                return
            yield from rows


def _counting(left_out: Collection[Pair]) -> tuple[str, tuple[str, ...]]:
    """A clause that leaves sessions out, and its value; nothing where none is, as mostly."""
    if not left_out:
        return "", ()
    # Each pair as one text, unlike any other's: of two columns no index would be made.
    names = json.dumps([f"{len(student)}:{student}{session}" for student, session in left_out])
    name = "length(student) || ':' || student || session"
    return f" AND {name} NOT IN (SELECT value FROM json_each(?))", (names,)


# The names in turn, each by one look into the index: a DISTINCT would read all of it.
_STUDENTS = """
WITH RECURSIVE known(name) AS (
    SELECT min(student) FROM {table}
    UNION ALL
    SELECT (SELECT min(student) FROM {table} WHERE student > name) FROM known
    WHERE name IS NOT NULL
)
SELECT name FROM known WHERE name IS NOT NULL
"""
