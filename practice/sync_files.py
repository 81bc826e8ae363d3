"""What lies in a folder that another program keeps in step, read and written while it may change.

A *place* is a file's path within the folder, with "/" between its parts, as the system spells it.
Looked at are zip files in the folder and one level below. No link is followed, nothing hidden is
looked at, and nothing is written but files of our own, which appear whole.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import shutil
import stat
import time
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO, NamedTuple

from scheduler.whole import sweep, whole_file

ENDING = ".zip"
MOST_FILES = 2_000
MOST_FOLDERS = 500
TICK_NS = 20_000_000
"""A file system's clock may stand still for so long: 10 ms on Linux at most."""
_CHUNK = 2**20
_JUNCTION = 0xA0000003  # a link between folders on Windows, IO_REPARSE_TAG_MOUNT_POINT
_NO_LINK = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_CLOEXEC", 0)
_NO_WAIT = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


class Stamp(NamedTuple):
    """What tells, without reading, whether a file is as it was."""

    size: int
    mtime_ns: int
    ctime_ns: int


class Found(NamedTuple):
    """A file that may be a student's log file."""

    place: str
    path: Path
    stamp: Stamp


class Listing(NamedTuple):
    """The files that were found, by place, and what could not be looked into, in plain words."""

    files: tuple[Found, ...]
    faults: tuple[str, ...]


class MovingError(Exception):
    """A file was changed, replaced or taken away while it was read."""


def standing_folder(text: str) -> Path | None:
    """The folder of this path, however the letters of its name are put together now; None where
    there is none, or where it cannot be reached, as on a drive that has died."""
    folder = Path(text)
    if os.path.isdir(folder):  # unlike the path's own, it raises nothing
        return folder
    found = Path(folder.anchor)
    for part in folder.parts[bool(folder.anchor) :]:
        if not os.path.isdir(found / part):
            part = next(_spelt_otherwise(found, part), "")
        if not part:
            return None
        found /= part
    return found


def _spelt_otherwise(folder: Path, name: str) -> Iterator[str]:
    """Folders whose names are the same text in another normal form of Unicode."""
    wanted = unicodedata.normalize("NFC", name)
    with contextlib.suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            if unicodedata.normalize("NFC", entry.name) == wanted and entry.is_dir():
                yield entry.name


def files_in(folder: Path) -> Listing:
    """All that may be log files there and one level below. Raises OSError where the folder itself
    cannot be listed."""
    faults: list[str] = []
    found, folders = _listed(folder, "", faults)
    for name in sorted(folders)[:MOST_FOLDERS]:
        try:
            found += _listed(folder / name, f"{name}/", faults)[0]
        except OSError as error:
            _tell(folder / name, error, faults)
    if len(folders) > MOST_FOLDERS or len(found) > MOST_FILES:
        faults.append(
            f"{folder}: holds more than {MOST_FOLDERS} folders or {MOST_FILES} zip files, and not "
            "all were looked at. Choose a folder that holds little else."
        )
    return Listing(tuple(sorted(found)[:MOST_FILES]), tuple(faults))


def _listed(folder: Path, before: str, faults: list[str]) -> tuple[list[Found], list[str]]:
    """The files of a folder, and the names of the folders in it."""
    files, folders = [], []
    with os.scandir(folder) as entries:
        names = [entry.name for entry in entries if not entry.name.startswith(".")]
    for name in names:
        try:
            state = os.lstat(folder / name)
        except OSError as error:
            _tell(folder / name, error, faults)
            continue
        if stat.S_ISDIR(state.st_mode):
            if getattr(state, "st_reparse_tag", 0) != _JUNCTION:
                folders.append(name)
        elif stat.S_ISREG(state.st_mode) and name.lower().endswith(ENDING):
            files.append(Found(before + name, folder / name, _stamp(state)))
    return files, folders


def _tell(path: Path, error: OSError, faults: list[str]) -> None:
    """What could not be looked at, unless it was taken away just now."""
    if not isinstance(error, FileNotFoundError):
        faults.append(f"{path}: {error.strerror or error}. It was left out.")


def stamp_of(path: Path) -> Stamp | None:
    """The stamp of a plain file; None where there is none. Raises OSError."""
    try:
        state = os.lstat(path)
    except FileNotFoundError:
        return None
    return _stamp(state) if stat.S_ISREG(state.st_mode) else None


def wait_out(stamp: Stamp | None) -> None:
    """Wait until whatever changes a file from now on would show in its stamp."""
    if stamp is not None:
        since = time.time_ns() - max(stamp.mtime_ns, stamp.ctime_ns)
        if 0 <= since < TICK_NS:
            time.sleep((TICK_NS - since) / 1e9)


def _stamp(state: os.stat_result) -> Stamp:
    return Stamp(state.st_size, state.st_mtime_ns, state.st_ctime_ns)


@contextlib.contextmanager
def opened(path: Path) -> Iterator[tuple[BinaryIO, Stamp]]:
    """A plain file that is no link, to be read, with its stamp. When the block ends well the file
    was the same all the time. Raises MovingError and OSError."""
    try:
        handle = os.open(path, os.O_RDONLY | _NO_LINK | _NO_WAIT)
    except FileNotFoundError:
        raise MovingError from None
    with open(handle, "rb") as file:
        before = os.fstat(handle)
        if not stat.S_ISREG(before.st_mode):
            raise MovingError
        yield file, _stamp(before)
        if _identity(os.fstat(handle)) != _identity(before):
            raise MovingError
    try:
        after = os.lstat(path)
    except FileNotFoundError:
        raise MovingError from None
    if _identity(after) != _identity(before):
        raise MovingError


def _identity(state: os.stat_result) -> tuple[int, ...]:
    return (state.st_dev, state.st_ino, state.st_size, state.st_mtime_ns)


def copied(path: Path, to: Path) -> tuple[str, Stamp]:
    """Copy a file out, whole as it was at one moment; its digest and stamp. Raises MovingError
    where it did not hold still, and OSError."""
    made = hashlib.blake2b(digest_size=16)
    with opened(path) as (file, stamp), to.open("wb") as copy:
        size = 0
        while chunk := file.read(_CHUNK):
            made.update(chunk)
            copy.write(chunk)
            size += len(chunk)
        if size != stamp.size:
            raise MovingError
    return made.hexdigest(), stamp


def _digest_of(path: Path) -> str:
    """The digest of a file, as `copied` gives it. Raises OSError."""
    made = hashlib.blake2b(digest_size=16)
    with path.open("rb") as file:
        while chunk := file.read(_CHUNK):
            made.update(chunk)
    return made.hexdigest()


def put(source: Path, target: Path) -> tuple[str, Stamp | None]:
    """Copy `source` to `target`, which appears whole or stays as it was; its digest, and the stamp
    by which it is known from then on, or None where that is not sure. Raises OSError; makes no
    folder."""
    sweep(target)
    with source.open("rb") as copied_from, whole_file(target) as file:
        shutil.copyfileobj(copied_from, file, _CHUNK)
    digest = _digest_of(source)
    with contextlib.suppress(OSError, MovingError):
        wait_out(stamp_of(target))
        with opened(target) as (_, stamp):
            if _digest_of(target) == digest:
                return digest, stamp
    return digest, None
