"""Putting files into a folder all or none, also when killed in the middle.

New files are first written whole into `incoming/coming-…` and synced to the disk; renaming that to
`incoming/ready-…` is the moment from which all of them count. Then each is moved to its place,
which can be done again as often as it takes. Whoever is next to change something finishes what is
ready and throws away what was only coming. One process at a time does so: it holds a lock that the
system takes back when the process dies.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import sqlite3
import uuid
from collections.abc import Iterator
from pathlib import Path

from practice.errors import ShelfError
from scheduler.holding import holding
from scheduler.whole import sync_folder

INCOMING = "incoming"
LOCK_NAME = ".lock"
LOCK_WAIT_S = 10.0
_PLACES = ("recordings/*.wav", "decks/.handed/*.toml", "decks/*.toml", "courses/*.toml", "*.toml")
"""Where files may lie, in the order in which they come there: what is named first."""


class Staging:
    """The way into `folder`, which need not be there yet. All methods raise ShelfError."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._incoming = folder / INCOMING

    @property
    def is_tidy(self) -> bool:
        """Whether nothing was left half done, or is being done by another process."""
        return not any(self._left())

    @contextlib.contextmanager
    def alone(self) -> Iterator[None]:
        """While no other process changes anything; begins by finishing what was left half done."""
        with self._words(), self._locked():
            self._tidy()
            yield

    @contextlib.contextmanager
    def all_or_none(self) -> Iterator[Path]:
        """A folder into which to write files as they are to lie in the end, within `alone`; when
        the block ends well, they lie there, and when not, nothing has changed."""
        name = uuid.uuid4().hex
        coming, ready = self._incoming / f"coming-{name}", self._incoming / f"ready-{name}"
        with self._words():
            try:
                coming.mkdir(parents=True)
                yield coming
                sync(coming)
                coming.rename(ready)
            except BaseException:
                shutil.rmtree(coming, ignore_errors=True)
                raise
            sync_folder(self._incoming)
            self._move(ready)

    def put(self, place: Path, data: bytes) -> None:
        """Put one file in its place, within `alone`: what stood there stays, or this one does."""
        coming = self._incoming / f"coming-{uuid.uuid4().hex}"
        coming.mkdir()
        try:
            place.parent.mkdir(parents=True, exist_ok=True)
            with (coming / place.name).open("xb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            os.replace(file.name, place)
            sync_folder(place.parent)
        finally:
            shutil.rmtree(coming, ignore_errors=True)

    @contextlib.contextmanager
    def _words(self) -> Iterator[None]:
        try:
            yield
        except OSError as error:
            raise ShelfError(
                f"{error.filename or self.folder}: {error.strerror or error}; see that there is "
                "room and that the folder may be written to, then try again"
            ) from error

    @contextlib.contextmanager
    def _locked(self) -> Iterator[None]:
        self._incoming.mkdir(parents=True, exist_ok=True)
        path = self._incoming / LOCK_NAME
        try:
            with holding(path, LOCK_WAIT_S):
                yield
        except sqlite3.Error as error:
            raise ShelfError(
                f"{path}: {error}; if another program is bringing something in, wait until it is "
                "done, then try again"
            ) from error

    def _left(self) -> Iterator[Path]:
        for pattern in ("ready-*", "coming-*"):
            yield from sorted(self._incoming.glob(pattern))

    def _tidy(self) -> None:
        for left in self._left():
            if left.name.startswith("ready-"):
                self._move(left)
            else:
                shutil.rmtree(left)

    def _move(self, ready: Path) -> None:
        touched = set()
        for pattern in _PLACES:
            for path in sorted(ready.glob(pattern)):
                place = self.folder / path.relative_to(ready)
                place.parent.mkdir(parents=True, exist_ok=True)
                os.replace(path, place)
                touched.add(place.parent)
        for folder in sorted(touched):
            sync_folder(folder)
        shutil.rmtree(ready)


def sync(folder: Path) -> None:
    """Make sure that all in a folder is on the disk."""
    for path in folder.rglob("*"):
        if path.is_file():
            with path.open("rb+") as file:
                os.fsync(file.fileno())
        else:
            sync_folder(path)
    sync_folder(folder)
