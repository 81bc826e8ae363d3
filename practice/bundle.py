"""A bundle: decks with their recordings, a course, a tradition, in one zip file.

Reading one believes nothing that it says of itself: every entry must lie inside, be a plain file
and overlap no other, every size is counted while unpacking, and nothing is written anywhere. The
layout of zip files is that of PKWARE's APPNOTE 6.3 (sections 4.3 and 4.4, from memory).
"""

from __future__ import annotations

import contextlib
import hashlib
import stat
import struct
import unicodedata
import zipfile
import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import IO

from audio.recordings import LARGEST_BYTES
from practice.errors import ShelfError
from quizzes.decks.faults import DeckError
from quizzes.decks.limits import MOST_BYTES
from quizzes.decks.reading import text_of

MOST_BUNDLE_BYTES = 256 * 2**20
"""Of the zip file, and of all in it unpacked."""
MOST_ENTRIES = 1_000
LONGEST_NAME = 120
"""Characters of an entry's name, with its folders."""
MOST_RATIO = 200
"""So many times smaller than its content an entry of some size may be packed."""
SMALL_BYTES = 2**18
"""Below this no ratio is too high."""
AUDIO = (".wav", ".flac", ".mp3", ".ogg")
PACKED = (".zip", ".7z", ".rar", ".tar", ".gz", ".tgz", ".bz2", ".xz")
TRADITION = "tradition.toml"

