"""The file by which a student's log leaves a device and comes into another.

A zip file (PKWARE's APPNOTE 6.3) of three entries, to be read by any tool:

    about.json       whose log it is, when it was written, and of the two others how many lines
                     they have, how many bytes, and their SHA-256
    answers.jsonl    one answer a line (`scheduler.lines`), in the order of the log
    left_out.jsonl   what was left out or put back, one a line

It holds all of one student's rows that the device knows, also those of other devices, so that logs
to which such files are brought, in any order and as often as you like, come to be the same. It is
read whole and found good before a row of it is used, and while rows are used once more.
"""

from __future__ import annotations

import contextlib
import hashlib
import itertools
import json
import re
import stat
import struct
import zipfile
import zlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path, PurePosixPath
from typing import IO, Any, NamedTuple, TypeVar

from scheduler.answer import Answer
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
    LONGEST_LINE,
    LineError,
    NewerLineError,
    answer_in,
    leaving_in,
    line_of,
)
from scheduler.log import Log
from scheduler.whole import appearing_whole

FORMAT = 1
"""Version of the file; a newer one is not read."""
MARK = "kaan-log"
"""Stands in about.json, and in no other file of ours."""
ABOUT, ANSWERS, LEFT_OUT = "about.json", "answers.jsonl", "left_out.jsonl"
MOST_FILE_BYTES = 2**29
MOST_BYTES = 2**31 - 1
"""Of one entry, unpacked: three million answers; a zip file of the plain form holds no more."""
MOST_ABOUT_BYTES = 2**16
MOST_RATIO = 200
"""So many times smaller than its content an entry may be packed, beyond the first 256 KB; answers
are packed seven times smaller."""
SMALL_BYTES = 2**18

NOT_TAKEN = "Nothing of it was taken"
_AGAIN = f"{NOT_TAKEN}; ask for the file again, or hand the log over once more"
_UPDATE = f"Update this program, then bring the file in again. {NOT_TAKEN}"
_OTHER = f"{NOT_TAKEN}; choose a file that was handed over as a log"
_MOST_ENTRIES = 32
_MOST_DIRECTORY = 2**14
_CHUNK = 2**16
_LINES_AT_ONCE = 500
_END = struct.Struct("<4s4H2LH")
_ENCRYPTED = 0x1 | 0x40 | 0x2000
_SQLITE = b"SQLite format 3\0"
_DIGEST = re.compile("[0-9a-f]{64}")
_BROKEN = (
    zipfile.BadZipFile,
    zlib.error,
    struct.error,
    NotImplementedError,
    RuntimeError,
    EOFError,
    ValueError,
    OverflowError,
    KeyError,
    OSError,
)
"""What `zipfile` raises where a file is not what it should be."""

Row = TypeVar("Row", Answer, Leaving)


@dataclass(frozen=True, slots=True)
class Entry:
    """What about.json tells of another entry."""

    rows: int
    bytes: int
    sha256: str


class Span(NamedTuple):
    """How many answers, and when the earliest and the latest of them were given, if any were."""

    answers: int
    first: datetime | None
    last: datetime | None


@dataclass(frozen=True, slots=True)
class Carried:
    """A student's rows in a file that was found good; `answers` and `leavings` read them from it.

    Both raise LogFileError where the file is another by then.
    """

    path: Path
    student: str
    about: Mapping[str, Any]
    """What the writer told of the student besides; any JSON object, of which nothing is known."""
    written: datetime
    span: Span
    read_answers: Callable[[], Iterator[Answer]]
    read_leavings: Callable[[], Iterator[Leaving]]

    def answers(self) -> Iterator[Answer]:
        return self.read_answers()

    def leavings(self) -> Iterator[Leaving]:
        return self.read_leavings()

    def rows(self) -> Iterator[Answer | Leaving]:
        """All of them, for `Log.append_all`."""
        return itertools.chain(self.answers(), self.leavings())


def write_log_file(
    path: Path,
    log: Log,
    student: str,
    about: Mapping[str, Any],
    *,
    now: datetime | None = None,
) -> int:
    """Write all that `log` holds of `student` to `path`, in place of what stood there; returns how
    many answers that are. The file appears when all of it is on the disk.

    `about` is any JSON object. Raises FullDiskError, UnwritableLogError or LogError.
    """
    written = (now or datetime.now(UTC)).astimezone(UTC)
    with appearing_whole(path) as raw, zipfile.ZipFile(raw, "w", zipfile.ZIP_DEFLATED) as archive:
        entries = {
            ANSWERS: _put(archive, ANSWERS, map(line_of, log.answers(student)), written, path),
            LEFT_OUT: _put(archive, LEFT_OUT, map(line_of, log.leavings(student)), written, path),
        }
        told = {
            MARK: FORMAT,
            "student": student,
            "written": written.isoformat(timespec="milliseconds"),
            "about": about,
            "entries": {
                name: {"rows": entry.rows, "bytes": entry.bytes, "sha256": entry.sha256}
                for name, entry in entries.items()
            },
        }
        text = json.dumps(told, ensure_ascii=False, indent=2, allow_nan=False)
        _put(archive, ABOUT, [f"{text}\n".encode()], written, path)
    return entries[ANSWERS].rows


