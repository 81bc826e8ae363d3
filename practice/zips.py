"""Reading a zip file without believing what it says of itself.

Every entry must lie inside, be a plain file, and overlap no other; sizes are counted while
unpacking, and nothing is written anywhere. The layout of zip files is that of PKWARE's APPNOTE 6.3
(sections 4.3 and 4.4, from memory).
"""

from __future__ import annotations

import contextlib
import stat
import struct
import unicodedata
import zipfile
from collections.abc import Iterator, Sequence
from pathlib import Path, PurePosixPath
from typing import IO

from practice.errors import ShelfError
from scheduler.entries import BROKEN, ENCRYPTED, END

MOST_BUNDLE_BYTES = 256 * 2**20
"""Of the zip file, and of all in it unpacked."""
MOST_ENTRIES = 1_000
LONGEST_NAME = 120
"""Characters of an entry's name, with its folders."""
MOST_RATIO = 200
"""So many times smaller than its content an entry of some size may be packed."""
SMALL_BYTES = 2**18
"""Below this no ratio is too high."""
PACKED = (".zip", ".7z", ".rar", ".tar", ".gz", ".tgz", ".bz2", ".xz")
AGAIN = "ask for the file again, or hand it over once more"
RENAME = "give the file a name of letters, digits and -, then zip it again"

_CHUNK = 2**16
_LOCAL = struct.Struct("<4s5H3L2H")
_MOST_DIRECTORY = MOST_ENTRIES * 1_024
_UTF_8 = 0x800


class Broken(Exception):
    """What is wrong with an entry, with its place and its remedy."""


def place(path: Path, entry: str) -> str:
    shown = "".join(each if each.isprintable() else ascii(each)[1:-1] for each in entry)
    return f"{path.name}: {shown if len(shown) <= LONGEST_NAME else shown[:LONGEST_NAME] + '…'}"


@contextlib.contextmanager
def opened(path: Path) -> Iterator[zipfile.ZipFile]:
    """A zip file whose list of entries is no larger than it may be. Raises ShelfError."""
    with contextlib.ExitStack() as stack:
        try:
            if path.exists() and not path.is_file():  # a pipe would keep us waiting
                raise ShelfError(f"{path.name}: is no file; give the path of a bundle, a .zip")
            file = stack.enter_context(path.open("rb"))
            _check_ends(file, path)
        except OSError as error:
            raise ShelfError(
                f"{path.name}: {error.strerror or error}; check the file's name"
            ) from error
        try:
            archive = stack.enter_context(zipfile.ZipFile(file))
        except BROKEN as error:
            raise _no_zip(path, error) from error
        archive.filename = str(path)
        yield archive


def _no_zip(path: Path, reason: object) -> ShelfError:
    return ShelfError(f"{path.name}: is no whole zip file ({reason}); {AGAIN}")


def _too_many(path: Path) -> ShelfError:
    return ShelfError(f"{path.name}: holds more than {MOST_ENTRIES} files; hand over fewer decks")


def _check_ends(file: IO[bytes], path: Path) -> None:
    """Before any list of entries is read into memory: that it is no larger than it may be, and
    that nothing else stands in the file."""
    size = file.seek(0, 2)
    if size > MOST_BUNDLE_BYTES:
        most = MOST_BUNDLE_BYTES // 2**20
        raise ShelfError(
            f"{path.name}: is larger than {most} MB; hand over fewer decks or shorter recordings"
        )
    tail_at = max(0, size - END.size - 2**16)
    file.seek(tail_at)
    tail = file.read()
    at = tail.rfind(b"PK\5\6")
    if at < 0 or len(tail) - at < END.size:
        raise _no_zip(path, "its end is missing")
    *_, here, entries, directory, starts, comment = END.unpack_from(tail, at)
    if at + END.size + comment != len(tail):
        raise _no_zip(path, "something stands behind its end")
    if tail[max(0, at - 20) : at].startswith(b"PK\6\7") or here != entries:
        raise _no_zip(path, "it is of a form meant for larger files")
    if entries > MOST_ENTRIES or directory > _MOST_DIRECTORY:
        raise _too_many(path)
    if starts + directory != tail_at + at:
        raise _no_zip(path, "its list of files is not where it says")
    file.seek(0)


