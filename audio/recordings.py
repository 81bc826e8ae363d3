"""Brings recordings in: WAV, FLAC, MP3 or Ogg Vorbis become the one form in which they are kept.

That form (`recorded`) is 16 bits at `SAMPLE_RATE`, in one channel or two as it was (more become
one), with silence and DC taken away, at the loudness of a note (gated, EBU R 128) where its peaks
allow it, else softer. Sound here is mono: what is heard of two channels, and levelled, is their
mean. What a file is, its content says, not its name. Sizes are looked at before anything is
unpacked, and unpacking stops where there is too much.
"""

from __future__ import annotations

import os
import re
import stat
import unicodedata
from collections.abc import Iterable
from contextlib import closing
from pathlib import Path
from typing import Any, BinaryIO

import numpy as np
from numpy.typing import NDArray

from audio import packed, riff
from audio.errors import RecordingError
from audio.format import SAMPLE_RATE
from audio.loudness import NOTE_LUFS, integrated_lufs, true_peak_dbtp
from audio.recorded import (
    LONGEST_S,
    LONGEST_STEM,
    NAME,
    RECORDING_PEAK_DBTP,
    SHORTEST_S,
    check_recording,
    file_bytes,
    file_name,
    seconds_of,
    unreadable,
)
from audio.resampling import resampled
from audio.riff import SAVE_AS_WAV
from audio.trimming import sounding, with_soft_edges
from audio.wav import Rounder, appearing_whole

__all__ = ["RecordingError", "bring_in", "check_recording", "seconds_of"]

LARGEST_BYTES = 64 << 20
LONGEST_WITH_SILENCE_S = 60.0
"""Before the silence around it is taken away."""
LOWEST_RATE_HZ, HIGHEST_RATE_HZ = 8_000, 192_000
MOST_CHANNELS = 8
MOST_GAIN_DB = 40.0
"""What would have to be turned up by more is taken for hiss."""
SILENT_PEAK_TO_PEAK = 2e-4
LARGEST_SAMPLE = 1e3
"""A float beyond it, where full scale is 1, is no sound."""
LEAST_LEFT_BY_MEAN = 0.01
"""Share of their power that channels must leave in their mean."""
WHOLE_SHARE = 0.02
"""A packed file may hold so much less than it says."""


def bring_in(path: Path, folder: Path) -> str:
    """Bring a recording into a folder, and return the name of the file there.

    The same recording gives the same name, and what is there already is not written again.
    Raises RecordingError, and then nothing has changed.
    """
    path, folder = Path(path), Path(folder)
    content = _as_it_is(path)
    if content is None:
        samples, rate_hz = _unpacked(path)
        content = file_bytes(_finished(samples, rate_hz, path.name))
        name = file_name(_stem(path.name), content)
    else:
        name = path.name
    try:
        folder.mkdir(parents=True, exist_ok=True)
        kept = folder / name
        if not kept.is_file() or kept.read_bytes() != content:
            with appearing_whole(kept) as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
    except OSError as error:
        raise RecordingError(
            f"cannot be written to {folder} ({error.strerror}): see that there is room, and that "
            "the folder may be written to",
            file=path.name,
        ) from error
    return name


def _as_it_is(path: Path) -> bytes | None:
    """The content of a file that is kept in this form somewhere already."""
    if not NAME.fullmatch(path.name):
        return None
    try:
        check_recording(path)
        return path.read_bytes()
    except (RecordingError, OSError):
        return None


def _stem(name: str) -> str:
    """A word or more of plain letters and digits for people to know it by."""
    match = NAME.fullmatch(name)
    stem = match["stem"] if match else name.rpartition(".")[0] or name
    plain = unicodedata.normalize("NFKD", stem).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:LONGEST_STEM].rstrip("-") or "recording"


def _unpacked(path: Path) -> tuple[NDArray[np.float32], int]:
    """The samples of a file, of shape (n, 1 or 2), and their rate."""
    try:
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):
            raise RecordingError("is no file: choose a recording", file=path.name)
        if found.st_size > LARGEST_BYTES:
            raise RecordingError(
                f"has {found.st_size / 2**20:.0f} MB, and {LARGEST_BYTES >> 20} are allowed: "
                f"cut out what is to be heard, at most {LONGEST_S:g} s of it",
                file=path.name,
            )
        with path.open("rb") as file:
            if riff.is_wav(file.read(12)):
                return _of_wav(file, found.st_size, path.name)
            file.seek(0)
            return _of_packed(path, file.read(LARGEST_BYTES))
    except OSError as error:
        raise unreadable(path, error) from error


def _of_wav(file: BinaryIO, size: int, name: str) -> tuple[NDArray[np.float32], int]:
    form = riff.form_of(file, size, name)
    _check_sizes(form.rate_hz, form.channels, form.frames, name)
    there = max(0, size - form.at) // (form.channels * form.sample_bytes)
    if there < form.frames:
        raise _cut_short(there, form.frames, name)
    return _gathered(riff.pieces(file, form), form.rate_hz, name), form.rate_hz