def _put(
    archive: zipfile.ZipFile, name: str, lines: Iterable[bytes], written: datetime, path: Path
) -> Entry:
    info = zipfile.ZipInfo(name, written.timetuple()[:6])
    info.compress_type = zipfile.ZIP_DEFLATED
    info.external_attr = (stat.S_IFREG | 0o644) << 16
    digest, rows, size = hashlib.sha256(), 0, 0
    lines = iter(lines)
    with archive.open(info, "w") as file:
        while some := list(itertools.islice(lines, _LINES_AT_ONCE)):
            chunk = b"".join(some)
            rows, size = rows + len(some), size + len(chunk)
            if size > MOST_BYTES:
                wrong = f"the log has more than {MOST_BYTES // 10**6} MB of answers"
                raise LogError(path, wrong=wrong, remedy="Please report this")
            digest.update(chunk)
            file.write(chunk)
    return Entry(rows, size, digest.hexdigest())


def is_log_file(path: Path) -> bool:
    """Whether a file was meant as a log, be it whole or not; a deck's bundle is none."""
    try:
        if _is_bare(path):
            return True
        with _opened(path) as entries:
            return ABOUT in entries.infos
    except LogFileError:
        return False


def _is_bare(path: Path) -> bool:
    """Whether it is a database, as a log is on its own device."""
    with _reading(path) as file:
        return file.read(len(_SQLITE)) == _SQLITE


def read_log_file(path: Path) -> Carried:
    """Read a file whole and find it good; holds only a line at a time.

    A log as it lies on its own device is read too, where it is of one student. Raises
    NotALogFileError, NewerLogFileError or DamagedLogFileError; of such a log LogError.
    """
    if _is_bare(path):
        return _read_bare(path)
    with _opened(path) as entries:
        told = entries.about()
        student, written = told["student"], datetime.fromisoformat(told["written"])
        known = {name: Entry(**told["entries"][name]) for name in (ANSWERS, LEFT_OUT)}
        entries.check_nothing_else()
        span = _span(entries.rows(ANSWERS, known[ANSWERS], answer_in, student))
        for _ in entries.rows(LEFT_OUT, known[LEFT_OUT], leaving_in, student):
            pass

    def read(name: str, row_in: Callable[[bytes], Row]) -> Iterator[Row]:
        with _opened(path) as entries:
            yield from entries.rows(name, known[name], row_in, student)

    return Carried(
        path=path,
        student=student,
        about=told["about"],
        written=written,
        span=span,
        read_answers=lambda: read(ANSWERS, answer_in),
        read_leavings=lambda: read(LEFT_OUT, leaving_in),
    )


def _read_bare(path: Path) -> Carried:
    """A log as it lies on its own device, read as if it had been handed over."""
    with Log.reading(path) as log:
        students = log.students()
    if len(students) != 1:
        said = f"of {len(students)} students" if students else "of nobody"
        remedy = f"{NOT_TAKEN}; hand each student's log over by itself"
        raise NotALogFileError(path, wrong=f"it holds answers {said}", remedy=remedy)
    (student,) = students

    def read(
        rows_of: Callable[[Log], Iterable[Row]], row_in: Callable[[bytes], Row]
    ) -> Iterator[Row]:
        with Log.reading(path) as log:
            try:
                for row in rows_of(log):
                    yield row_in(line_of(row))
            except (LineError, AnswerError, ValueError, TypeError, ArithmeticError) as error:
                wrong = f"a row of it is no answer ({error})"
                raise DamagedLogFileError(path, wrong=wrong, remedy=_AGAIN) from error

    def answers() -> Iterator[Answer]:
        return read(lambda log: log.answers(student), answer_in)

    def leavings() -> Iterator[Leaving]:
        return read(lambda log: log.leavings(student), leaving_in)

    for _ in leavings():
        pass
    return Carried(
        path=path,
        student=student,
        about={},
        written=datetime.fromtimestamp(path.stat().st_mtime, UTC),
        span=_span(answers()),
        read_answers=answers,
        read_leavings=leavings,
    )


def _span(answers: Iterable[Answer]) -> Span:
    """Reads them all."""
    count, first, last = 0, None, None
    for answer in answers:
        count += 1
        first = answer.utc if first is None else min(first, answer.utc)
        last = answer.utc if last is None else max(last, answer.utc)
    return Span(count, first, last)


