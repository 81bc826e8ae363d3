"""The file by which a student's log leaves a device and comes into another.

A zip file (PKWARE's APPNOTE 6.3) of a few entries, to be read by any tool:

    about.json       whose log it is, when it was written, and of the others how many lines they
                     have, how many bytes, and their SHA-256 (`scheduler.about`)
    answers.jsonl    one answer a line (`scheduler.lines`), in the order of the log
    left_out.jsonl   what was left out or put back, one a line
    notes.jsonl      what is noted beside answers, one a line; only where anything is

Older versions of this program refuse a file that they would lose notes of, since its format is
newer; one without notes they read as ever.

It holds all of one student's rows that the device knows, also those of other devices, so that logs
to which such files are brought, in any order and as often as you like, come to be the same. It is
found good while it is read, and good as a whole before a row of it is used.
"""

from __future__ import annotations

import contextlib
import hashlib
import itertools
import stat
import zipfile
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import reduce
from pathlib import Path
from typing import Any, NamedTuple, TypeVar

from scheduler import checked
from scheduler.about import (
    MOST_BYTES,
    About,
    AboutError,
    Entry,
    NewerAboutError,
    NotAboutError,
    check_student,
    read_about,
)
from scheduler.answer import Answer
from scheduler.entries import NOT_TAKEN, OTHER, Entries, opened, telling
from scheduler.errors import (
    AnswerError,
    DamagedLogFileError,
    LogError,
    LogFileError,
    NewerLogFileError,
    NotALogFileError,
)
from scheduler.leaving import Leaving
from scheduler.lines import (
    LineError,
    NewerLineError,
    answer_in,
    leaving_in,
    line_of,
    line_of_values,
    note_in,
)
from scheduler.log import Log
from scheduler.notes import Note
from scheduler.opening import SQLITE
from scheduler.whole import appearing_whole

ABOUT, ANSWERS, LEFT_OUT = "about.json", "answers.jsonl", "left_out.jsonl"
NOTES = "notes.jsonl"
MOST_ABOUT_BYTES = 2**16
_WITHOUT_NOTES, _WITH_NOTES = 1, 2
_TOLD = {
    _WITHOUT_NOTES: frozenset((ANSWERS, LEFT_OUT)),
    _WITH_NOTES: frozenset((ANSWERS, LEFT_OUT, NOTES)),
}
"""The entries of which about.json tells, by the format of the file."""
_LINES_AT_ONCE = 500
_UPDATE = f"Update this program, then bring the file in again. {NOT_TAKEN}"

Row = TypeVar("Row", Answer, Leaving, Note)


class Span(NamedTuple):
    """How many answers, and when the earliest and the latest of them were given, if any were."""

    answers: int = 0
    first: datetime | None = None
    last: datetime | None = None

    def with_one(self, answer: Answer) -> Span:
        first, last = self.first or answer.utc, self.last or answer.utc
        return Span(self.answers + 1, min(first, answer.utc), max(last, answer.utc))


@dataclass(frozen=True, slots=True)
class Carried:
    """A student's rows in a file. `answers`, `leavings` and `notes` read them from it one by one,
    and raise LogFileError where something is wrong, at the latest behind the last: until one has
    ended, nothing is sure."""

    path: Path
    student: str
    about: Mapping[str, Any]
    """What the writer told of the student besides: a JSON object, of which nothing is known; empty
    for a log as it lies on its own device."""
    written: datetime
    answers: Callable[[], Iterator[Answer]]
    leavings: Callable[[], Iterator[Leaving]]
    notes: Callable[[], Iterator[Note]]

    def rows(self) -> Iterator[Answer | Leaving | Note]:
        """All of them, for `Log.append_all`."""
        return itertools.chain(self.answers(), self.leavings(), self.notes())

    def span(self) -> Span:
        """Of all answers. Everything is read for it, and found good when this returns."""
        for _ in itertools.chain(self.leavings(), self.notes()):
            pass
        return reduce(Span.with_one, self.answers(), Span())


