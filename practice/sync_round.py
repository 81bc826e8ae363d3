"""One look into the folder kept in step: what was answered here is put there, and what is new there
is taken in.

The only file that a device writes of a student is `own_name`, so that no two write the same one. A
file that is found under that name and is not the one that was put there, such as an older one that
the service brought back, is taken in like any other and then written anew. Other files are copied
out while they hold still, and read from the copy.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from practice.called import LONGEST_NAME
from practice.errors import PracticeError
from practice.log_files import hand_over_log, take_log
from practice.students import Known, Students
from practice.sync_files import (
    Found,
    MovingError,
    copied,
    files_in,
    put,
    stamp_of,
    wait_out,
)
from practice.sync_logs import looked
from practice.sync_memory import BROKEN, NEWER, OTHER, STRANGER, TAKEN, Mine, Read, SyncMemory
from practice.sync_names import own_name
from practice.sync_words import A_STUDENT, shown
from quizzes.names import capital
from scheduler import LogError, RowConflictError
from scheduler.carrying import about_log_file
from scheduler.errors import (
    DamagedLogFileError,
    LogFileError,
    NewerLogFileError,
    NotALogFileError,
)
from words import say

AGAIN = "It is tried again next time."
_STAYS = "If it does not come to be whole, move it elsewhere."
_COPY = "coming.zip"


@dataclass(frozen=True, slots=True)
class Stranger:
    """A student whose answers lie there, and who does not practise on this device."""

    id: str
    name: str
    place: str


@dataclass(frozen=True, slots=True)
class Round:
    """What one look has brought about; all texts are in plain words."""

    at: datetime
    taken: tuple[tuple[str, int], ...] = ()
    """Students' names, and how many answers of theirs were new here, where some were."""
    noted: tuple[str, ...] = ()
    """The names of students of whom other notes were new here: phrases kept, paltas, minutes."""
    written: tuple[str, ...] = ()
    """The names of students whose answers were put there."""
    strangers: tuple[Stranger, ...] = ()
    trouble: str = ""
    """What keeps the folder from being kept in step."""
    faults: tuple[str, ...] = ()
    """What is wrong with single files there."""
    is_cut: bool = False
    """Whether it was broken off, since a practice had begun."""