def _of_packed(path: Path, data: bytes) -> tuple[NDArray[np.float32], int]:
    if not data:
        raise RecordingError("is empty: choose a recording with sound in it", file=path.name)
    header = packed.packed_in(data, path.name)
    if header is None:
        raise RecordingError(
            f"is neither WAV nor FLAC, MP3 or Ogg Vorbis: {SAVE_AS_WAV}", file=path.name
        )
    del data
    rate_hz = header.rate_hz
    _check_sizes(rate_hz, header.channels, header.frames, path.name)
    most_frames = round(LONGEST_WITH_SILENCE_S * rate_hz) + 1
    with closing(packed.pieces(path, header, most_frames=most_frames)) as pieces:
        samples = _gathered(pieces, rate_hz, path.name)
    if header.frames is not None:
        least = header.frames * (1.0 - WHOLE_SHARE) - header.slack
        if len(samples) < least:
            raise _cut_short(len(samples), header.frames, path.name)
    return samples, rate_hz


def _check_sizes(rate_hz: int, channels: int, frames: int | None, name: str) -> None:
    if not LOWEST_RATE_HZ <= rate_hz <= HIGHEST_RATE_HZ:
        raise RecordingError(
            f"has {rate_hz} samples a second, and {LOWEST_RATE_HZ} to {HIGHEST_RATE_HZ} can be "
            f"read: save it with {SAMPLE_RATE}",
            file=name,
        )
    if not 1 <= channels <= MOST_CHANNELS:
        raise RecordingError(
            f"has {channels} channels, and 1 to {MOST_CHANNELS} can be read: save it with one",
            file=name,
        )
    if frames is not None:
        _check_length(frames, rate_hz, name)


def _check_length(frames: int, rate_hz: int, name: str) -> None:
    if frames > LONGEST_WITH_SILENCE_S * rate_hz:
        raise _too_long(f"more than {LONGEST_WITH_SILENCE_S:g} s", name)


def _too_long(lasts: str, name: str) -> RecordingError:
    return RecordingError(
        f"lasts {lasts}, and a recording lasts at most {LONGEST_S:g} s: cut out what is to be "
        "heard",
        file=name,
    )


def _cut_short(frames: int, declared: int, name: str) -> RecordingError:
    return RecordingError(
        f"is cut short or damaged: {frames} of {declared} samples are there; {SAVE_AS_WAV} again "
        "where it comes from",
        file=name,
    )


def _gathered(pieces: Iterable[NDArray[Any]], rate_hz: int, name: str) -> NDArray[np.float32]:
    """All pieces as one, of two channels or one."""
    kept: list[NDArray[np.float32]] = []
    frames = 0
    for piece in pieces:
        with np.errstate(invalid="ignore"):
            is_sound = (np.abs(piece) <= LARGEST_SAMPLE).all()  # false for what is not a number
        if not is_sound:
            raise RecordingError(
                f"holds numbers that are no sound, near {frames / rate_hz:.2f} s: {SAVE_AS_WAV}",
                file=name,
            )
        frames += len(piece)
        _check_length(frames, rate_hz, name)
        narrow = piece if piece.shape[1] <= 2 else piece.mean(axis=1, keepdims=True)
        kept.append(narrow.astype(np.float32))
    if not frames:
        raise RecordingError("is empty: choose a recording with sound in it", file=name)
    return np.concatenate(kept)


def _finished(samples: NDArray[np.float32], rate_hz: int, name: str) -> NDArray[np.int16]:
    """Trimmed, resampled, levelled and rounded, of shape (n, channels)."""
    if float(np.ptp(samples, axis=0).max()) < SILENT_PEAK_TO_PEAK:
        raise RecordingError("is silent: choose a recording with sound in it", file=name)
    start, onset, stop = sounding(samples, rate_hz)
    _check_sounding((stop - start) / rate_hz, name)
    kept = samples[start:stop]
    kept -= kept.mean(axis=0, dtype=np.float64).astype(np.float32)
    sound = resampled(kept, rate_hz)[: round(LONGEST_S * SAMPLE_RATE)]
    sound = with_soft_edges(sound, SAMPLE_RATE, before_s=(onset - start) / rate_hz)
    sound *= _gain(sound, name)
    rounded = Rounder().rounded(sound.reshape(-1).astype(np.float32))
    return rounded.reshape(sound.shape)


def _check_sounding(seconds: float, name: str) -> None:
    if seconds > LONGEST_S:
        raise _too_long(f"{seconds:.1f} s without the silence around it", name)
    if seconds < SHORTEST_S:
        raise RecordingError(
            f"sounds for {seconds * 1000:.0f} ms only, and {SHORTEST_S * 1000:.0f} ms are the "
            "least: choose a longer one",
            file=name,
        )


def _gain(sound: NDArray[np.float64], name: str) -> float:
    """The factor that brings what is heard to its level, if its peaks allow it."""
    mean = sound.mean(axis=1)
    if np.square(mean).mean() < LEAST_LEFT_BY_MEAN * np.square(sound).mean():
        raise RecordingError(
            "has two channels that cancel each other, and both are heard as one: save one of them, "
            "as mono",
            file=name,
        )
    up_db = NOTE_LUFS - integrated_lufs(mean)
    if up_db > MOST_GAIN_DB:
        raise RecordingError(
            "is so soft that turned up it would mostly be hiss: record it nearer or louder",
            file=name,
        )
    peak_db = max(true_peak_dbtp(channel) for channel in sound.T)
    return float(10.0 ** (min(up_db, RECORDING_PEAK_DBTP - peak_db) / 20.0))
