"""Playing through simpleaudio, where it is installed and the version of Python is older than 3.12.

Its 1.0.4 crashes the interpreter at the first sound on Python 3.12 and later (seen), so it must
not even be imported there. It knows no volume, but reads a sound from memory as it plays it, so
changes are written there a little ahead of what sounds.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from typing import Any

import numpy as np

from audio.errors import SpeakerError
from audio.feeder import Samples
from audio.format import SAMPLE_RATE
from audio.speakers.base import CRASHES
from audio.speakers.clips import Clip, ClipSpeaker
from audio.speakers.hush import hush_alsa
from audio.wav import FULL_SCALE, read_wav
from words import to_say

AHEAD_S = 0.15
"""It fetches about 140 ms ahead of what is heard (measured); where a sound server fetches more,
a fade is heard late, or as a stop.
"""
RAMP_S = 0.04
CANNOT = to_say(
    "simpleaudio finds no sound device. Connect headphones or a loudspeaker, or choose another "
    "way to hear."
)


class _SimpleClip(Clip):
    def __init__(self, library: Any, samples: Samples) -> None:
        self._library = library
        self._original = samples
        self._memory = np.zeros(len(samples), np.int16)
        self._gains = np.ones(len(samples), np.float32)
        self._begun_at = 0.0
        self._sound: Any = None

    def play(self, gain: float) -> None:
        self._gains[:] = gain
        self._write(0)
        try:
            self._sound = self._library.play_buffer(self._memory, 1, 2, SAMPLE_RATE)
        except Exception as error:  # the library's own error is not exported
            raise SpeakerError(CANNOT) from error
        self._begun_at = time.monotonic()

    def set_gain(self, gain: float) -> None:
        start = int((time.monotonic() - self._begun_at + AHEAD_S) * SAMPLE_RATE)
        if start >= len(self._gains):
            return
        rest = self._gains[start:]
        steps = np.minimum(np.arange(1, len(rest) + 1) / (RAMP_S * SAMPLE_RATE), 1.0)
        rest[:] = rest[0] + (gain - rest[0]) * steps
        self._write(start)

    def _write(self, start: int) -> None:
        scaled = self._original[start:] * self._gains[start:] * FULL_SCALE
        self._memory[start:] = np.rint(scaled).astype(np.int16)

    def stop(self) -> None:
        if self._sound is not None:
            self._sound.stop()


class SimpleSpeaker(ClipSpeaker):
    """Plays through simpleaudio. Raises SpeakerError on a version of Python on which it crashes."""

    name = "simpleaudio"
    latency_s = 0.01

    def __init__(self) -> None:
        if sys.version_info >= (3, 12):
            raise SpeakerError(CRASHES)
        import simpleaudio

        hush_alsa()
        self._library = simpleaudio
        super().__init__()

    def _probe(self) -> None:
        clip = _SimpleClip(self._library, np.zeros(SAMPLE_RATE // 10, np.float32))
        clip.play(1.0)
        clip.stop()

    def load(self, path: Path) -> Clip:
        return _SimpleClip(self._library, read_wav(path))