class _Entries:
    """The entries of an open file, by their plain names."""

    def __init__(self, path: Path, archive: zipfile.ZipFile) -> None:
        self._path, self._archive = path, archive
        infos = [info for info in archive.infolist() if not _is_litter(info)]
        self.infos = {PurePosixPath(info.filename).name: info for info in infos}
        if len(self.infos) != len(infos):
            raise self.damaged("two entries in it have one name")

    def damaged(self, wrong: str) -> DamagedLogFileError:
        return DamagedLogFileError(self._path, wrong=wrong, remedy=_AGAIN)

    def about(self) -> dict[str, Any]:
        """What about.json tells, each of its type."""
        if ABOUT not in self.infos:
            raise NotALogFileError(self._path, wrong=_what_else(self.infos), remedy=_OTHER)
        data = b"".join(self._chunks(ABOUT, MOST_ABOUT_BYTES))
        try:
            told = json.loads(data, object_pairs_hook=_unlike, parse_constant=_no_number)
        except (ValueError, RecursionError) as error:
            raise self.damaged(f"{ABOUT} is no JSON ({error})") from error
        if not isinstance(told, dict) or type(told.get(MARK)) is not int:
            raise NotALogFileError(self._path, wrong=f"its {ABOUT} is not Kaan's", remedy=_OTHER)
        if told[MARK] > FORMAT:
            wrong = f"its format is {told[MARK]}, newer than {FORMAT}"
            raise NewerLogFileError(self._path, wrong=wrong, remedy=_UPDATE)
        if wrong := _wrong_about(told):
            raise self.damaged(f"{ABOUT}: {wrong}")
        return told

    def check_nothing_else(self) -> None:
        names = {ABOUT, ANSWERS, LEFT_OUT}
        for lacking in sorted(names - self.infos.keys()):
            raise self.damaged(f"{lacking} is not in it")
        for unknown in sorted(self.infos.keys() - names):
            raise self.damaged(f"it holds {unknown!r:.60} besides, which is no part of a log")

    def rows(
        self, name: str, entry: Entry, row_in: Callable[[bytes], Row], student: str
    ) -> Iterator[Row]:
        """The rows of an entry, which is what it should be, if this ends."""
        digest, number = hashlib.sha256(), 0
        for number, line in enumerate(self._lines(name, entry.bytes, digest), 1):
            if number > entry.rows:
                raise self.damaged(f"{name} has more lines than the {entry.rows} that it says")
            try:
                row = row_in(line)
            except NewerLineError as error:
                wrong = f"{name}, line {number}: {error}"
                raise NewerLogFileError(self._path, wrong=wrong, remedy=_UPDATE) from error
            except LineError as error:
                raise self.damaged(f"{name}, line {number}: {error}") from error
            if row.student != student:
                raise self.damaged(
                    f"{name}, line {number}: student={row.student!r:.80}, but the file is of "
                    f"{student!r:.80}"
                )
            yield row
        if number != entry.rows:
            raise self.damaged(f"{name} has {number} lines, not the {entry.rows} that it says")
        if digest.hexdigest() != entry.sha256:
            raise self.damaged(f"{name} is not what was written: its SHA-256 is another")

    def _lines(self, name: str, most: int, digest: Any) -> Iterator[bytes]:
        rest, number = b"", 0
        for chunk in self._chunks(name, most):
            digest.update(chunk)
            *lines, rest = (rest + chunk).split(b"\n")
            yield from lines
            number += len(lines)
            if len(rest) > LONGEST_LINE:
                raise self.damaged(f"{name}, line {number + 1}: it is longer than a line may be")
        if rest:
            raise self.damaged(f"{name}, line {number + 1}: it is cut off")

    def _chunks(self, name: str, most: int) -> Iterator[bytes]:
        """The content of an entry, counted as it comes."""
        info, size = self.infos[name], 0
        if wrong := _wrong_form(info):
            raise self.damaged(f"{name} {wrong}")
        try:
            with self._archive.open(info) as file:
                while chunk := file.read(_CHUNK):
                    size += len(chunk)
                    if size > most:
                        raise self.damaged(f"{name} is longer than {most} bytes")
                    yield chunk
        except _BROKEN as error:
            raise self.damaged(f"{name} cannot be unpacked ({error})") from error


@contextlib.contextmanager
def _opened(path: Path) -> Iterator[_Entries]:
    """A zip file whose list of entries is as short as a log's."""
    with _reading(path) as file, contextlib.ExitStack() as stack:
        _check_ends(file, path)
        try:
            archive = stack.enter_context(zipfile.ZipFile(file))
        except _BROKEN as error:
            raise DamagedLogFileError(
                path, wrong=f"it is no whole zip file ({error})", remedy=_AGAIN
            ) from error
        yield _Entries(path, archive)