_CHUNK = 2**16
_END = struct.Struct("<4s4H2LH")
_LOCAL = struct.Struct("<4s5H3L2H")
_MOST_DIRECTORY = MOST_ENTRIES * 1_024
_ENCRYPTED = 0x1 | 0x40 | 0x2000
_BROKEN = (
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
_AGAIN = "make the bundle again with `main.py deck hand-over`"
_RENAME = "give the file a name of letters, digits and -, then zip it again"
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
        return _place(self.path, entry)

    @contextlib.contextmanager
    def reading(self) -> Iterator[zipfile.ZipFile]:
        """For `unpack`. Raises ShelfError where the file is another by now."""
        with _opened(self.path) as archive:
            yield archive


def unpack(archive: zipfile.ZipFile, packed: Packed, out: IO[bytes]) -> None:
    """Write a sound file as it was read first. Raises ShelfError where it is another by now."""
    digest = hashlib.sha256()
    try:
        for chunk in _chunks(archive, archive.getinfo(packed.entry), packed.size):
            digest.update(chunk)
            out.write(chunk)
    except _Broken as error:
        raise ShelfError(f"{error}") from error
    if digest.hexdigest() != packed.digest:
        raise ShelfError(
            f"{_place(Path(archive.filename or ''), packed.entry)}: has changed since the bundle "
            "was looked at; look at it again"
        )


def read_bundle(path: Path) -> Bundle:
    """Read a zip file. Raises ShelfError with all that is wrong with its entries."""
    with _opened(path) as archive:
        entries = _entries(archive, path)
        read, faults = _Reading(archive, path), []
        for entry, info in entries.items():
            try:
                read.take(entry, info)
            except (_Broken, DeckError) as error:
                faults += str(error).splitlines()
        if faults:
            raise ShelfError(*faults)
        if not (read.decks or read.courses or read.tradition):
            raise ShelfError(
                f"{path}: holds no deck, course or tradition; a bundle holds decks/*.toml, "
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


class _Broken(Exception):
    """What is wrong with an entry, with its place and its remedy."""


def _place(path: Path, entry: str) -> str:
    shown = "".join(each if each.isprintable() else ascii(each)[1:-1] for each in entry)
    return f"{path.name}: {shown if len(shown) <= LONGEST_NAME else shown[:LONGEST_NAME] + '…'}"


@contextlib.contextmanager
def _opened(path: Path) -> Iterator[zipfile.ZipFile]:
    try:
        with path.open("rb") as file:
            _check_ends(file, path)
            try:
                archive = zipfile.ZipFile(file)
            except _BROKEN as error:
                raise _no_zip(path, error) from error
            with archive:
                archive.filename = str(path)
                yield archive
    except OSError as error:
        raise ShelfError(f"{path}: {error.strerror or error}; check the file's name") from error


def _no_zip(path: Path, reason: object) -> ShelfError:
    return ShelfError(f"{path}: is no whole zip file ({reason}); {_AGAIN}")


def _check_ends(file: IO[bytes], path: Path) -> None:
    """Before any list of entries is read into memory: that it is no larger than it may be, and
    that nothing else stands in the file."""
    size = file.seek(0, 2)
    if size > MOST_BUNDLE_BYTES:
        most = MOST_BUNDLE_BYTES // 2**20
        raise ShelfError(
            f"{path}: is larger than {most} MB; hand over fewer decks or shorter recordings"
        )
    tail_at = max(0, size - _END.size - 2**16)
    file.seek(tail_at)
    tail = file.read()
    at = tail.rfind(b"PK\5\6")
    if at < 0 or len(tail) - at < _END.size:
        raise _no_zip(path, "its end is missing")
    *_, here, entries, directory, starts, comment = _END.unpack_from(tail, at)
    if at + _END.size + comment != len(tail):
        raise _no_zip(path, "something stands behind its end")
    if tail[max(0, at - 20) : at].startswith(b"PK\6\7") or here != entries:
        raise _no_zip(path, "it is of a form meant for larger files")
    if entries > MOST_ENTRIES or directory > _MOST_DIRECTORY:
        raise ShelfError(f"{path}: holds more than {MOST_ENTRIES} files; hand over fewer decks")
    if starts + directory != tail_at + at:
        raise _no_zip(path, "its list of files is not where it says")
    file.seek(0)


def _entries(archive: zipfile.ZipFile, path: Path) -> dict[str, zipfile.ZipInfo]:
    """All files of a zip by their names, less a folder that holds all. Raises ShelfError."""
    infos = archive.infolist()
    if len(infos) > MOST_ENTRIES:
        raise ShelfError(f"{path}: holds more than {MOST_ENTRIES} files; hand over fewer decks")
    faults = [f"{_place(path, info.orig_filename)}: {wrong}" for info, wrong in _odd(infos)]
    if not faults:
        faults = [f"{_place(path, entry)}: {wrong}" for entry, wrong in _overlapping(archive)]
    unpacked = sum(info.file_size for info in infos)
    if not faults and unpacked > MOST_BUNDLE_BYTES:
        most = MOST_BUNDLE_BYTES // 2**20
        faults = [f"{path}: unpacks to more than {most} MB; hand over fewer decks"]
    if faults:
        raise ShelfError(*faults)
    files = {info.filename: info for info in infos if not info.is_dir()}
    return _unwrapped(files)


def _odd(infos: Sequence[zipfile.ZipInfo]) -> Iterator[tuple[zipfile.ZipInfo, str]]:
    seen = set()
    for info in infos:
        if wrong := _wrong_name(info) or _wrong_form(info):
            yield info, wrong
            continue
        name = unicodedata.normalize("NFC", info.filename).casefold().rstrip("/")
        if name in seen:
            yield info, f"stands twice in the bundle, perhaps in other letters; {_AGAIN}"
        seen.add(name)


def _wrong_name(info: zipfile.ZipInfo) -> str:
    name = info.orig_filename
    parts = name.removesuffix("/").split("/")
    if not name or len(name) > LONGEST_NAME:
        return f"its name is empty or longer than {LONGEST_NAME} characters; {_RENAME}"
    if not name.isprintable():
        return f"its name holds signs that cannot be seen; {_RENAME}"
    if "\\" in name or ":" in name:
        return f"its name holds a \\ or a drive letter; {_AGAIN}"
    if name.startswith("/") or ".." in parts:
        return f"lies outside the bundle; {_AGAIN}"
    if any(part in ("", ".") or part != part.rstrip(" .") for part in parts):
        return f"its name has an empty part, or one that ends in a dot or a space; {_RENAME}"
    if not name.isascii() and not info.flag_bits & 0x800:
        return f"its name is not in UTF-8; {_RENAME}"
    if PurePosixPath(name).suffix.lower() in PACKED:
        return "is packed within the bundle; unpack it and take what it holds by itself"
    return ""


def _wrong_form(info: zipfile.ZipInfo) -> str:
    form = stat.S_IFMT(info.external_attr >> 16)
    if form not in (0, stat.S_IFDIR if info.is_dir() else stat.S_IFREG):
        return f"is a link or another thing that is no plain file; {_AGAIN}"
    if info.flag_bits & _ENCRYPTED:
        return "is encrypted; make the bundle again without a password"
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        return f"is packed in a way that is not read here; {_AGAIN}"
    if info.is_dir() and info.file_size:
        return f"is a folder and yet holds something; {_AGAIN}"
    if info.file_size > max(SMALL_BYTES, MOST_RATIO * info.compress_size):
        return f"is packed more than {MOST_RATIO} times smaller than it says it is; {_AGAIN}"
    return ""


def _overlapping(archive: zipfile.ZipFile) -> Iterator[tuple[str, str]]:
    """Entries that share bytes with another, or with the list of files."""
    file = archive.fp
    assert file is not None
    spans = []
    for info in archive.infolist():
        file.seek(info.header_offset)
        header = file.read(_LOCAL.size)
        if len(header) < _LOCAL.size or not header.startswith(b"PK\3\4"):
            yield info.filename, f"is not where the bundle says; {_AGAIN}"
            return
        *_, name, extra = _LOCAL.unpack(header)
        ends = info.header_offset + _LOCAL.size + name + extra + info.compress_size
        spans.append((info.header_offset, ends, info.filename))
    spans.sort()
    starts = [start for start, _, _ in spans[1:]] + [archive.start_dir]
    for (_, ends, name), following in zip(spans, starts, strict=bool(spans)):
        if ends > following:
            yield name, f"overlaps with what follows it; {_AGAIN}"


def _unwrapped(files: Mapping[str, zipfile.ZipInfo]) -> dict[str, zipfile.ZipInfo]:
    """By names without the one folder in which all lies, if that is none of a bundle's own."""
    tops = {name.partition("/")[0] for name in files if not name.startswith("__MACOSX/")}
    if len(tops) != 1 or tops & {"decks", "recordings", "courses"} or tops & files.keys():
        return dict(files)
    return {name.removeprefix(f"{next(iter(tops))}/"): info for name, info in files.items()}


class _Reading:
    """Takes entry by entry what is known; what is not is only named."""

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
        """Raises _Broken."""
        folder, _, name = entry.rpartition("/")
        suffix = PurePosixPath(name).suffix.lower()
        if name.startswith(".") or (folder, suffix) not in _KNOWN:
            self._unknown.append(entry)
        elif suffix != ".toml":
            self._take_recording(name, info)
        elif folder == "courses":
            self.courses[entry] = self._text(info)
        elif entry == TRADITION:
            self.tradition = self._text(info)
        else:
            self.decks[entry] = self._text(info)

    def _take_recording(self, name: str, info: zipfile.ZipInfo) -> None:
        if name in self.recordings:
            raise self._broken(info, "stands twice in the bundle", _AGAIN)
        digest, size = hashlib.sha256(), 0
        for chunk in self._counted(info, LARGEST_BYTES):
            digest.update(chunk)
            size += len(chunk)
        self.recordings[name] = Packed(info.filename, size, digest.hexdigest())

    def _text(self, info: zipfile.ZipInfo) -> str:
        data = b"".join(self._counted(info, MOST_BYTES))
        return text_of(data, _place(self._path, info.filename))

    def _counted(self, info: zipfile.ZipInfo, most: int) -> Iterator[bytes]:
        for chunk in _chunks(self._archive, info, most):
            self._left -= len(chunk)
            if self._left < 0:
                raise self._broken(info, "unpacks to more than may be in a bundle", _AGAIN)
            yield chunk

    def _broken(self, info: zipfile.ZipInfo, wrong: str, remedy: str) -> _Broken:
        return _Broken(f"{_place(self._path, info.filename)}: {wrong}; {remedy}")


_KNOWN = {
    *((folder, ".toml") for folder in ("", "decks", "courses")),
    *((folder, suffix) for folder in ("", "recordings") for suffix in AUDIO),
}


def _chunks(archive: zipfile.ZipFile, info: zipfile.ZipInfo, most: int) -> Iterable[bytes]:
    """The content of an entry, counted as it comes. Raises _Broken."""
    place, size = _place(Path(archive.filename or ""), info.filename), 0
    try:
        with archive.open(info) as file:
            while chunk := file.read(_CHUNK):
                size += len(chunk)
                if size > most:
                    raise _Broken(f"{place}: is larger than {most} bytes; make it shorter")
                yield chunk
    except _BROKEN as error:
        raise _Broken(f"{place}: cannot be unpacked ({error}); {_AGAIN}") from error
    if size != info.file_size:
        raise _Broken(f"{place}: is not as long as the bundle says; {_AGAIN}")
