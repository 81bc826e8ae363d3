"""A student's answers on their way from one device to another, in one file.

Whose they are goes by the student's id, which is in every answer. What they bring is put together
with what is here already, so a file may come in twice, late, or from another device; what cannot
be taken is refused whole.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import time
import uuid
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import chain, count
from pathlib import Path
from typing import TYPE_CHECKING
from unicodedata import category

from practice.alone import alone
from practice.errors import FolderError, SettingsError, StudentsError
from practice.settings import Settings, save_settings
from practice.students import STUDENTS, Students, of_device
from practice.told import note_told, take_told, told_of, with_told
from practice.whose import LOG_NAME, id_in, settings_of
from quizzes.ids import names_file, slug
from scheduler import DamagedLogError, Log, LogError, NotALogError, UnwritableLogError
from scheduler.bringing import Bringing, bringing
from scheduler.carrying import Carried, about_log_file, open_log_file, write_log_file
from scheduler.entries import NOT_TAKEN
from scheduler.errors import LogFileError
from scheduler.whole import sync_folder

if TYPE_CHECKING:
    from practice.practice import Practice


_COMING = ".coming-"
_WAIT_S = 60.0
"""While another window takes a large file in."""
_SURELY_LEFT_S = 86_400.0


@dataclass(frozen=True, slots=True)
class HandedOver:
    """The file that was written, and how many answers are in it."""

    path: Path
    answers: int


@dataclass(frozen=True, slots=True)
class Taken:
    """What a file brings, or has brought."""

    student: str
    """The student's id."""
    name: str
    """What the student is called here, or in the file; may be empty."""
    new: int
    """Answers that were not here before."""
    known: int
    """Answers that were."""
    is_new_student: bool
    folder: Path
    """Where this student's settings and log lie, or will."""
    first: datetime | None
    """When the earliest answer of the file was given, in UTC; None where it holds none."""
    last: datetime | None
    trouble: str = ""
    """What else is to be told, in plain words."""
    new_notes: int = 0
    """Notes that were not here before: phrases kept, paltas, minutes on the instrument."""


def hand_over_log(source: Practice | Path, path: Path, now: datetime) -> HandedOver:
    """Write all answers of the student of a practice, or of a folder, into one file: at `path`, or
    under a name of its own if that is a folder. It takes the place of no file but one of the same
    student's.

    `now` must be aware. Raises LogError, and SettingsError where it is not to be known whose they
    are.
    """
    if isinstance(source, Path):
        folder, settings = source, settings_of(source)
    else:
        folder, settings = source.folder, source.settings
    if path.is_dir():
        path = _free_place(path / log_file_name(settings, now), settings.student_id)
    elif wrong := _in_the_way(path, settings.student_id):
        raise UnwritableLogError(path, wrong=wrong, remedy="Choose another name")
    log_path = folder / LOG_NAME
    nothing = LogError(
        log_path,
        wrong="this student has answered nothing yet",
        remedy="Practise first, or choose another student",
    )
    if not os.path.lexists(log_path):
        raise nothing
    with Log.reading(log_path) as log:
        if settings.student_id not in log.students():
            raise nothing
        answers = write_log_file(path, log, settings.student_id, told_of(settings), now=now)
    return HandedOver(path, answers)


def _in_the_way(path: Path, student: str) -> str:
    """What stands there that is no log of this student's, handed over; "" where nothing does."""
    if not os.path.lexists(path):
        return ""
    try:
        is_own = about_log_file(path).student == student
        return "" if is_own else "answers of another student stand there"
    except LogFileError:
        return "a file stands there that is no log handed over"


def _free_place(path: Path, student: str) -> Path:
    """The place, or one with a number, where nothing is in the way."""
    numbered = (path.with_stem(f"{path.stem}-{number}") for number in count(2))
    return next(place for place in chain([path], numbered) if not _in_the_way(place, student))


def log_file_name(settings: Settings, now: datetime) -> str:
    """A name for the file that says whose log it is and of which day: `kaan-mira-2026-11-29.zip`.

    Letters of any script stay, with the marks above and below them; what a system may refuse does
    not.
    """
    letters = (s if s.isalnum() or category(s)[0] == "M" else " " for s in settings.student_name)
    name = "-".join("".join(letters).lower().split())[:40].rstrip("-")
    return f"kaan-{name or slug(settings.student_id) or 'log'}-{now.astimezone():%Y-%m-%d}.zip"


def look_at_log(path: Path, home: Path) -> Taken:
    """What a file would bring to the students in `home`; changes nothing. Raises as `take_log`."""
    carried = open_log_file(path)
    folder = _folder_of(home, carried.student)
    return _taken(_brought(carried, folder), folder, home)


