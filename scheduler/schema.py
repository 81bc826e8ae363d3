"""The shape of a log file: a strict table with one row an answer, and two beside it, one that says
which sessions are left out and one of notes; rows are only ever added.

    uuid          primary key          skill, kind   what was asked
    student       whose answer         seed, setting what the question is made from again
    choices       ids offered, JSON    right         ids that were right, JSON
    given         the id answered      credit        its worth, 0 to 1
    heard         skill heard instead  chance        of a lucky guess
    predicted     chance of a right answer foretold before it
    reason        why it was asked     response_ms   from the end of the cue; negative before it
    utc_ms        ms since 1970, UTC   offset_min    of the local clock from UTC
    monotonic_s   of a clock that never runs back within the session
    device        where                session       one practice
    version       of what a row holds

The order of rows is `rowid`. Beside them `left_out` holds one row for each time that a student's
session is left out (`out` is 1) or put back (0); see `scheduler.leaving`. `notes` holds what else
is noted of a student: a word and an object in JSON; see `scheduler.notes`.

Triggers refuse UPDATE and DELETE, and an INSERT over a row that stands: REPLACE deletes without
firing delete triggers unless `recursive_triggers` is on, which a foreign connection need not have
set (https://www.sqlite.org/lang_conflict.html).
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Sequence
from typing import Any

from sqlite_utils import Database, Migrations

from scheduler.answer import Answer, Meeting, json_text, milliseconds_of, moment_of
from scheduler.leaving import Leaving
from scheduler.notes import Note

APPLICATION_ID = 0x4B61616E  # "Kaan"; marks the file as ours
FORMAT = 1
"""Version of the whole file, kept in `user_version`; a newer file is not opened."""

_TABLE = """
CREATE TABLE answers (
    uuid TEXT NOT NULL PRIMARY KEY CHECK (length(uuid) > 0),
    student TEXT NOT NULL CHECK (length(student) > 0),
    skill TEXT NOT NULL CHECK (length(skill) > 0),
    kind TEXT NOT NULL CHECK (length(kind) > 0),
    seed INTEGER NOT NULL CHECK (seed >= 0),
    setting TEXT NOT NULL CHECK (json_valid(setting)),
    choices TEXT NOT NULL CHECK (json_valid(choices) AND json_type(choices) = 'array'),
    "right" TEXT NOT NULL CHECK (json_valid("right") AND json_type("right") = 'array'),
    given TEXT NOT NULL,
    credit REAL NOT NULL CHECK (credit BETWEEN 0 AND 1),
    heard TEXT,
    chance REAL NOT NULL CHECK (chance BETWEEN 0 AND 1),
    predicted REAL NOT NULL CHECK (predicted BETWEEN 0 AND 1),
    reason TEXT NOT NULL,
    response_ms INTEGER NOT NULL,
    utc_ms INTEGER NOT NULL,
    offset_min INTEGER NOT NULL CHECK (offset_min BETWEEN -1440 AND 1440),
    monotonic_s REAL NOT NULL,
    device TEXT NOT NULL,
    session TEXT NOT NULL CHECK (length(session) > 0),
    version INTEGER NOT NULL CHECK (version >= 1)
) STRICT
"""
_LEFT_OUT = """
CREATE TABLE left_out (
    uuid TEXT NOT NULL PRIMARY KEY CHECK (length(uuid) > 0),
    student TEXT NOT NULL CHECK (length(student) > 0),
    session TEXT NOT NULL CHECK (length(session) > 0),
    out INTEGER NOT NULL CHECK (out IN (0, 1)),
    utc_ms INTEGER NOT NULL,
    device TEXT NOT NULL
) STRICT
"""
_NOTES = """
CREATE TABLE notes (
    uuid TEXT NOT NULL PRIMARY KEY CHECK (length(uuid) > 0),
    student TEXT NOT NULL CHECK (length(student) > 0),
    what TEXT NOT NULL CHECK (length(what) > 0),
    data TEXT NOT NULL CHECK (json_valid(data) AND json_type(data) = 'object'),
    utc_ms INTEGER NOT NULL,
    offset_min INTEGER NOT NULL CHECK (offset_min BETWEEN -1440 AND 1440),
    device TEXT NOT NULL
) STRICT
"""


def _triggers(table: str, what: str) -> tuple[str, ...]:
    """What keeps the rows of a table as they are."""
    return (
        f"""
        CREATE TRIGGER {table}_keep_update BEFORE UPDATE ON {table}
        BEGIN SELECT RAISE(ABORT, '{what} are never changed'); END
        """,
        f"""
        CREATE TRIGGER {table}_keep_delete BEFORE DELETE ON {table}
        BEGIN SELECT RAISE(ABORT, '{what} are never deleted'); END
        """,
        f"""
        CREATE TRIGGER {table}_keep_insert BEFORE INSERT ON {table}
        WHEN EXISTS (SELECT 1 FROM {table} WHERE uuid = NEW.uuid OR rowid = NEW.rowid)
        BEGIN SELECT RAISE(ABORT, '{what} are never replaced'); END
        """,
    )


COLUMNS = (
    "uuid",
    "student",
    "skill",
    "kind",
    "seed",
    "setting",
    "choices",
    "right",
    "given",
    "credit",
    "heard",
    "chance",
    "predicted",
    "reason",
    "response_ms",
    "utc_ms",
    "offset_min",
    "monotonic_s",
    "device",
    "session",
    "version",
)
MEETING_COLUMNS = Meeting._fields
LEAVING_COLUMNS = ("uuid", "student", "session", "out", "utc_ms", "device")
NOTE_COLUMNS = ("uuid", "student", "what", "data", "utc_ms", "offset_min", "device")


def listed(columns: Iterable[str]) -> str:
    """Columns as they stand in a statement: some are named like words of SQL."""
    return ", ".join(f"[{name}]" for name in columns)


def _insert_into(table: str, columns: Sequence[str]) -> str:
    return f"INSERT INTO {table} ({listed(columns)}) VALUES ({', '.join('?' * len(columns))})"


INSERT = _insert_into("answers", COLUMNS)
INSERT_LEAVING = _insert_into("left_out", LEAVING_COLUMNS)
INSERT_NOTE = _insert_into("notes", NOTE_COLUMNS)

migrations = Migrations("kaan log")


@migrations(name="0001 write ahead", transactional=False)
def _write_ahead(db: Database) -> None:
    db.enable_wal()


@migrations(name="0002 answers")
def _answers(db: Database) -> None:
    db.execute(_TABLE)
    for trigger in _triggers("answers", "answers"):
        db.execute(trigger)
    db.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    db.execute("PRAGMA user_version = 1")


@migrations(name="0003 by skill")
def _by_skill(db: Database) -> None:
    """Finds a skill's answers without reading all. Rows stay as they are, so that older versions
    of this program go on reading and writing the file: the format is the same."""
    db.execute("CREATE INDEX answers_by_skill ON answers (student, skill)")


@migrations(name="0004 left out")
def _left_out(db: Database) -> None:
    """The rows of answers stay as they are here too: an older version of this program goes on with
    the file, and only counts what is left out."""
    db.execute(_LEFT_OUT)
    for trigger in _triggers("left_out", "rows on what is left out"):
        db.execute(trigger)


@migrations(name="0005 notes")
def _notes(db: Database) -> None:
    """Here too: an older version goes on with the file and knows nothing of its notes. Where it
    puts a torn one together anew, they stay in journal, backups and the torn file."""
    db.execute(_NOTES)
    for trigger in _triggers("notes", "notes"):
        db.execute(trigger)
    db.execute("CREATE INDEX notes_by_what ON notes (student, what)")


def prepare(conn: sqlite3.Connection, *, wait_s: float) -> Database:
    """Set what SQLite forgets with every connection; FULL so that a commit is on the disk."""
    db = Database(conn, execute_plugins=False, recursive_triggers=True)
    db.execute("PRAGMA synchronous = FULL")
    db.execute("PRAGMA fullfsync = ON")  # on Apple's systems fsync alone stops at the drive's cache
    db.execute("PRAGMA foreign_keys = ON")
    db.execute(f"PRAGMA busy_timeout = {round(wait_s * 1000)}")
    return db


def row_of(answer: Answer) -> tuple[Any, ...]:
    """The values of `answer` in the order of COLUMNS."""
    return (
        answer.uuid,
        answer.student,
        answer.skill,
        answer.kind,
        answer.seed,
        json_text(answer.setting),
        json_text(answer.choices),
        json_text(answer.right),
        answer.given,
        answer.credit,
        answer.heard,
        answer.chance,
        answer.predicted,
        answer.reason,
        answer.response_ms,
        milliseconds_of(answer.utc),
        answer.offset_min,
        answer.monotonic_s,
        answer.device,
        answer.session,
        answer.version,
    )


def answer_of(row: Sequence[Any]) -> Answer:
    """The answer that `row_of` made this row from."""
    fields = dict(zip(COLUMNS, row, strict=True))
    for name in ("setting", "choices", "right"):
        fields[name] = json.loads(fields[name])
    return Answer(utc=moment_of(fields.pop("utc_ms")), **fields)


def leaving_row_of(leaving: Leaving) -> tuple[Any, ...]:
    """The values of `leaving` in the order of LEAVING_COLUMNS."""
    names = (leaving.uuid, leaving.student, leaving.session)
    return (*names, int(leaving.is_out), leaving.utc_ms, leaving.device)


def leaving_of(row: Sequence[Any]) -> Leaving:
    """What `leaving_row_of` made this row from."""
    fields = dict(zip(LEAVING_COLUMNS, row, strict=True))
    return Leaving(is_out=bool(fields.pop("out")), **fields)


def note_row_of(note: Note) -> tuple[Any, ...]:
    """The values of `note` in the order of NOTE_COLUMNS."""
    names, when = (note.uuid, note.student, note.what), (note.utc_ms, note.offset_min)
    return (*names, json_text(note.data), *when, note.device)


def note_of(row: Sequence[Any]) -> Note:
    """What `note_row_of` made this row from."""
    fields = dict(zip(NOTE_COLUMNS, row, strict=True))
    return Note(data=json.loads(fields.pop("data")), **fields)