def entries_of(archive: zipfile.ZipFile, path: Path) -> dict[str, zipfile.ZipInfo]:
    """All files of a zip by their names. Raises ShelfError with all that is wrong with them."""
    infos = archive.infolist()
    if len(infos) > MOST_ENTRIES:
        raise _too_many(path)
    faults = [f"{place(path, info.orig_filename)}: {wrong}" for info, wrong in _odd(infos)]
    if not faults:
        faults = [f"{place(path, entry)}: {wrong}" for entry, wrong in _overlapping(archive)]
    unpacked = sum(info.file_size for info in infos)
    if not faults and unpacked > MOST_BUNDLE_BYTES:
        most = MOST_BUNDLE_BYTES // 2**20
        faults = [f"{path.name}: unpacks to more than {most} MB; hand over fewer decks"]
    if faults:
        raise ShelfError(*faults)
    return {info.filename: info for info in infos if not info.is_dir()}


def _odd(infos: Sequence[zipfile.ZipInfo]) -> Iterator[tuple[zipfile.ZipInfo, str]]:
    seen = set()
    for info in infos:
        if wrong := _wrong_name(info) or _wrong_form(info):
            yield info, wrong
            continue
        name = unicodedata.normalize("NFC", info.filename).casefold().rstrip("/")
        if name in seen:
            yield info, f"stands twice in the bundle, perhaps in other letters; {AGAIN}"
        seen.add(name)


def _wrong_name(info: zipfile.ZipInfo) -> str:
    name = info.orig_filename
    parts = name.removesuffix("/").split("/")
    if not name or len(name) > LONGEST_NAME:
        return f"its name is empty or longer than {LONGEST_NAME} characters; {RENAME}"
    if not name.isprintable():
        return f"its name holds signs that cannot be seen; {RENAME}"
    if "\\" in name or ":" in name:
        return f"its name holds a \\ or a drive letter; {AGAIN}"
    if name.startswith("/") or ".." in parts:
        return f"lies outside the bundle; {AGAIN}"
    if any(part in ("", ".") or part != part.rstrip(" .") for part in parts):
        return f"its name has an empty part, or one that ends in a dot or a space; {RENAME}"
    if not name.isascii() and not info.flag_bits & _UTF_8:
        return f"its name is not in UTF-8; {RENAME}"
    if PurePosixPath(name).suffix.lower() in PACKED:
        return "is packed within the bundle; unpack it and take what it holds by itself"
    return ""


def _wrong_form(info: zipfile.ZipInfo) -> str:
    form = stat.S_IFMT(info.external_attr >> 16)
    if form not in (0, stat.S_IFDIR if info.is_dir() else stat.S_IFREG):
        return f"is a link or another thing that is no plain file; {AGAIN}"
    if info.flag_bits & ENCRYPTED:
        return "is encrypted; make the bundle again without a password"
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        return f"is packed in a way that is not read here; {AGAIN}"
    if info.is_dir() and info.file_size:
        return f"is a folder and yet holds something; {AGAIN}"
    if info.file_size > max(SMALL_BYTES, MOST_RATIO * info.compress_size):
        return f"is packed more than {MOST_RATIO} times smaller than it says it is; {AGAIN}"
    return ""


def _overlapping(archive: zipfile.ZipFile) -> Iterator[tuple[str, str]]:
    """Entries that share bytes with another, or with the list of files."""
    file = archive.fp
    assert file is not None
    spans = []
    for info in archive.infolist():
        header = b""
        if info.header_offset < archive.start_dir:
            file.seek(info.header_offset)
            header = file.read(_LOCAL.size)
        if len(header) < _LOCAL.size or not header.startswith(b"PK\3\4"):
            yield info.filename, f"is not where the bundle says; {AGAIN}"
            return
        *_, name, extra = _LOCAL.unpack(header)
        ends = info.header_offset + _LOCAL.size + name + extra + info.compress_size
        spans.append((info.header_offset, ends, info.filename))
    spans.sort()
    starts = [start for start, _, _ in spans[1:]] + [archive.start_dir]
    for (_, ends, name), following in zip(spans, starts, strict=bool(spans)):
        if ends > following:
            yield name, f"overlaps with what follows it; {AGAIN}"


def chunks(archive: zipfile.ZipFile, info: zipfile.ZipInfo, most: int) -> Iterator[bytes]:
    """The content of an entry, counted as it comes. Raises Broken."""
    where, size = place(Path(archive.filename or ""), info.filename), 0
    try:
        with archive.open(info) as file:
            while chunk := file.read(_CHUNK):
                size += len(chunk)
                if size > most:
                    raise Broken(f"{where}: is larger than {most} bytes; make it shorter")
                yield chunk
    except BROKEN as error:
        raise Broken(f"{where}: cannot be unpacked ({error}); {AGAIN}") from error
    if size != info.file_size:
        raise Broken(f"{where}: is not as long as the bundle says; {AGAIN}")
