"""The students of one device: who they are, whose practice is open, adding one, setting one aside.

`home` is the folder of the first student and of what all share: decks, recordings, courses, the
tradition. Each other student has a folder of settings and log of their own in `home/students`. Who
is chosen stands in `home/students.json`. One who is set aside is moved to `home/set-aside`; the
first one's files stay, as they lie among what is shared, and are only no more listed.
"""

from __future__ import annotations

import os
import shutil
import uuid
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from practice.alone import alone
from practice.called import checked_name, plain
from practice.errors import SettingsError, StudentsError
from practice.settings import FILE_NAME, Settings, load_settings, save_settings
from practice.small_files import put_table, table_in
from practice.whose import LOG_NAME, id_in, settings_of
from quizzes.names import listed
from scheduler.whole import sync_folder
from words import say, to_say

STUDENTS, ASIDE = "students", "set-aside"
CHOSEN_NAME = "students.json"
NO_NAME = to_say("No name yet")
"""To be said."""
_WAIT_S = 1.0
"""So long a window waits where answers are being brought in."""
AGAIN = "see that there is room and that the folder may be written to, then try again"


@dataclass(frozen=True, slots=True)
class Chosen:
    """What stands in the file: whose folder was chosen last, "" for the first one's, and whether
    the first one is set aside."""

    student: str = ""
    first_aside: bool = False


@dataclass(frozen=True, slots=True)
class Known:
    """A student of this device, as a list tells it."""

    id: str
    """The student's id in settings and log; the folder's name where that cannot be read, "" before
    the very first practice."""
    name: str
    folder: Path
    settings: Settings | None = None
    trouble: str = ""
    """What is wrong with the settings, in plain words."""

    @property
    def words(self) -> str:
        """What to call them."""
        return self.name or (self.id if self.trouble else say(NO_NAME))

    @property
    def last_words(self) -> str:
        """When something was last written to the log, in words."""
        at = self.last_kept()
        return f"last answers {at.day} {at:%B %Y}" if at else "no answers yet"

    def last_kept(self) -> datetime | None:
        """When something was last written to the log, in local time; None where nothing was."""
        moments = []
        for companion in ("", "-wal"):
            with suppress(OSError):
                found = os.stat(self.folder / f"{LOG_NAME}{companion}")
                if found.st_size:
                    moments.append(found.st_mtime)
        return datetime.fromtimestamp(max(moments), UTC).astimezone() if moments else None