def write_log_file(
    path: Path, log: Log, student: str, about: Mapping[str, Any], *, now: datetime | None = None
) -> int:
    """Write all that `log` holds of `student` to `path`, in place of what stood there; returns how
    many answers that are. The file appears when all of it is on the disk.

    `about` is a JSON object. Raises FullDiskError, UnwritableLogError or LogError.
    """
    written = (now or datetime.now(UTC)).astimezone(UTC)
    with appearing_whole(path) as raw, zipfile.ZipFile(raw, "w") as archive:
        packing = _Packing(path, archive, written)
        entries = {
            ANSWERS: packing.put(ANSWERS, map(line_of_values, log.values(student))),
            LEFT_OUT: packing.put(LEFT_OUT, map(line_of, log.leavings(student))),
        }
        if notes := log.notes(student):
            entries[NOTES] = packing.put(NOTES, map(line_of, notes))
        form = _WITH_NOTES if notes else _WITHOUT_NOTES
        text = About(student, written, about, entries, form).text()
        packing.put(ABOUT, [text.encode()])
    return entries[ANSWERS].rows


class _Packing(NamedTuple):
    """A zip file that is being written."""

    path: Path
    archive: zipfile.ZipFile
    written: datetime

    def put(self, name: str, lines: Iterable[bytes]) -> Entry:
        year, month, day, hour, minute, second, *_ = self.written.timetuple()
        # A zip file knows no other years, and a device may have lost the time.
        year = min(max(year, 1980), 2107)
        info = zipfile.ZipInfo(name, (year, month, day, hour, minute, second))
        info.compress_type = zipfile.ZIP_DEFLATED
        info.external_attr = (stat.S_IFREG | 0o644) << 16
        digest, rows, size = hashlib.sha256(), 0, 0
        lines = iter(lines)
        with self.archive.open(info, "w") as file:
            while some := list(itertools.islice(lines, _LINES_AT_ONCE)):
                chunk = b"".join(some)
                rows, size = rows + len(some), size + len(chunk)
                if size > MOST_BYTES:
                    wrong = f"the log has more than {MOST_BYTES // 10**6} MB of answers"
                    raise LogError(self.path, wrong=wrong, remedy="Please report this")
                digest.update(chunk)
                file.write(chunk)
        return Entry(rows, size, digest.hexdigest())


def is_log_file(path: Path) -> bool:
    """Whether a file was meant as a log, be it whole or not; a deck's bundle is none."""
    try:
        if _is_bare(path):
            return True
        with opened(path) as entries:
            return ABOUT in entries.names
    except DamagedLogFileError:
        with contextlib.suppress(LogFileError), telling(path), path.open("rb") as file:
            # Where its list of entries is gone, the first of them still tells (APPNOTE, 4.3.7).
            return file.read(30 + len(ANSWERS)).endswith(ANSWERS.encode())
    except LogFileError:
        pass
    return False


def _is_bare(path: Path) -> bool:
    """Whether it is a database, as a log is on its own device."""
    with telling(path):
        return checked.begins_with(path, SQLITE)


def about_log_file(path: Path) -> About:
    """What a file that was handed over tells of itself; its rows are not read, and nobody knows
    whether they are good. Raises LogFileError as `read_log_file` does."""
    with opened(path) as entries:
        about = _about_of(entries, path)
        entries.check_are(_TOLD[about.format] | {ABOUT})
    return about


def open_log_file(path: Path, student: str = "") -> Carried:
    """A file of which only about.json has been read so far, and found good.

    A log as it lies on its own device is read too, where it is of one student; or of the one of
    this id. Raises NotALogFileError, NewerLogFileError or DamagedLogFileError; of such a log also
    LogError.
    """
    if _is_bare(path):
        return _bare(path, student)
    about = about_log_file(path)

    def answers() -> Iterator[Answer]:
        return _rows(path, about, ANSWERS, answer_in)

    def leavings() -> Iterator[Leaving]:
        return _rows(path, about, LEFT_OUT, leaving_in)

    def notes() -> Iterator[Note]:
        return _rows(path, about, NOTES, note_in) if NOTES in about.entries else iter(())

    return Carried(path, about.student, about.about, about.written, answers, leavings, notes)


