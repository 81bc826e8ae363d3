"""FLAC, MP3 and Ogg Vorbis: what their beginnings say, and their samples, by miniaudio.

Headers are read here, so that nothing is unpacked that declares too much (FLAC: RFC 9639, 8.2; Ogg:
RFC 3533, 6; Vorbis I, 4.2.2; MP3: ISO/IEC 11172-3, 2.4.1.3, and the encoders' frame with the count
of frames, from memory). The unpacking itself runs in a process of its own (`unpacking`).
"""

from __future__ import annotations

import importlib.util
import struct
import subprocess
import sys
import threading
from collections.abc import Generator, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO

import numpy as np
from numpy.typing import NDArray

from audio import unpacking
from audio.errors import RecordingError
from audio.riff import PIECE_FRAMES, SAVE_AS_WAV

LONGEST_UNPACKING_S = 10.0
"""A minute of sound takes a second at most."""
_NEVER_BEGAN = 1
"""What Python returns where it could not import the decoder."""
_SEARCHED = 1 << 16
"""Bytes in which the first frame of an MP3 and the last page of an Ogg are looked for."""
_ODD_FRAMES = 4
"""By so many frames an MP3 may be shorter than it says: encoders count those that fill up."""
DAMAGED = f"is damaged and cannot be read: {SAVE_AS_WAV} again where it comes from"


@dataclass(frozen=True, slots=True)
class Packed:
    """What the header of a packed file says; `frames` is None where it does not say how many."""

    kind: str
    rate_hz: int
    channels: int
    frames: int | None
    slack: int = 0
    """By how many frames it may be shorter."""


def packed_in(data: bytes, name: str) -> Packed | None:
    """What a file holds, by its content; None where it is nothing we know. Raises RecordingError
    where it is of a kind that cannot be used."""
    body = data[_tag_bytes(data) :] if data[:3] == b"ID3" else data
    if body[:4] == b"fLaC":
        return _flac(body, name)
    if body[:4] == b"OggS":
        return _ogg(body, name)
    return _mp3(body)


def pieces(
    path: Path, packed: Packed, *, most_frames: int
) -> Generator[NDArray[np.float32], None, None]:
    """The samples in pieces of shape (n, channels), at most `most_frames` of them, as the file has
    its rate and channels. Raises RecordingError."""
    with _unpacker(path, packed, most_frames) as process:
        late = threading.Timer(LONGEST_UNPACKING_S, process.kill)
        late.start()
        try:
            assert process.stdout is not None
            yield from _read(process.stdout, packed.channels, most_frames)
            process.stdout.close()
            ended = process.wait()
        finally:
            late.cancel()
            process.kill()
    if ended == _NEVER_BEGAN:
        raise _wav_only(packed, path)
    if ended:
        raise RecordingError(DAMAGED, file=path.name)


