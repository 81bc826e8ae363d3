"""A bundle: decks with their recordings, a course, a tradition, in one zip file.

Reading one writes nothing anywhere: sounds are looked at, and unpacked later.
"""

from __future__ import annotations

import contextlib
import hashlib
import stat
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import IO

from audio.recordings import LARGEST_BYTES
from practice.errors import ShelfError
from practice.zips import AGAIN, MOST_BUNDLE_BYTES, Broken, chunks, entries_of, opened, place
from quizzes.courses import MOST_BYTES as MOST_COURSE_BYTES
from quizzes.decks.faults import DeckError
from quizzes.decks.limits import MOST_BYTES
from quizzes.decks.reading import text_of
from quizzes.tradition import MOST_BYTES as MOST_TRADITION_BYTES

AUDIO = (".wav", ".flac", ".mp3", ".ogg")
TRADITION = "tradition.toml"

_FIRST_DAY = (1980, 1, 1, 0, 0, 0)


@dataclass(frozen=True, slots=True)
class Packed:
    """A sound file in a bundle, as it was when it was read."""

    entry: str
    size: int
    digest: str
    """SHA-256, in hex."""


@dataclass(frozen=True, slots=True)
class Bundle:
    """What a zip file holds, read and found sound as a zip; texts by the names of their entries."""

    path: Path
    decks: Mapping[str, str]
    courses: Mapping[str, str]
    tradition: str | None
    recordings: Mapping[str, Packed]
    """By their plain names."""
    unknown: tuple[str, ...]
    """Entries that are no part of a bundle and stay where they are."""

    def place(self, entry: str) -> str:
        """What an entry is called in messages."""
        return place(self.path, entry)

    @contextlib.contextmanager
    def reading(self) -> Iterator[zipfile.ZipFile]:
        """For `unpack`. Raises ShelfError where the file is another by now."""
        with opened(self.path) as archive:
            yield archive


def unpack(archive: zipfile.ZipFile, packed: Packed, out: IO[bytes]) -> None:
    """Write a sound file as it was read first. Raises ShelfError where it is another by now."""
    digest = hashlib.sha256()
    try:
        for chunk in chunks(archive, archive.getinfo(packed.entry), packed.size):
            digest.update(chunk)
            out.write(chunk)
    except (Broken, KeyError):
        digest = hashlib.sha256()
    if digest.hexdigest() != packed.digest:
        raise ShelfError(
            f"{place(Path(archive.filename or ''), packed.entry)}: has changed since the bundle "
            "was looked at; look at it again"
        )


def read_bundle(path: Path) -> Bundle:
    """Read a zip file. Raises ShelfError with all that is wrong with its entries."""
    with opened(path) as archive:
        entries = _unwrapped(entries_of(archive, path))
        read, faults = _Reading(archive, path), []
        for entry, info in entries.items():
            try:
                read.take(entry, info)
            except (Broken, DeckError) as error:
                faults += str(error).splitlines()
        if faults:
            raise ShelfError(*faults)
        if not (read.decks or read.courses or read.tradition):
            raise ShelfError(
                f"{path.name}: holds no deck, course or tradition; a bundle holds decks/*.toml, "
                "recordings/*, courses/*.toml and tradition.toml"
            )
        return read.bundle()


def write_bundle(out: IO[bytes], files: Mapping[str, bytes | Path]) -> None:
    """Write a zip file of these entries; the same entries give the same bytes.

    Nothing is compressed: what packs too well would be refused as a bomb, and recordings hardly
    pack at all.
    """
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
        for name, content in sorted(files.items()):
            info = zipfile.ZipInfo(name, _FIRST_DAY)
            info.external_attr = (stat.S_IFREG | 0o644) << 16
            info.create_system = 3
            data = content.read_bytes() if isinstance(content, Path) else content
            archive.writestr(info, data)


def _unwrapped(files: Mapping[str, zipfile.ZipInfo]) -> dict[str, zipfile.ZipInfo]:
    """By names without the one folder in which all lies, if that is none of a bundle's own."""
    tops = {name.partition("/")[0] for name in files if not name.startswith("__MACOSX/")}
    if len(tops) != 1 or tops & {"decks", "recordings", "courses"} or tops & files.keys():
        return dict(files)
    return {name.removeprefix(f"{next(iter(tops))}/"): info for name, info in files.items()}


class _Reading:
    """Takes entry by entry what is known; what is not is only named. Raises Broken, DeckError."""

    def __init__(self, archive: zipfile.ZipFile, path: Path) -> None:
        self._archive, self._path = archive, path
        self.decks: dict[str, str] = {}
        self.courses: dict[str, str] = {}
        self.tradition: str | None = None
        self.recordings: dict[str, Packed] = {}
        self._unknown: list[str] = []
        self._left = MOST_BUNDLE_BYTES

    def bundle(self) -> Bundle:
        return Bundle(
            self._path,
            self.decks,
            self.courses,
            self.tradition,
            self.recordings,
            tuple(self._unknown),
        )

    def take(self, entry: str, info: zipfile.ZipInfo) -> None:
        folder, _, name = entry.rpartition("/")
        suffix = PurePosixPath(name).suffix.lower()
        if name.startswith(".") or (folder, suffix) not in _KNOWN:
            self._unknown.append(entry)
        elif suffix != ".toml":
            self._take_recording(name, info)
        elif folder == "courses":
            self.courses[entry] = self._text(info, MOST_COURSE_BYTES)
        elif entry == TRADITION:
            self.tradition = self._text(info, MOST_TRADITION_BYTES)
        else:
            self.decks[entry] = self._text(info, MOST_BYTES)

    def _take_recording(self, name: str, info: zipfile.ZipInfo) -> None:
        if name in self.recordings:
            raise self._broken(info, "stands twice in the bundle", AGAIN)
        digest, size = hashlib.sha256(), 0
        for chunk in self._counted(info, LARGEST_BYTES):
            digest.update(chunk)
            size += len(chunk)
        self.recordings[name] = Packed(info.filename, size, digest.hexdigest())

    def _text(self, info: zipfile.ZipInfo, most: int) -> str:
        data = b"".join(self._counted(info, most))
        return text_of(data, place(self._path, info.filename))

    def _counted(self, info: zipfile.ZipInfo, most: int) -> Iterator[bytes]:
        for chunk in chunks(self._archive, info, most):
            self._left -= len(chunk)
            if self._left < 0:
                raise self._broken(info, "unpacks to more than may be in a bundle", AGAIN)
            yield chunk

    def _broken(self, info: zipfile.ZipInfo, wrong: str, remedy: str) -> Broken:
        return Broken(f"{place(self._path, info.filename)}: {wrong}; {remedy}")


_KNOWN = {
    *((folder, ".toml") for folder in ("", "decks", "courses")),
    *((folder, suffix) for folder in ("", "recordings") for suffix in AUDIO),
}
