"""16-bit mono WAV files from float32 blocks.

Rounding to 16 bits follows the decay of a string down into the last bits, where it would turn into
a harsh, tuned distortion. So noise with a triangular density of ±1 step is added first (TPDF
dither; after Lipshitz, Wannamaker & Vanderkooy 1992, from memory), at about -93 dB of full scale:
the error becomes a hiss that nobody hears. Its seed is fixed, so the same sound gives the same
file, however it is cut into blocks.
"""

from __future__ import annotations

import os
import uuid
import wave
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

from audio.feeder import Samples, as_samples
from audio.format import SAMPLE_RATE

FULL_SCALE = 32_767
DITHER_SEED = 0x5A


class Rounder:
    """Turns blocks into 16-bit samples, one after the other; keeps the dither's place."""

    def __init__(self) -> None:
        self._noise = np.random.Generator(np.random.PCG64(DITHER_SEED))

    def rounded(self, block: Samples) -> NDArray[np.int16]:
        """`block`, float in [-1, 1] of shape (n,), as little-endian int16 of the same shape."""
        samples = as_samples(block)
        pairs = self._noise.random((len(samples), 2))
        steps = samples * np.float64(FULL_SCALE) + (pairs[:, 0] - pairs[:, 1])
        return np.clip(np.rint(steps), -FULL_SCALE, FULL_SCALE).astype("<i2")


@contextmanager
def appearing_whole(path: Path) -> Iterator[BinaryIO]:
    """A file to write into that appears at `path` only when all of it is written; until then, and
    if that fails, whatever stood there stays. Raises OSError."""
    unfinished = path.with_name(f".{path.name}-{uuid.uuid4().hex}.part")
    try:
        with unfinished.open("xb") as file:
            yield file
        os.replace(unfinished, path)
    except BaseException:
        unfinished.unlink(missing_ok=True)
        raise


def write_wav(path: Path, blocks: Iterable[Samples], *, sample_rate_hz: int = SAMPLE_RATE) -> int:
    """Write `blocks` to `path` and return the number of frames.

    The file appears under its name only when it is whole; until then, and if `blocks` or the disk
    fails, whatever stood there stays. Raises OSError and what `blocks` raises.
    """
    frames = 0
    with appearing_whole(Path(path)) as raw, wave.open(raw, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(sample_rate_hz)
        rounder = Rounder()
        for block in blocks:
            rounded = rounder.rounded(block)
            frames += len(rounded)
            file.writeframes(rounded.tobytes())
    return frames


def read_wav(path: Path) -> Samples:
    """The samples of a 16-bit mono WAV file as float32 in [-1, 1], shape (n,).

    Raises ValueError for any other form of WAV, naming it.
    """
    with wave.open(str(path), "rb") as file:
        form = (file.getnchannels(), file.getsampwidth(), file.getframerate())
        if form != (1, 2, SAMPLE_RATE):
            raise ValueError(
                f"{path} has {form[0]} channel(s), {8 * form[1]} bits, {form[2]} Hz; "
                f"save it as mono, 16 bits, {SAMPLE_RATE} Hz"
            )
        data = file.readframes(file.getnframes())
    return (np.frombuffer(data, "<i2") / np.float32(FULL_SCALE)).astype(np.float32)
