"""The blocks of one cue, pulled ahead of need so that making sound never holds up the device.

Blocks are float32 of shape (n,), any n, at SAMPLE_RATE. Memory is bounded: pulling pauses while
more than half a second waits to be played.
"""

from __future__ import annotations

import contextlib
import threading
from collections import deque
from collections.abc import Iterable, Iterator

import numpy as np
from numpy.typing import NDArray

from audio.format import SAMPLE_RATE

Samples = NDArray[np.float32]

AHEAD_FRAMES = SAMPLE_RATE // 2


def as_samples(block: object) -> Samples:
    """`block` as finite float32 of shape (n,); what is not a number becomes silence."""
    samples = np.asarray(block, dtype=np.float32)
    if samples.ndim != 1:
        raise ValueError(f"a block of sound has the shape (n,), mono: given {samples.shape}")
    if not np.isfinite(samples).all():
        samples = np.nan_to_num(samples, nan=0.0, posinf=0.0, neginf=0.0)
    return samples


class Feeder:
    """A queue of frames filled from `blocks`, in a thread of its own or, if not `ahead`, on demand.

    An error raised by the iterable ends the frames and is kept as `error`.
    """

    def __init__(self, blocks: Iterable[Samples], *, ahead: bool) -> None:
        self.error: Exception | None = None
        self._blocks: Iterator[Samples] | None = None
        self._source = blocks
        self._waiting: deque[Samples] = deque()
        self._ready = 0
        self._dry = False
        self._cancelled = False
        self._changed = threading.Condition()
        self._thread: threading.Thread | None = None
        if ahead:
            self._thread = threading.Thread(target=self._fill, name="kaan cue", daemon=True)
            self._thread.start()

    @property
    def ready(self) -> int:
        """Frames that can be taken without waiting."""
        return self._ready

    @property
    def dry(self) -> bool:
        """True when no frame will come beyond those that are ready."""
        return self._dry

    def can_give(self, frames: int) -> bool:
        """Whether `frames` frames, or all that are left, can be taken without waiting."""
        return self._thread is None or self._dry or self._ready >= frames

    @property
    def running(self) -> bool:
        """True while a thread pulls, or may still be inside the iterable after `cancel`."""
        return self._thread is not None and self._thread.is_alive()

    def take(self, frames: int) -> Samples:
        """Up to `frames` frames, in order, each given once; fewer when no more are ready."""
        if self._thread is None:
            # One frame more than asked, so that the end is known with the last frame.
            while self._ready <= frames and self._pull():
                pass
        with self._changed:
            parts: list[Samples] = []
            wanted = min(frames, self._ready)
            self._ready -= wanted
            while wanted:
                block = self._waiting.popleft()
                if len(block) > wanted:
                    self._waiting.appendleft(block[wanted:])
                    block = block[:wanted]
                wanted -= len(block)
                parts.append(block)
            self._changed.notify_all()
        if len(parts) == 1:
            return parts[0]
        return np.concatenate(parts) if parts else np.zeros(0, np.float32)

    def cancel(self) -> None:
        """Pull no more and forget what waits; returns at once."""
        with self._changed:
            self._cancelled = self._dry = True
            self._waiting.clear()
            self._ready = 0
            self._changed.notify_all()

    def join(self, timeout_s: float) -> None:
        """Wait for the thread to end, after `cancel`."""
        if self._thread is not None and self._thread is not threading.current_thread():
            self._thread.join(timeout_s)

    def _fill(self) -> None:
        while self._pull():
            with self._changed:
                while self._ready > AHEAD_FRAMES and not self._cancelled:
                    self._changed.wait()
        close = getattr(self._blocks, "close", None)
        if close is not None:
            with contextlib.suppress(Exception):
                close()

    def _pull(self) -> bool:
        """Fetch one block; False when there is no more to fetch."""
        if self._dry:
            return False
        try:
            if self._blocks is None:
                self._blocks = iter(self._source)
            # A copy, for the maker may use its array again for the next block.
            samples = as_samples(next(self._blocks)).copy()
        except StopIteration:
            return self._end(None)
        except Exception as error:  # kept for whoever asked for the cue
            return self._end(error)
        with self._changed:
            if self._cancelled:
                return False
            if len(samples):
                self._waiting.append(samples)
                self._ready += len(samples)
            self._changed.notify_all()
        return True

    def _end(self, error: Exception | None) -> bool:
        with self._changed:
            self.error = error
            self._dry = True
            self._changed.notify_all()
        return False
