"""A zip file of a few entries, read without believing what it says of itself.

The layout of zip files is that of PKWARE's APPNOTE 6.3, sections 4.3 and 4.4 (from memory). Nothing
is unpacked into memory or onto a disk: lines are given one by one, and counted.
"""

from __future__ import annotations

import contextlib
import struct
import zipfile
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path, PurePosixPath
from typing import IO

from scheduler.errors import DamagedLogFileError, LogFileError, NotALogFileError
from scheduler.lines import LONGEST_LINE

MOST_FILE_BYTES = 2**29
MOST_RATIO = 200
"""So many times smaller than its content an entry of some size may be packed; answers are packed
ten times smaller."""
SMALL_BYTES = 2**18
"""Below this no ratio is too high."""
NOT_TAKEN = "Nothing of it was taken"
OTHER = f"{NOT_TAKEN}; choose a file that was handed over as a log"

_MOST_ENTRIES = 32
_MOST_DIRECTORY = 2**14
_CHUNK = 2**16
END = struct.Struct("<4s4H2LH")
ENCRYPTED = 0x1 | 0x40 | 0x2000
BROKEN = (
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


@contextlib.contextmanager
def telling(path: Path) -> Iterator[None]:
    """Tell what keeps a file from being read. Raises LogFileError."""
    try:
        if path.exists() and not path.is_file():  # a pipe would keep us waiting
            raise NotALogFileError(path, wrong="it is no file", remedy=OTHER)
        yield
    except (OSError, ValueError) as error:
        said = getattr(error, "strerror", None) or error
        raise LogFileError(
            path,
            wrong=f"it cannot be read ({said})",
            remedy="Check its name, and that it may be read",
        ) from error


@contextlib.contextmanager
def opened(path: Path) -> Iterator[Entries]:
    """A zip file whose list of entries is as short as a log's. Raises LogFileError."""
    with telling(path), path.open("rb") as file, contextlib.ExitStack() as stack:
        _check_ends(file, path)
        try:
            archive = stack.enter_context(zipfile.ZipFile(file))
        except BROKEN as error:
            raise DamagedLogFileError(path, place="it is no whole zip file") from error
        yield Entries(path, archive)


class Entries:
    """The entries of an open file, by their plain names. Raises DamagedLogFileError."""

    def __init__(self, path: Path, archive: zipfile.ZipFile) -> None:
        self._path, self._archive = path, archive
        infos = [info for info in archive.infolist() if not _is_litter(info)]
        self._infos = {PurePosixPath(info.filename).name: info for info in infos}
        self._is_clear = len(self._infos) == len(infos)

    @property
    def names(self) -> frozenset[str]:
        return frozenset(self._infos)

    def check_are(self, names: frozenset[str]) -> None:
        """That there are these entries, each once, and no others."""
        for lacking in sorted(names - self.names):
            raise self.damaged(f"{lacking} is not in it")
        for unknown in sorted(self.names - names):
            raise self.damaged(f"it holds {unknown!r:.60} besides, which is no part of a log")
        if not self._is_clear:
            raise self.damaged("two entries in it have one name")

    def damaged(self, place: str) -> DamagedLogFileError:
        return DamagedLogFileError(self._path, place=place)

    def content(self, name: str, most: int) -> bytes:
        return b"".join(self._chunks(name, most))

    def lines(self, name: str, most: int, note: Callable[[bytes], object]) -> Iterator[bytes]:
        """The lines of an entry, without their ends; `note` is called with every piece of it."""
        rest, number = b"", 0
        for chunk in self._chunks(name, most):
            note(chunk)
            *lines, rest = (rest + chunk).split(b"\n")
            yield from lines
            number += len(lines)
            if len(rest) > LONGEST_LINE:
                raise self.damaged(f"{name}, line {number + 1}: it is longer than a line may be")
        if rest:
            raise self.damaged(f"{name}, line {number + 1}: it is cut off")

    def _chunks(self, name: str, most: int) -> Iterator[bytes]:
        """The content of an entry, counted as it comes."""
        info, size = self._infos[name], 0
        if wrong := _wrong_form(info):
            raise self.damaged(f"{name} {wrong}")
        try:
            with self._archive.open(info) as file:
                while chunk := file.read(_CHUNK):
                    size += len(chunk)
                    if size > most:
                        raise self.damaged(f"{name} is longer than {most} bytes")
                    yield chunk
        except BROKEN as error:
            raise self.damaged(f"{name} cannot be unpacked") from error


def _check_ends(file: IO[bytes], path: Path) -> None:
    """Before the list of entries is read into memory: that there is one, and no long one."""
    start, size = file.read(4), file.seek(0, 2)
    if not start.startswith((b"PK\3\4", b"PK\5\6")):
        raise NotALogFileError(path, wrong=_what_is(start), remedy=OTHER)
    if size > MOST_FILE_BYTES:
        wrong = f"it is larger than {MOST_FILE_BYTES // 2**20} MB"
        raise NotALogFileError(path, wrong=wrong, remedy=OTHER)
    file.seek(max(0, size - END.size - 2**16))
    tail = file.read()
    at = tail.rfind(b"PK\5\6")
    if at < 0 or len(tail) - at < END.size:
        raise DamagedLogFileError(path, place="its end is missing")
    *_, count, directory, _, _ = END.unpack_from(tail, at)
    if tail[max(0, at - 20) : at].startswith(b"PK\6\7"):
        wrong = "it is a zip file of a form meant for larger files, and no log"
        raise NotALogFileError(path, wrong=wrong, remedy=OTHER)
    if count > _MOST_ENTRIES or directory > _MOST_DIRECTORY:
        wrong = f"it is a zip file of more than {_MOST_ENTRIES} files, and no log"
        raise NotALogFileError(path, wrong=wrong, remedy=OTHER)
    file.seek(0)


def _what_is(start: bytes) -> str:
    """What a file that is no zip may be, by how it begins."""
    if not start:
        return "it is empty"
    if start.startswith(b"\x1f\x8b"):
        return "it is packed by gzip, as backups are, and was not handed over as a log"
    return "it is no zip file"


def _is_litter(info: zipfile.ZipInfo) -> bool:
    """What a file manager adds when somebody unpacks a file and packs it again."""
    name = PurePosixPath(info.filename).name
    if name in ("", ".DS_Store") or info.filename.startswith("__MACOSX/"):
        return True
    return info.is_dir()  # which fails where a name is empty


def _wrong_form(info: zipfile.ZipInfo) -> str:
    if info.flag_bits & ENCRYPTED:
        return "is encrypted"
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        return "is packed in a way that is not read here"
    if info.file_size > max(SMALL_BYTES, MOST_RATIO * info.compress_size):
        return f"is packed more than {MOST_RATIO} times smaller than it says it is"
    return ""