@contextlib.contextmanager
def _reading(path: Path) -> Iterator[IO[bytes]]:
    try:
        if path.exists() and not path.is_file():  # a pipe would keep us waiting
            raise NotALogFileError(path, wrong="it is no file", remedy=_OTHER)
        with path.open("rb") as file:
            yield file
    except OSError as error:
        raise LogFileError(
            path,
            wrong=f"it cannot be read ({error.strerror or error})",
            remedy="Check its name, and that it may be read",
        ) from error


def _check_ends(file: IO[bytes], path: Path) -> None:
    """Before the list of entries is read into memory: that there is one, and no long one."""
    start, size = file.read(len(_SQLITE)), file.seek(0, 2)
    if not start.startswith((b"PK\3\4", b"PK\5\6")):
        raise NotALogFileError(path, wrong=_what_is(start), remedy=_OTHER)
    if size > MOST_FILE_BYTES:
        wrong = f"it is larger than {MOST_FILE_BYTES // 2**20} MB"
        raise NotALogFileError(path, wrong=wrong, remedy=_OTHER)
    file.seek(max(0, size - _END.size - 2**16))
    tail = file.read()
    at = tail.rfind(b"PK\5\6")
    if at < 0 or len(tail) - at < _END.size:
        raise DamagedLogFileError(path, wrong="its end is missing", remedy=_AGAIN)
    *_, count, directory, _, _ = _END.unpack_from(tail, at)
    if count > _MOST_ENTRIES or directory > _MOST_DIRECTORY:
        wrong = f"it is a zip file of more than {_MOST_ENTRIES} files, and no log"
        raise NotALogFileError(path, wrong=wrong, remedy=_OTHER)
    file.seek(0)


def _what_is(start: bytes) -> str:
    """What a file that is no zip may be, by how it begins."""
    if not start:
        return "it is empty"
    if start.startswith(b"\x1f\x8b"):
        return "it is packed by gzip, as backups are"
    return "it is no zip file"


def _what_else(names: Iterable[str]) -> str:
    """What a zip file without about.json may be."""
    if any(name.endswith(".toml") for name in names):
        return "it holds decks and no log: bring it in as a deck"
    return f"it is a zip file without {ABOUT}, and so no log"


def _is_litter(info: zipfile.ZipInfo) -> bool:
    """What a file manager adds when a student unpacks a file and packs it again."""
    name = PurePosixPath(info.filename).name
    return info.is_dir() or info.filename.startswith("__MACOSX/") or name in (".DS_Store", "")


def _wrong_form(info: zipfile.ZipInfo) -> str:
    if info.flag_bits & _ENCRYPTED:
        return "is encrypted"
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        return "is packed in a way that is not read here"
    if info.file_size > max(SMALL_BYTES, MOST_RATIO * info.compress_size):
        return f"is packed more than {MOST_RATIO} times smaller than it says it is"
    return ""


def _wrong_about(told: Mapping[str, Any]) -> str:
    """What is wrong with about.json of a format known here; empty where nothing is."""
    if told[MARK] < 1:
        return f"{MARK}={told[MARK]} is no format"
    if type(told.get("student")) is not str or not told["student"]:
        return "student: should be a text that is not empty"
    try:
        is_aware = datetime.fromisoformat(told["written"]).utcoffset() is not None
    except (KeyError, TypeError, ValueError, OverflowError):
        is_aware = False
    if not is_aware:
        return "written: should be a time with its offset, as in RFC 3339"
    if type(told.get("about")) is not dict:
        return "about: should be an object"
    entries = told.get("entries")
    if type(entries) is not dict or entries.keys() != {ANSWERS, LEFT_OUT}:
        return f"entries: should tell of {ANSWERS} and {LEFT_OUT}"
    for name, entry in entries.items():
        if type(entry) is not dict or entry.keys() != {"rows", "bytes", "sha256"}:
            return f"entries: {name}: should tell rows, bytes and sha256"
        for count in ("rows", "bytes"):
            if type(entry[count]) is not int or not 0 <= entry[count] <= MOST_BYTES:
                return f"entries: {name}: {count}={entry[count]!r:.40} cannot be"
        if type(entry["sha256"]) is not str or not _DIGEST.fullmatch(entry["sha256"]):
            return f"entries: {name}: sha256={entry['sha256']!r:.80} cannot be"
    return ""


def _unlike(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """An object in which no name stands twice."""
    found = dict(pairs)
    if len(found) != len(pairs):
        raise ValueError("a name stands twice in it")
    return found


def _no_number(name: str) -> Any:
    raise ValueError(f"{name} is no number of JSON")
