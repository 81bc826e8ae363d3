"""A folder kept in step: each device puts its own answers there and takes in what others put there.

The folder is one that the user's own service keeps the same on several devices, or shares with a
teacher. A device writes nothing there but one file for each of its students who has answered on it,
and only when something was answered since; so no two devices write the same file, and the service
has nothing to settle. What other devices put there, and one level below, is taken in. Clocks of
devices are never compared.

Anything may lie there half written, twice, under another name, or come back as it was long ago:
a file is copied out while it holds still, read whole, and only then taken in. What goes wrong with
it is told and tried again. No answer is lost by this: logs only grow.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import threading
from collections.abc import Callable, Collection
from contextlib import suppress
from copy import deepcopy
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from practice.device import FILE_NAME, load_device, save_device
from practice.errors import PracticeError, SettingsError
from practice.sync_files import standing_folder
from practice.sync_memory import SyncMemory, remembered
from practice.sync_round import AGAIN, Round, Rounding
from practice.sync_words import all_taken_words, written_words
from scheduler import SchedulerError
from scheduler.holding import holding

LOCK_NAME = "in-step.lock"
LOCK_WAIT_S = 5.0
CLOSE_WAIT_S = 3.0
"""So long a program that ends waits for a look to come to where it can be broken off."""
_COMING = ".in-step"
"""A folder of our own into which files are copied to be read."""
_INSIDE = "Kaan keeps its own data there; choose another folder"
_NOT_LOOKED = "The folder kept in step was not looked into, by a fault of this program"
_NOT_THERE = (
    "If it lies on a drive, connect that; if it was moved, choose it again in the settings. All "
    "that you answer is in your log meanwhile."
)


def keep_in_step(home: Path, folder: Path, *, takes_all: bool | None = None) -> None:
    """Keep this folder in step from now on. Raises SettingsError where it cannot be."""
    with suppress(RuntimeError):  # where nobody is called so
        folder = folder.expanduser()
    folder = folder.absolute()
    if not os.path.isdir(folder):
        raise SettingsError(
            f"{folder}: there is no such folder; make it first, see that it can be reached, or "
            "choose another"
        )
    if _is_inside(folder, home):
        raise SettingsError(f"{folder}: {_INSIDE}")
    device, _ = load_device(home)
    takes_all = device.takes_all if takes_all is None else takes_all
    save_device(replace(device, sync_folder=str(folder), takes_all=takes_all), home)


def keep_none_in_step(home: Path) -> None:
    """Keep no folder in step any more; what lies in it stays. Raises SettingsError."""
    save_device(replace(load_device(home)[0], sync_folder=""), home)


def take_all(home: Path, takes_all: bool) -> None:
    """Whether to take in students, too, who do not practise here. Raises SettingsError."""
    save_device(replace(load_device(home)[0], takes_all=takes_all), home)


def look_around(
    home: Path,
    now: datetime,
    *,
    also: Collection[str] = (),
    is_busy: Callable[[], bool] = lambda: False,
) -> Round | None:
    """Put there what was answered here, and take in what is new there; None where no folder is kept
    in step.

    `now` must be aware. `also` are the ids of students to be taken in though they do not practise
    here yet. Nothing is taken in while `is_busy`. What goes wrong is told, not raised.
    """
    device, trouble = load_device(home)
    if not device.sync_folder:
        return Round(now, trouble=trouble) if trouble else None
    folder = standing_folder(device.sync_folder)
    if folder is None:
        return Round(now, trouble=f"{device.sync_folder} is not there. {_NOT_THERE}")
    if _is_inside(folder, home):
        return Round(now, trouble=f"{folder}: {_INSIDE}.")
    try:
        with holding(home / LOCK_NAME, LOCK_WAIT_S):
            memory = remembered(home, device.sync_folder)
            return _looked(
                home, folder, memory, now, takes_all=device.takes_all, also=also, is_busy=is_busy
            )
    except sqlite3.Error as error:
        said = f"another window may be looking into it ({error})"
    except OSError as error:
        said = f"{error.filename or folder}: {error.strerror or error}"
    except (PracticeError, SchedulerError) as error:
        said = f"{error}"
    return Round(now, trouble=f"{folder} was not looked into: {said}. {AGAIN}")


def _looked(
    home: Path,
    folder: Path,
    memory: SyncMemory,
    now: datetime,
    *,
    takes_all: bool,
    also: Collection[str],
    is_busy: Callable[[], bool],
) -> Round:
    coming, before = home / _COMING, deepcopy(memory)
    shutil.rmtree(coming, ignore_errors=True)  # what was left when we were killed
    coming.mkdir()
    try:
        found = Rounding(
            home,
            folder,
            memory,
            now,
            coming=coming,
            takes_all=takes_all,
            also=also,
            is_busy=is_busy,
        ).done()
        if found.taken or found.noted:
            memory.taken = (now.isoformat(), all_taken_words(found.taken, found.noted))
        if found.written:
            memory.written = (now.isoformat(), written_words(found.written))
        return found
    finally:
        shutil.rmtree(coming, ignore_errors=True)
        if memory != before:
            memory.save(home)


def _is_inside(folder: Path, home: Path) -> bool:
    """Whether a folder is the one of our own data, or lies in it."""
    with suppress(OSError, RuntimeError):
        home, folder = home.resolve(), folder.resolve()
        return folder == home or home in folder.parents
    return False


class Syncing:
    """Looks into the folder on a thread, whenever told to; nobody waits for it.

    `last` is what came of the last look; None before it, and where no folder is kept in step.
    `on_done` is told of each, on that thread.
    """

    def __init__(
        self,
        home: Path,
        *,
        now: Callable[[], datetime],
        is_busy: Callable[[], bool] = lambda: False,
    ) -> None:
        self.last: Round | None = None
        self.on_done: Callable[[Round | None], None] = lambda _: None
        self._home, self._now, self._is_busy = home, now, is_busy
        self._state = threading.Lock()
        self._thread: threading.Thread | None = None
        self._is_wanted = self._is_closed = False
        self._also: set[str] = set()

    @property
    def is_looking(self) -> bool:
        return self._thread is not None

    @property
    def trouble(self) -> str | None:
        """What kept the folder from being kept in step when it was looked into last."""
        return self.last.trouble or None if self.last is not None else None

    def look(self, *also: str) -> None:
        """Look into the folder, once more where that is being done; `also` are the ids of students
        to be taken in who do not practise here yet."""
        if not (self._home / FILE_NAME).exists():
            return  # as on most devices
        with self._state:
            self._is_wanted = not self._is_closed
            self._also.update(also)
            if self._thread is None and self._is_wanted:
                self._thread = threading.Thread(target=self._run, name="in-step", daemon=True)
                self._thread.start()

    def forget_last(self) -> None:
        """What came of the last look counts no more, as another folder was chosen since."""
        self.last = None

    def _run(self) -> None:
        while (also := self._next()) is not None:
            try:
                self.last = self._looked(also)
                self.on_done(self.last)
            except BaseException:
                with self._state:
                    self._thread = None
                raise

    def _looked(self, also: Collection[str]) -> Round | None:
        now = self._now()
        try:
            return look_around(self._home, now, also=also, is_busy=lambda: self._must_wait)
        except Exception as error:  # nobody would ever be told
            said = f"{type(error).__name__}: {error}"
            return Round(now, trouble=f"{_NOT_LOOKED} ({said}). {AGAIN}")

    def _next(self) -> frozenset[str] | None:
        """Who is to be taken in besides, by the next look; None where none is wanted."""
        with self._state:
            if not self._is_wanted:
                self._thread = None
                return None
            self._is_wanted, also = False, frozenset(self._also)
            self._also.clear()
            return also

    @property
    def _must_wait(self) -> bool:
        return self._is_closed or self._is_busy()

    def wait(self, patience_s: float) -> bool:
        """Wait until nothing is being looked at; whether that came within so many seconds."""
        thread = self._thread
        if thread is not None:
            thread.join(patience_s)
        return self._thread is None

    def close(self) -> None:
        """Look no more. What was answered last is still put there, if that is soon done; what lies
        there is left to the next time."""
        with self._state:
            self._is_closed = True
        self.wait(CLOSE_WAIT_S)