class Rounding:
    """One look, to be had once; `coming` is a folder of our own, empty, to copy files into."""

    def __init__(
        self,
        home: Path,
        folder: Path,
        memory: SyncMemory,
        now: datetime,
        *,
        coming: Path,
        takes_all: bool,
        also: Collection[str],
        is_busy: Callable[[], bool],
    ) -> None:
        self._home, self._folder, self._memory, self._now = home, folder, memory, now
        self._coming, self._takes_all, self._also, self._is_busy = coming, takes_all, also, is_busy
        students = Students(home)
        self._students = [s for s in students.all() if s.settings is not None and s.id]
        self._now_here = students.current().folder
        self._here = {student.id for student in self._students}
        self._aside = {student.id for student in students.aside()} - self._here
        self._taken: Counter[str] = Counter()
        self._noted: set[str] = set()
        self._written: list[str] = []
        self._faults: list[str] = []
        self._trouble = ""
        self._is_cut = False

    def done(self) -> Round:
        """Look, put and take. Raises OSError where the folder cannot be listed."""
        listing = files_in(self._folder)
        self._faults += listing.faults
        for student in self._students:
            self._look_at_log_of(student)
        self._put_all(is_all_read=False)  # first, as the program may be closed soon
        self._take_all(listing.files)
        self._put_all(is_all_read=not self._is_cut)
        if not self._is_cut and not listing.faults:
            written = (mine.place for mine in self._memory.students.values())
            self._memory.keep_only((*(found.place for found in listing.files), *written))
        return Round(
            self._now,
            tuple(sorted((name, new) for name, new in self._taken.items() if new)),
            tuple(sorted(self._noted)),
            tuple(self._written),
            self._strangers(),
            self._trouble,
            tuple(shown(fault) for fault in dict.fromkeys(self._faults)),
            self._is_cut,
        )

    def _strangers(self) -> tuple[Stranger, ...]:
        found = {
            read.student: Stranger(read.student, read.name, place)
            for place, read in sorted(self._memory.files.items(), reverse=True)
            if read.state == STRANGER and read.student not in self._here | self._aside
        }
        return tuple(sorted(found.values(), key=lambda stranger: stranger.place))

    # What was answered here.

    def _look_at_log_of(self, student: Known) -> None:
        """Note whether something was answered here that is not there yet."""
        before = self._memory.students.get(student.id)
        try:
            mine, is_same = looked(student, before)
        except (LogError, OSError) as error:
            self._faults.append(f"{student.words}: nothing was put there. {error}")
            return
        if not is_same:  # all that lies there of this student is taken in anew
            self._memory.forget(student.id)
        if mine is None:
            self._memory.students.pop(student.id, None)
        else:
            self._memory.students[student.id] = mine

    def _put_all(self, *, is_all_read: bool) -> None:
        for student in self._students:
            mine = self._memory.students.get(student.id)
            if mine is None:
                continue
            if not (mine.is_owed or mine.digest or (is_all_read and self._is_lacking(student))):
                continue  # nothing was answered here
            try:
                self._put(student, mine, is_all_read=is_all_read)
            except (LogError, PracticeError) as error:
                self._faults.append(f"{student.words}: nothing was put there. {error}")
            except OSError as error:
                self._trouble = (
                    f"Nothing can be written to {self._folder} ({error.strerror or error}). What "
                    "others put there is taken in. See that there is room and that the folder may "
                    "be written to; your answers are in your log meanwhile."
                )

    def _is_lacking(self, student: Known) -> bool:
        """Whether the answers of who practises now, all from elsewhere, are in no file there."""
        read = self._memory.files.values()
        is_there = any(each.student == student.id and each.state != STRANGER for each in read)
        return student.folder == self._now_here and not is_there

    def _put(self, student: Known, mine: Mine, *, is_all_read: bool) -> None:
        """Write the student's file, unless it lies there as it should."""
        assert student.settings is not None
        own = own_name(student.id, student.settings.device_id)
        place = self._place_for(student.id, own)
        path, lying = self._folder / place, self._memory.files.get(place)
        stamp = stamp_of(path)
        is_read = lying is not None and lying.stamp == stamp
        is_as_put = is_read and lying is not None and lying.digest == mine.digest != ""
        if is_as_put and not mine.is_owed:
            return
        if not is_all_read and place != mine.place:
            return  # where it belongs is known when all is read
        if stamp is not None and not is_as_put:
            if lying is None or not is_read:
                return  # it is read first, lest it hold answers that are nowhere else
            # A torn one may hold more than our log, unless it is one that this log has put there.
            is_lacking = lying.state == BROKEN and not mine.digest
            if is_lacking or lying.state in (NEWER, STRANGER):  # anything else was ours once
                self._faults.append(
                    f"{place}: the answers of {student.words} on this device belong there, and "
                    f"another file is in the way. {_STAYS if is_lacking else 'Move it elsewhere.'}"
                )
                return
        self._write(student, mine, place)

    def _write(self, student: Known, mine: Mine, place: str) -> None:
        copy = self._coming / _COPY
        hand_over_log(student.folder, copy, self._now)
        digest, stamp = put(copy, self._folder / place)
        self._memory.students[student.id] = replace(mine, is_owed=False, place=place, digest=digest)
        self._memory.files.pop(place, None)
        if stamp is not None:
            read = Read(stamp, digest, TAKEN, student.id, student.words)
            self._memory.files[place] = read
        self._written.append(student.name or say(A_STUDENT))

    def _place_for(self, student: str, own: str) -> str:
        """Beside the files of the student's other devices, so that these find it: a teacher may
        keep a folder for each student in one."""
        places = (
            place.rpartition("/")
            for place, read in self._memory.files.items()
            if read.student == student and read.state == TAKEN
        )
        folders = Counter(folder for folder, _, name in places if name != own)
        best = min(folders, key=lambda folder: (-folders[folder], folder), default="")
        return f"{best}/{own}" if best else own

    # What lies there.

    def _take_all(self, files: Sequence[Found]) -> None:
        for found in files:
            read = self._memory.is_known(found)
            if read is None or self._is_to_be_tried(read):
                if self._is_busy():
                    self._is_cut = True
                    return
                read = self._read(found)
                if read is not None:
                    self._memory.files[found.place] = read
            if read is not None and read.words:
                self._faults.append(f"{found.place}: {read.words}")

    def _is_to_be_tried(self, read: Read) -> bool:
        """Whether a file is to be read again that has not changed."""
        if read.state == TAKEN:
            return read.student not in self._here
        return read.state == BROKEN or (read.state == STRANGER and self._wants(read.student))

    def _wants(self, student: str) -> bool:
        if student in self._here:
            return True
        return student in self._also or (self._takes_all and student not in self._aside)

    def _read(self, found: Found) -> Read | None:
        """What a file is, taken in if it is a log that is wanted; None where it is told at once
        what is wrong, and is tried again."""
        read = Read(found.stamp, "", BROKEN)
        wait_out(found.stamp)
        try:
            about = about_log_file(found.path)  # so that nothing else is copied, however large
        except LogFileError as error:
            return _refused(read, error)
        name = str(about.about.get("student_name") or "")
        read = replace(read, student=about.student, name=shown(name)[:LONGEST_NAME])
        if not self._wants(about.student):
            return replace(read, state=STRANGER)
        copy = self._coming / _COPY
        try:
            digest, stamp = copied(found.path, copy)
        except MovingError:
            self._faults.append(f"{found.place}: it was changed while it was read. {AGAIN}")
            return None
        except OSError as error:
            said = error.strerror or error
            self._faults.append(f"{found.place}: it cannot be read ({said}). {AGAIN}")
            return None
        read, known = replace(read, stamp=stamp, digest=digest), self._memory.files.get(found.place)
        if known is not None and known.digest == digest and known.state == BROKEN:
            return replace(known, stamp=stamp)
        if about.student in self._here and self._memory.has_taken(digest, about.student):
            return replace(read, state=TAKEN)
        return self._take(copy, read, found.place)

    def _take(self, copy: Path, read: Read, place: str) -> Read | None:
        """Take a file in from its copy; `read` is what is known of it."""
        try:
            taken = take_log(copy, self._home, self._now)
        except LogFileError as error:
            return _refused(read, error)
        except RowConflictError as error:
            return replace(read, words=f"{error.wrong}. {error.remedy}.")
        except (LogError, PracticeError) as error:
            self._faults.append(f"{place}: {error}")
            return None
        if taken.trouble:
            self._faults.append(f"{place}: {taken.trouble}")
        self._here.add(taken.student)
        name = taken.name or read.name or say(A_STUDENT)
        self._taken[name] += taken.new
        if taken.new_notes:
            self._noted.add(name)
        return replace(read, state=TAKEN, student=taken.student)


def _refused(read: Read, error: LogFileError) -> Read:
    """What a file is that was not taken, for this reason."""
    if isinstance(error, NotALogFileError):
        return replace(read, state=OTHER)  # whatever else lies there is nobody's concern
    if isinstance(error, NewerLogFileError):
        return replace(read, state=NEWER, words=f"{error.wrong}. Update this program to read it.")
    wrong = error.place if isinstance(error, DamagedLogFileError) else error.wrong
    return replace(read, words=f"it may not be here whole yet. {AGAIN} ({capital(wrong)}.)")
