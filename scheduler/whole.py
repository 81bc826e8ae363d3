"""A file that appears at its place whole and on the disk, or not at all."""

from __future__ import annotations

import contextlib
import errno
import glob
import os
import uuid
from collections.abc import Iterator
from pathlib import Path
from typing import IO

from scheduler.errors import FullDiskError, UnwritableLogError

FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
"""Where a disk has no room, or none for so large a file."""


@contextlib.contextmanager
def whole_file(path: Path) -> Iterator[IO[bytes]]:
    """A file to write into that appears at `path` when all of it is on the disk; until then, and
    if that fails, whatever stood there stays. Raises OSError."""
    draft = path.with_name(f"{_draft(path)}{uuid.uuid4().hex[:12]}.part")
    try:
        with draft.open("xb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        draft.replace(path)
        sync_folder(path.parent)
    except BaseException:
        with contextlib.suppress(OSError):
            draft.unlink(missing_ok=True)
        raise


@contextlib.contextmanager
def appearing_whole(path: Path) -> Iterator[IO[bytes]]:
    """The same for a log's files. Raises FullDiskError or UnwritableLogError."""
    try:
        with whole_file(path) as file:
            yield file
    except OSError as error:
        said = error.strerror or str(error)
        if error.errno in FULL:
            raise FullDiskError(
                path, wrong=f"there is no room ({said})", remedy="Free some room, then try again"
            ) from error
        raise UnwritableLogError(
            path,
            wrong=f"it cannot be written ({said})",
            remedy="Check that the folder is there and may be written to, or choose another",
        ) from error


def sweep(path: Path) -> None:
    """Remove what was begun to be written to `path` when the program was killed."""
    for left in path.parent.glob(f"{glob.escape(_draft(path))}*.part"):
        with contextlib.suppress(OSError):
            left.unlink()


def _draft(path: Path) -> str:
    """How the name of a draft begins; a name has 255 bytes at most on most systems."""
    return f".{os.fsencode(path.name)[:80].decode(errors='ignore')}-"


def sync_folder(folder: Path) -> None:
    """Make sure that the names in a folder are on the disk, where the system can be told to."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