def read_log_file(path: Path, student: str = "") -> Carried:
    """A file that has been read whole, a few lines at a time, and found good; else as
    `open_log_file`."""
    carried = open_log_file(path, student)
    carried.span()
    return carried


def _about_of(entries: Entries, path: Path) -> About:
    if ABOUT not in entries.names:
        is_deck = any(name.endswith(".toml") for name in entries.names)
        wrong = "it holds decks and no log" if is_deck else f"there is no {ABOUT} in it"
        remedy = "Bring it in as a deck" if is_deck else OTHER
        raise NotALogFileError(path, wrong=wrong, remedy=remedy)
    try:
        return read_about(entries.content(ABOUT, MOST_ABOUT_BYTES), _TOLD)
    except NotAboutError as error:
        raise NotALogFileError(path, wrong=f"{ABOUT}: {error}", remedy=OTHER) from error
    except NewerAboutError as error:
        raise NewerLogFileError(path, wrong=f"{error}", remedy=_UPDATE) from error
    except AboutError as error:
        raise entries.damaged(f"{ABOUT}: {error}") from error


def _rows(path: Path, about: About, name: str, row_in: Callable[[bytes], Row]) -> Iterator[Row]:
    """The rows of an entry, which is what it must be if this ends."""
    entry, digest, number = about.entries[name], hashlib.sha256(), 0
    with opened(path) as entries:
        for number, line in enumerate(entries.lines(name, entry.bytes, digest.update), 1):
            place = f"{name}, line {number}"
            if number > entry.rows:
                raise entries.damaged(f"{place}: there should be {entry.rows} lines")
            try:
                row = row_in(line)
            except NewerLineError as error:
                raise NewerLogFileError(path, wrong=f"{place}: {error}", remedy=_UPDATE) from error
            except LineError as error:
                raise entries.damaged(f"{place}: {error}") from error
            if row.student != about.student:
                said = f"student={row.student!r:.60}, in a file of {about.student!r:.60}"
                raise entries.damaged(f"{place}: {said}")
            yield row
        if number != entry.rows:
            raise entries.damaged(f"{name}: {number} lines, and there should be {entry.rows}")
        if digest.hexdigest() != entry.sha256:
            raise entries.damaged(f"{name} is not what was written: its SHA-256 is another")


def _bare(path: Path, student: str) -> Carried:
    """A log as it lies on its own device, read as if it had been handed over."""
    with Log.reading(path) as log:
        students = log.students()
    if student and student not in students:
        wrong = f"it holds no answers of {student!r:.60}"
        raise NotALogFileError(path, wrong=wrong, remedy="Practise first, or choose another file")
    if not student and len(students) != 1:
        said = f"of {len(students)} students" if students else "of nobody"
        remedy = f"{NOT_TAKEN}; hand each student's log over by itself"
        raise NotALogFileError(path, wrong=f"it holds answers {said}", remedy=remedy)
    student = student or students[0]
    try:
        check_student(student)
    except AboutError as error:
        raise DamagedLogFileError(path, place=f"{error}") from error

    def answers() -> Iterator[Answer]:
        return _bare_rows(path, lambda log: log.answers(student), answer_in)

    def leavings() -> Iterator[Leaving]:
        return _bare_rows(path, lambda log: log.leavings(student), leaving_in)

    def notes() -> Iterator[Note]:
        return _bare_rows(path, lambda log: log.notes(student), note_in)

    written = datetime.fromtimestamp(path.stat().st_mtime, UTC)
    return Carried(path, student, {}, written, answers, leavings, notes)


def _bare_rows(
    path: Path, rows_of: Callable[[Log], Iterable[Row]], row_in: Callable[[bytes], Row]
) -> Iterator[Row]:
    """The rows, held to what may stand in a file: another program may have written them."""
    with Log.reading(path) as log:
        try:
            for row in rows_of(log):
                yield row_in(line_of(row))
        except (AnswerError, LineError, ValueError, TypeError, ArithmeticError) as error:
            raise DamagedLogFileError(path, place="a row in it is none of ours") from error
