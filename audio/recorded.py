"""Recordings as they are kept: their form, their names, and, piece by piece, what they hold.

A kept recording is a WAV file of 16 bits at `SAMPLE_RATE`, of one or two channels, with a plain
header of 44 bytes and nothing but samples after it. It is named STEM-HASH.wav, by a word or more
for people and 16 hex digits of the SHA-256 of the whole file, so that no name is ever taken by
other content. Sound is mono here: of two channels the mean is heard, and the mean is levelled.
"""

from __future__ import annotations

import hashlib
import re
import stat
import struct
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from audio.errors import RecordingError
from audio.format import SAMPLE_RATE
from audio.loudness import NOTE_LUFS, integrated_lufs, true_peak_dbtp
from audio.wav import FULL_SCALE

RECORDING_PEAK_DBTP = -2.0
"""No recording passes it: so one is as loud over a drone as without, and no mix is too high."""
LONGEST_S = 30.0
SHORTEST_S = 0.05
LONGEST_STEM = 40
NAME = re.compile(r"(?P<stem>[a-z0-9]+(?:-[a-z0-9]+)*)-(?P<hash>[0-9a-f]{16})\.wav")

_HEADER = struct.Struct("<4sI4s4sIHHIIHH4sI")
_BITS = 16
_BYTES = _BITS // 8
_LOUDER_BY_LU, _HIGHER_BY_DB = 0.5, 0.2
"""So much above its level, and that of its peaks, a recording still counts as levelled: dither and
other ways to measure make a little difference."""
BRING_IN_AGAIN = "bring the original in again"


@dataclass(frozen=True, slots=True)
class Form:
    """What the header of a kept recording says."""

    channels: int
    frames: int

    @property
    def seconds(self) -> float:
        return self.frames / SAMPLE_RATE


def file_bytes(samples: NDArray[np.int16]) -> bytes:
    """The whole file of samples of shape (frames, channels)."""
    channels, data = samples.shape[1], samples.astype("<i2").tobytes()
    return _header(channels, len(data)) + data


def file_name(stem: str, content: bytes) -> str:
    """What a file of this content is called, whatever its stem was."""
    return f"{stem}-{hashlib.sha256(content).hexdigest()[:16]}.wav"


def form_of(path: Path) -> Form:
    """What a kept recording holds, by its header. Raises RecordingError where it is none."""
    try:
        found = path.stat()
        with path.open("rb") as file:
            # A pipe or a device would keep us waiting.
            header = file.read(_HEADER.size) if stat.S_ISREG(found.st_mode) else b""
    except OSError as error:
        raise unreadable(path, error) from error
    return _form(header, found.st_size, path.name)


def seconds_of(path: Path) -> float:
    """How long a kept recording lasts. Raises RecordingError where it is none."""
    return form_of(Path(path)).seconds


def piece(path: Path, start: int, frames: int) -> NDArray[np.float32]:
    """Frames `start` to `start + frames` as they are heard, shape (n,), mono, in [-1, 1]; fewer at
    the end. Raises RecordingError."""
    form = form_of(path)
    width = form.channels * _BYTES
    count = max(0, min(frames, form.frames - start))
    try:
        with path.open("rb") as file:
            file.seek(_HEADER.size + start * width)
            data = file.read(count * width)
    except OSError as error:
        raise unreadable(path, error) from error
    return heard(np.frombuffer(data[: len(data) // width * width], "<i2"), form.channels)


def heard(samples: NDArray[Any], channels: int) -> NDArray[np.float32]:
    """The mean of the channels of interleaved 16-bit samples, in [-1, 1]."""
    summed = samples.reshape(-1, channels).sum(axis=1, dtype=np.float32)
    return np.asarray(summed / np.float32(channels * FULL_SCALE), np.float32)


def check_recording(path: Path) -> float:
    """How many seconds a recording lasts that has come from elsewhere, if it is just as we make
    them: in form, in name, in length, and no louder. Raises RecordingError where it is not."""
    path = Path(path)
    form = form_of(path)
    if not SHORTEST_S <= form.seconds <= LONGEST_S:
        raise RecordingError(
            f"lasts {form.seconds:.2f} s, and a recording lasts {SHORTEST_S:g} to {LONGEST_S:g} s: "
            f"{BRING_IN_AGAIN}",
            file=path.name,
        )
    try:
        content = path.read_bytes()
    except OSError as error:
        raise unreadable(path, error) from error
    _check_name(path.name, content)
    _check_level(np.frombuffer(content, "<i2", offset=_HEADER.size), form.channels, path.name)
    return form.seconds


def unreadable(path: Path, error: OSError) -> RecordingError:
    why = (error.strerror or type(error).__name__).lower()
    return RecordingError(f"cannot be read ({why}): see that it is there", file=path.name)


def _header(channels: int, data_bytes: int) -> bytes:
    width = channels * _BYTES
    return _HEADER.pack(
        *(b"RIFF", data_bytes + _HEADER.size - 8, b"WAVE"),
        *(b"fmt ", 16, 1, channels, SAMPLE_RATE, SAMPLE_RATE * width, width, _BITS),
        *(b"data", data_bytes),
    )


def _form(header: bytes, file_size: int, name: str) -> Form:
    data_bytes = file_size - _HEADER.size
    for channels in (1, 2):
        whole = data_bytes % (channels * _BYTES) == 0 and 0 <= data_bytes < 2**31
        if whole and header == _header(channels, data_bytes):
            return Form(channels, data_bytes // (channels * _BYTES))
    raise RecordingError(
        f"is not a recording as Kaan keeps them (WAV, {_BITS} bits, {SAMPLE_RATE} Hz, one or two "
        f"channels, whole, nothing else in the file): {BRING_IN_AGAIN}",
        file=name,
    )


def _check_name(name: str, content: bytes) -> None:
    match = NAME.fullmatch(name)
    if match is None or len(match["stem"]) > LONGEST_STEM:
        raise RecordingError(
            f"is no name of a recording, such as alap-0123456789abcdef.wav: {BRING_IN_AGAIN}",
            file=name,
        )
    wanted = file_name(match["stem"], content)
    if name != wanted:
        raise RecordingError(
            f"holds other sound than its name says (it would be {wanted}): {BRING_IN_AGAIN}",
            file=name,
        )


def _check_level(samples: NDArray[np.int16], channels: int, name: str) -> None:
    loud = integrated_lufs(heard(samples, channels))
    peak = max(
        true_peak_dbtp(samples[channel::channels] / np.float32(FULL_SCALE))
        for channel in range(channels)
    )
    if loud > NOTE_LUFS + _LOUDER_BY_LU or peak > RECORDING_PEAK_DBTP + _HIGHER_BY_DB:
        raise RecordingError(
            f"is not levelled ({loud:.1f} LUFS, peaks of {peak:.1f} dBTP; right would be "
            f"{NOTE_LUFS:g} and at most {RECORDING_PEAK_DBTP:g}): {BRING_IN_AGAIN}",
            file=name,
        )
