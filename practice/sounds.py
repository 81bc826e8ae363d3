"""Where the recordings of an arriving deck come from: its bundle, or files beside it."""

from __future__ import annotations

import stat
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Protocol
from zipfile import ZipFile

from audio.recorded import NAME, file_name
from audio.recordings import bring_in, check_recording
from practice.bundle import AUDIO, Bundle, unpack
from practice.errors import ShelfError


class Sounds(Protocol):
    """The recordings that come with a deck, by the plain names by which it calls them."""

    def __contains__(self, name: str) -> bool: ...

    @contextmanager
    def reading(self) -> Iterator[Reader]: ...


class Reader(Protocol):
    def put(self, name: str, folder: Path, *, is_checked: bool = False) -> str:
        """Bring a recording into `folder`, which is there; the name that it has there. One that
        `is_checked` was put somewhere already. Raises RecordingError and ShelfError."""


def _put(path: Path, folder: Path, *, is_checked: bool) -> str:
    """A recording that bears the name of one that was brought in must be that one."""
    kept = NAME.fullmatch(path.name)
    if kept is None:
        return bring_in(path, folder)
    if not is_checked:  # by ear, which takes long
        check_recording(path)
    content = path.read_bytes()
    if file_name(kept["stem"], content) != path.name:
        raise ShelfError(f"{path.name}: has changed since it was looked at; look at it again")
    (folder / path.name).write_bytes(content)
    return path.name


class InBundle:
    """The recordings in a zip file."""

    def __init__(self, bundle: Bundle) -> None:
        self._bundle = bundle

    def __contains__(self, name: str) -> bool:
        return name in self._bundle.recordings

    @contextmanager
    def reading(self) -> Iterator[Reader]:
        with self._bundle.reading() as archive:
            yield _Unpacking(self._bundle, archive)


class _Unpacking:
    def __init__(self, bundle: Bundle, archive: ZipFile) -> None:
        self._bundle, self._archive = bundle, archive

    def put(self, name: str, folder: Path, *, is_checked: bool = False) -> str:
        with tempfile.TemporaryDirectory() as unpacked:
            path = Path(unpacked) / name
            with path.open("xb") as file:
                unpack(self._archive, self._bundle.recordings[name], file)
            return _put(path, folder, is_checked=is_checked)


class Beside:
    """Sound files beside a deck's file or in `recordings` beside it, and what is `kept` already."""

    def __init__(self, folder: Path, kept: Path) -> None:
        self._folder, self._kept = folder, kept

    def __contains__(self, name: str) -> bool:
        return self._find(name) is not None

    @contextmanager
    def reading(self) -> Iterator[Reader]:
        yield self

    def put(self, name: str, folder: Path, *, is_checked: bool = False) -> str:
        path = self._find(name)
        if path is None:
            raise ShelfError(f"{self._folder / name}: is gone; put it back, then try again")
        return _put(path, folder, is_checked=is_checked)

    def _find(self, name: str) -> Path | None:
        if "/" in name or "\\" in name or Path(name).suffix.lower() not in AUDIO:
            return None
        places = [self._folder, self._folder / "recordings"]
        if NAME.fullmatch(name):
            places.append(self._kept)
        for place in places:
            # A pipe or a device has no end.
            if (place / name).exists() and stat.S_ISREG((place / name).stat().st_mode):
                return place / name
        return None
