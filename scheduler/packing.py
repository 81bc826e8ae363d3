"""Packing a file by gzip, and reading it once more before it is relied on."""

from __future__ import annotations

import errno
import gzip
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO

BROKEN = (gzip.BadGzipFile, EOFError, zlib.error)
"""What a packed file raises that is torn."""
CHUNK = 2**18


def pack_into(
    file: IO[bytes], plain: Path, *, name: str = "", go_on: Callable[[], None] = lambda: None
) -> None:
    """Write `plain` packed to `file`, at its beginning, where it bears `name` (RFC 1952).

    `go_on` is asked between pieces and may raise. Raises OSError, as where the disk does not give
    back what was written.
    """
    with (
        plain.open("rb") as source,
        gzip.GzipFile(name, "wb", compresslevel=6, fileobj=file, mtime=0) as into,
    ):
        while piece := source.read(CHUNK):
            go_on()
            into.write(piece)
    file.flush()
    with plain.open("rb") as source:
        try:
            for piece in unpacked(Path(file.name)):
                go_on()
                if source.read(len(piece)) != piece:
                    raise EOFError
            if source.read(1):
                raise EOFError
        except BROKEN as error:
            text = "the disk does not give back what was written"
            raise OSError(errno.EIO, text, file.name) from error


def unpacked(path: Path) -> Iterator[bytes]:
    """What is packed in a file, piece by piece. Raises OSError and those of BROKEN."""
    with gzip.open(path, "rb") as file:
        while piece := file.read(CHUNK):
            yield piece