class Students:
    """The students in `home`. Listing changes nothing. `trouble` says, in plain words, what keeps
    some from being listed or the one chosen from being found; "" mostly."""

    def __init__(self, home: Path) -> None:
        self.home = home
        self.trouble = ""

    # Looking.

    def all(self) -> tuple[Known, ...]:
        """All who practise here, by name."""
        self.trouble = ""
        others = self._in(self.home / STUDENTS)
        if others and self._chosen().first_aside:
            return others
        return _by_name((self._first(), *others))

    def aside(self) -> tuple[Known, ...]:
        """All who were set aside, by name."""
        first = () if any(one.folder == self.home for one in self.all()) else (self._first(),)
        return _by_name((*first, *self._in(self.home / ASIDE)))

    def current(self) -> Known:
        """Who was chosen last; the first where nobody was, or where that folder is gone."""
        name, students = self._chosen().student, self.all()
        wanted = self.home / STUDENTS / name if name else self.home
        found = [one for one in students if one.folder == wanted]
        if name and not found:
            self.trouble = (
                f"{wanted}: the folder of the student chosen last is not there. "
                "Choose in the settings who practises."
            )
        first = [one for one in students if one.folder == self.home]
        return (*found, *first, *students)[0]

    def named(self, text: str) -> Known:
        """The one of this name or id, however it is capitalised. Raises StudentsError with those
        that there are, where it is nobody's or several have it."""
        students = self.all()
        wanted = plain(text)
        found = [one for one in students if text == one.id or wanted == plain(one.name)]
        if len(found) == 1:
            return found[0]
        if found:
            ids = listed([f"{one.id} ({one.last_words})" for one in found], "or")
            raise StudentsError(f"{text!r} is the name of {len(found)} students here; give {ids}")
        names = listed([one.name or one.id or "the first, who has no name yet" for one in students])
        raise StudentsError(
            f"nobody called {text!r} practises here, but {names}; "
            "others are added in the settings, under “Who practises here”"
        )

    # Changing.

    def ready(self, student: Known) -> Path:
        """The folder to be opened for a student, with settings that bear their id where these are
        lost. Raises StudentsError."""
        if student.folder != self.home and not os.path.lexists(student.folder / FILE_NAME):
            if not student.folder.is_dir():
                raise StudentsError(f"{student.folder}: this folder is not there any more")
            with _words():
                whose = id_in(student.folder) or student.folder.name
                lost = of_device(self.device(), student_id=whose)
                save_settings(lost, student.folder)
        return student.folder

    def choose(self, folder: Path) -> None:
        """Let the one whose folder this is practise from now on. Raises StudentsError."""
        self._keep(student="" if folder == self.home else folder.name)

    def add(self, name: str, like: Settings | None = None) -> Known:
        """Another student, with usual settings but for what is this device's: its id, its speaker,
        how loud and how late it is, as in `like` or else as the first one has it. Raises
        StudentsError."""
        name = checked_name(name)
        settings = of_device(like or self.device(), student_name=name)
        folder = self.home / STUDENTS / settings.student_id
        coming = folder.with_name(f".coming-{uuid.uuid4().hex}")  # not listed until it is whole
        with _words():
            try:
                save_settings(settings, coming)
                coming.rename(folder)
            except BaseException:
                shutil.rmtree(coming, ignore_errors=True)
                raise
            sync_folder(folder.parent)
        return _known(folder, folder.name)

    def rename(self, student: Known, name: str) -> None:
        """Call a student otherwise. Raises StudentsError."""
        name = checked_name(name)
        with alone(self.home, _WAIT_S), _words():
            settings, _ = load_settings(self.ready(student))
            save_settings(replace(settings, student_name=name), student.folder)

    def set_aside(self, student: Known) -> None:
        """Let this one be listed no more; nothing is deleted, and `put_back` lists them again.
        Raises StudentsError, as for who practises now."""
        if student.folder == self.current().folder:
            raise StudentsError(
                say(
                    "{student} practises now: let somebody else practise first, then set {student} "
                    "aside",
                    student=student.words,
                )
            )
        if student.folder == self.home:
            self._keep(first_aside=True)
        else:
            with alone(self.home, _WAIT_S):
                self._move(student.folder, self.home / ASIDE)

    def put_back(self, student: Known) -> None:
        """Let one who was set aside practise again. Raises StudentsError, as where the same student
        has been brought in anew meanwhile."""
        if student.folder == self.home:
            self._keep(first_aside=False)
            return
        with alone(self.home, _WAIT_S):
            if any(one.id == student.id for one in self.all()):
                raise StudentsError(
                    f"{student.words} is here again already, with answers brought in since. What "
                    f"was set aside stays in {student.folder}; hand its answers over with "
                    f"`main.py log export --folder {student.folder}` and bring that file in"
                )
            self._move(student.folder, self.home / STUDENTS)

    def _move(self, folder: Path, into: Path) -> None:
        place, number = into / folder.name, 2
        while os.path.lexists(place):
            place, number = into / f"{folder.name}-{number}", number + 1
        with _words():
            into.mkdir(parents=True, exist_ok=True)
            folder.rename(place)
            sync_folder(into)
            sync_folder(folder.parent)

    # What stands in files.

    def _first(self) -> Known:
        return _known(self.home, "")

    def _in(self, folder: Path) -> tuple[Known, ...]:
        try:
            inside = [each for each in folder.iterdir() if not each.name.startswith(".")]
            return _by_name(_known(each, each.name) for each in inside if each.is_dir())
        except FileNotFoundError:
            return ()
        except OSError as error:
            self.trouble = f"{folder}: {error.strerror or error}. Those in it are not listed."
            return ()

    def device(self) -> Settings:
        """The first one's settings; they are kept where there are none yet, so that all here have
        one device. Raises StudentsError."""
        with _words():
            try:
                settings = settings_of(self.home)
            except SettingsError:
                return Settings()
            if not os.path.lexists(self.home / FILE_NAME):
                save_settings(settings, self.home)
            return settings

    def _chosen(self) -> Chosen:
        """What stands in the file; as in the beginning where that cannot be read."""
        try:
            read = table_in(self.home / CHOSEN_NAME)
        except (OSError, ValueError):
            return Chosen()
        student, first_aside = read.get("student", ""), read.get("first_aside", False)
        return Chosen(student if isinstance(student, str) else "", first_aside is True)

    def _keep(self, **changes: Any) -> None:
        with _words():
            put_table(self.home / CHOSEN_NAME, asdict(replace(self._chosen(), **changes)))


def of_device(settings: Settings, **told: Any) -> Settings:
    """Usual settings but for what is the device's in others: its id, its speaker, how loud and how
    late it is; and for what is `told`."""
    return Settings(
        device_id=settings.device_id,
        speaker=settings.speaker,
        volume_db=settings.volume_db,
        tap_latency_ms=settings.tap_latency_ms,
        **told,
    )


def _by_name(students: Iterable[Known]) -> tuple[Known, ...]:
    """In the order of their names; those without one at the end."""
    return tuple(sorted(students, key=lambda s: (not s.name, plain(s.name), s.folder.name)))


def _known(folder: Path, otherwise: str) -> Known:
    """A student by what stands in their folder; by `otherwise` where nothing can be read."""
    path = folder / FILE_NAME
    try:
        settings = settings_of(folder)
        there = path.exists()
    except (SettingsError, OSError) as error:
        said = error.strerror if isinstance(error, OSError) else "it is no settings file"
        trouble = f"{path} could not be read: {said}"
        return Known(id_in(folder) or otherwise, "", folder, trouble=trouble)
    if not there:
        whose = id_in(folder) or otherwise
        return Known(whose, "", folder, trouble=f"{path} is not there" if whose else "")
    return Known(settings.student_id, settings.student_name, folder, settings)


@contextmanager
def _words() -> Iterator[None]:
    """What keeps a folder or file from being changed, with the remedy."""
    try:
        yield
    except OSError as error:
        raise StudentsError(f"{error.filename}: {error.strerror or error}; {AGAIN}") from error
    except SettingsError as error:
        raise StudentsError(str(error)) from error