def _unpacker(path: Path, packed: Packed, most_frames: int) -> subprocess.Popen[bytes]:
    if importlib.util.find_spec("miniaudio") is None or not sys.executable:
        raise _wav_only(packed, path)
    wanted = [str(path.resolve()), packed.channels, packed.rate_hz, most_frames]
    try:
        return subprocess.Popen(
            # -P: else this folder would come first among those in which modules are looked for.
            [sys.executable, "-P", unpacking.__file__, *map(str, wanted)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
        )
    except OSError as error:
        raise _wav_only(packed, path) from error


def _wav_only(packed: Packed, path: Path) -> RecordingError:
    return RecordingError(
        f"is {packed.kind}, and this device can take in WAV only: {SAVE_AS_WAV}, or bring it in at "
        "a desk and hand the deck over",
        file=path.name,
    )


def _read(stream: IO[bytes], channels: int, most_frames: int) -> Iterator[NDArray[np.float32]]:
    width = 4 * channels
    left = most_frames
    while left > 0:
        data = stream.read(min(left, PIECE_FRAMES) * width)
        count = len(data) // width
        if not count:
            return
        left -= count
        yield np.frombuffer(data[: count * width], np.float32).reshape(count, channels)


def _tag_bytes(data: bytes) -> int:
    """How long the tag at the beginning is: its size stands in four times seven bits."""
    size = 0
    for byte in data[6:10]:
        size = size << 7 | byte & 0x7F
    return 10 + size + (10 if len(data) > 5 and data[5] & 0x10 else 0)


def _flac(data: bytes, name: str) -> Packed:
    if len(data) < 42 or data[4] & 0x7F != 0:
        raise RecordingError(DAMAGED, file=name)
    bits = int.from_bytes(data[18:26], "big")
    rate_hz, channels, frames = bits >> 44, (bits >> 41 & 7) + 1, bits & (1 << 36) - 1
    return Packed("FLAC", rate_hz, channels, frames or None)


def _ogg(data: bytes, name: str) -> Packed:
    first = data[27 + data[26] :] if len(data) > 26 else b""
    if first[:7] != b"\x01vorbis":
        raise RecordingError(
            f"is an Ogg file, but its sound is not Vorbis: {SAVE_AS_WAV}", file=name
        )
    if len(first) < 16:
        raise RecordingError(DAMAGED, file=name)
    _, channels, rate_hz = struct.unpack_from("<IBI", first, 7)
    at = data.rfind(b"OggS", max(0, len(data) - _SEARCHED))
    last = data[at:] if at >= 0 else b""
    is_end = (
        len(last) > 27 and last[5] & 4 and len(last) >= 27 + last[26] + sum(last[27:][: last[26]])
    )
    if not is_end:
        raise RecordingError(f"is cut short: {SAVE_AS_WAV} again where it comes from", file=name)
    return Packed("Ogg Vorbis", rate_hz, channels, int.from_bytes(last[6:14], "little"), 2048)


_KBITS = {
    True: (0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320),
    False: (0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160),
}
"""Of layer III: of MPEG 1, and of its halves in rate."""
_RATES = {3: (44_100, 48_000, 32_000), 2: (22_050, 24_000, 16_000), 0: (11_025, 12_000, 8_000)}


@dataclass(frozen=True, slots=True)
class _Mp3Frame:
    is_first: bool
    """MPEG 1, not one of its halves."""
    rate_hz: int
    is_mono: bool
    length: int

    @property
    def samples(self) -> int:
        return 1152 if self.is_first else 576


def _mp3(data: bytes) -> Packed | None:
    at = data.find(b"\xff", 0, _SEARCHED)
    while at >= 0:
        frame = _mp3_frame(data, at)
        after = frame and _mp3_frame(data, at + frame.length)
        if frame and after and (frame.is_first, frame.rate_hz) == (after.is_first, after.rate_hz):
            frames = _mp3_frames(data[at : at + frame.length], frame)
            count = None if frames is None else frames * frame.samples
            slack = _ODD_FRAMES * frame.samples
            return Packed("MP3", frame.rate_hz, 1 if frame.is_mono else 2, count, slack)
        at = data.find(b"\xff", at + 1, _SEARCHED)
    return None


def _mp3_frame(data: bytes, at: int) -> _Mp3Frame | None:
    """The frame of layer III that begins there, if one does."""
    head = data[at : at + 4]
    if len(head) < 4 or head[0] != 0xFF or head[1] & 0xE6 != 0xE2:
        return None
    version, kbits, rate = head[1] >> 3 & 3, head[2] >> 4, head[2] >> 2 & 3
    if version == 1 or not 0 < kbits < 15 or rate == 3:
        return None
    is_first, rate_hz = version == 3, _RATES[version][rate]
    length = (144 if is_first else 72) * 1000 * _KBITS[is_first][kbits] // rate_hz
    return _Mp3Frame(is_first, rate_hz, head[3] >> 6 == 3, length + (head[2] >> 1 & 1))


def _mp3_frames(data: bytes, frame: _Mp3Frame) -> int | None:
    """How many frames follow, where the encoder has written it into the first."""
    side = (17 if frame.is_mono else 32) if frame.is_first else (9 if frame.is_mono else 17)
    told = data[4 + side :]
    if told[:4] in (b"Xing", b"Info") and len(told) >= 12 and told[7] & 1:
        return int.from_bytes(told[8:12], "big")
    return None
