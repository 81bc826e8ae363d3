"""WAV files of any usual form, read piece by piece with nothing but the standard library and numpy.

Whole numbers of 8, 16, 24 or 32 bits and floats of 32 or 64, in any number of channels, with the
plain or the extensible header (Microsoft, Multiple Channel Audio Data and WAVE Files, 2007), also
in the 64-bit form (EBU Tech 3306). Other chunks than those of form and sound are passed over.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from dataclasses import dataclass
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

from audio.errors import RecordingError

MOST_CHUNKS = 256
PIECE_FRAMES = 1 << 15
SAVE_AS_WAV = "save it as WAV with 16 or 24 bits"
_WHOLE, _FLOAT, _EXTENSIBLE = 0x0001, 0x0003, 0xFFFE
_SUBFORMAT = bytes.fromhex("0000 0000 1000 8000 00aa 0038 9b71")
"""What follows the code in the extensible header's GUID."""
_TO_THE_END = 0xFFFF_FFFF
"""A size that was not yet known when the header was written."""


@dataclass(frozen=True, slots=True)
class WavForm:
    """How the samples of a file lie in it."""

    rate_hz: int
    channels: int
    sample_bytes: int
    is_float: bool
    at: int
    """Byte at which the samples begin."""
    frames: int
    """As many as the header says."""


def is_wav(beginning: bytes) -> bool:
    return beginning[:4] in (b"RIFF", b"RF64", b"BW64") and beginning[8:12] == b"WAVE"


def form_of(file: BinaryIO, size: int, name: str) -> WavForm:
    """The form of an open file of `size` bytes. Raises RecordingError naming it, and OSError."""
    layout: tuple[int, int, int, bool] | None = None
    long_size = None
    at = 12
    for _ in range(MOST_CHUNKS):
        file.seek(at)
        head = file.read(8)
        if len(head) < 8:
            break
        kind, length = head[:4], int.from_bytes(head[4:], "little")
        at += 8
        if kind == b"ds64":
            long_size = int.from_bytes(file.read(16)[8:], "little")
        elif kind == b"fmt ":
            layout = _layout(file.read(min(length, 40)), name)
        elif kind == b"data":
            if layout is None:
                break
            if length == _TO_THE_END:
                length = size - at if long_size is None else long_size
            rate_hz, channels, sample_bytes, is_float = layout
            frames = length // (channels * sample_bytes)
            return WavForm(rate_hz, channels, sample_bytes, is_float, at, frames)
        at += length + length % 2
    raise RecordingError(f"is a WAV file without sound in it: {SAVE_AS_WAV} again", file=name)


def pieces(file: BinaryIO, form: WavForm) -> Iterator[NDArray[np.floating]]:
    """The samples in pieces of shape (n, channels), full scale at 1; as many as there are, however
    many the header says. Values of floats are not looked at. Raises OSError."""
    width = form.channels * form.sample_bytes
    file.seek(form.at)
    left = form.frames
    while left > 0:
        data = file.read(min(left, PIECE_FRAMES) * width)
        count = len(data) // width
        if not count:
            return
        left -= count
        yield _samples(data[: count * width], form).reshape(count, form.channels)


def _layout(fmt: bytes, name: str) -> tuple[int, int, int, bool]:
    """Rate, channels, bytes of a sample, and whether samples are floats."""
    if len(fmt) < 16:
        raise RecordingError(f"has a damaged header: {SAVE_AS_WAV} again", file=name)
    code, channels, rate_hz, _, width, bits = struct.unpack_from("<HHIIHH", fmt)
    if code == _EXTENSIBLE and len(fmt) >= 40 and fmt[26:40] == _SUBFORMAT:
        code = int.from_bytes(fmt[24:26], "little")
    sample_bytes = -(-bits // 8)
    known = {_WHOLE: (1, 2, 3, 4), _FLOAT: (4, 8)}
    if code not in known or sample_bytes not in known[code]:
        raise RecordingError(
            f"is a WAV file of another kind (form {code:#06x}, {bits} bits): {SAVE_AS_WAV}",
            file=name,
        )
    if width != channels * sample_bytes or not channels:
        raise RecordingError(f"has a damaged header: {SAVE_AS_WAV} again", file=name)
    return rate_hz, channels, sample_bytes, code == _FLOAT


def _samples(data: bytes, form: WavForm) -> NDArray[np.floating]:
    if form.is_float:
        return np.frombuffer(data, f"<f{form.sample_bytes}")
    if form.sample_bytes == 1:
        return (np.frombuffer(data, np.uint8) - np.float32(128)) / np.float32(128)
    if form.sample_bytes == 3:
        wide = np.zeros((len(data) // 3, 4), np.uint8)
        wide[:, 1:] = np.frombuffer(data, np.uint8).reshape(-1, 3)
        return wide.view("<i4")[:, 0] / np.float32(2**31)
    whole = np.frombuffer(data, f"<i{form.sample_bytes}")
    return whole / np.float32(2 ** (8 * form.sample_bytes - 1))