def take_log(path: Path, home: Path, now: datetime) -> Taken:
    """Take in what a file brings: into the log of its student, who is added where nobody in `home`
    has that id.

    All of it is on the disk when this returns. Raises LogFileError where the file cannot be used,
    RowConflictError where it says otherwise of an answer than what is here, FolderError, and
    StudentsError where the student is set aside: then nothing has changed. Raises another LogError
    where the log cannot be written: then some of it may be there, and the rest comes when the file
    is brought in again.
    """
    carried = open_log_file(path)
    folder, trouble = _folder_of(home, carried.student), ""
    try:
        brought = _brought(carried, folder)
    except (
        DamagedLogError,
        NotALogError,
    ):  # else it is mended by who practises
        assert folder is not None
        with Log(folder / LOG_NAME) as log:
            trouble = log.trouble or ""
        brought = _brought(carried, folder)
    with alone(home, _WAIT_S):
        there = _folder_of(home, carried.student)
        if there != folder:  # somebody else has added or moved this student meanwhile
            folder, brought = there, _brought(carried, there)
        if folder is None:
            return _add_student(brought, home, now)
        if not brought.is_known:
            with Log(folder / LOG_NAME) as log:
                brought.add_to(log)
                trouble = log.trouble or trouble
        if not _practises_here(carried.student, folder):
            trouble = f"{trouble} {take_told(carried, folder, now)}".strip()
        return replace(_taken(brought, folder, home), trouble=trouble)


def _brought(carried: Carried, folder: Path | None) -> Bringing:
    """What it brings to the log in a folder, if there is one."""
    if folder is None or not os.path.lexists(folder / LOG_NAME):
        return bringing(carried, None)
    with Log.reading(folder / LOG_NAME) as log:
        return bringing(carried, log)


def _practises_here(student: str, folder: Path) -> bool:
    """Whether the student has answered on this device, or noted anything."""
    if not os.path.lexists(folder / LOG_NAME):
        return False
    try:
        settings = settings_of(folder)
    except SettingsError:
        return False
    with Log.reading(folder / LOG_NAME) as log:
        return log.has_any_of(student, settings.device_id)


def _taken(brought: Bringing, folder: Path | None, home: Path) -> Taken:
    carried = brought.carried
    name = with_told(Settings(), carried.about).student_name
    if folder is not None:
        name = next((each.name for each in Students(home).all() if each.folder == folder), name)
    count, first, last = brought.span
    return Taken(
        student=carried.student,
        name=name,
        new=brought.new,
        known=count - brought.new,
        is_new_student=folder is None,
        folder=folder or _new_folder(home, carried.student),
        first=first,
        last=last,
        new_notes=brought.new_notes,
    )


def _folder_of(home: Path, student: str) -> Path | None:
    """Where a student's answers are kept; None for one who is new. Raises StudentsError for one who
    is set aside."""
    students = Students(home)
    for aside in students.aside():
        if aside.id == student:
            raise StudentsError(
                f"{aside.words} is set aside on this device. {NOT_TAKEN}; let them practise again "
                "in the settings, under “Who practises here”, then bring the file in again"
            )
    here = students.all()
    for unsure in here:
        has_log = unsure.settings is None and os.path.lexists(unsure.folder / LOG_NAME)
        if has_log and not id_in(unsure.folder):
            raise StudentsError(
                f"{unsure.trouble}, and it cannot be told whose answers lie beside it. Let them "
                f"practise once, which mends it, then bring the file in again. {NOT_TAKEN}"
            )
    return next((each.folder for each in here if each.id == student), None)


def _new_folder(home: Path, student: str) -> Path:
    """A folder's name that is the student's id, or made from it where that may be no file's."""
    digest = hashlib.blake2b(student.encode(), digest_size=8).hexdigest()
    names = [student] if names_file(student) else []
    folders = [home / STUDENTS / name for name in (*names, f"student-{digest}")]
    return next((each for each in folders if not os.path.lexists(each)), folders[-1])


def _add_student(brought: Bringing, home: Path, now: datetime) -> Taken:
    """A folder with settings and log, which is there whole or not at all. Raises FolderError."""
    carried = brought.carried
    folder = _new_folder(home, carried.student)
    _sweep(folder.parent)
    coming = folder.with_name(f"{_COMING}{uuid.uuid4().hex}")  # not listed until it is whole
    try:
        told = of_device(Students(home).device(), student_id=carried.student)
        save_settings(with_told(told, carried.about), coming)
        note_told(carried, coming, now)
        with Log(coming / LOG_NAME) as log:
            brought.add_to(log)
        taken = _taken(brought, None, home)
        if os.path.lexists(folder):
            raise FolderError(
                f"{folder}: a folder for {carried.student!r} is in the way; move it elsewhere, "
                "then bring the file in again"
            )
        coming.rename(folder)
        sync_folder(folder.parent)
    except OSError as error:
        raise FolderError(
            f"{error.filename or folder}: {error.strerror or error}; see that there is room and "
            f"that the folder may be written to. {NOT_TAKEN}"
        ) from error
    finally:
        shutil.rmtree(coming, ignore_errors=True)
    return taken


def _sweep(folder: Path) -> None:
    """Remove what was coming when the program was killed."""
    for left in folder.glob(f"{_COMING}*"):
        with suppress(OSError):
            if time.time() - left.stat().st_mtime > _SURELY_LEFT_S:
                shutil.rmtree(left, ignore_errors=True)
