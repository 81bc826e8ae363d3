"""What every speaker can do, so that nobody who plays needs to know which one it is."""

from __future__ import annotations

import time
from abc import ABC, abstractmethod
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from audio.feeder import Samples
from audio.mixer import capped_db
from words import to_say

CUE_FAILED = to_say(
    "This sound could not be made, so there is silence. Go on to the next question."
)

CRASHES = to_say("simpleaudio crashes on this version of Python; choose another way.")


@dataclass(frozen=True, slots=True)
class SpeakerChoice:
    """One way to be heard, for the settings: `title` and, plainly, `why_not` it cannot be
    used, both to be said."""

    name: str
    title: str
    available: bool
    why_not: str | None = None


class Playing:
    """One cue that was asked for. Times are `time.monotonic()` seconds."""

    path: Path | None = None
    """The file it was written to, by the speaker that writes files."""

    def __init__(self, ends_at: float) -> None:
        self._ends_at = ends_at

    @property
    def ends_at(self) -> float:
        """When the last sample leaves the device, by the best estimate there is now."""
        return self._ends_at

    def end_by(self, moment: float) -> None:
        """Tell when it really ends."""
        self._ends_at = moment

    @property
    def ended(self) -> bool:
        return time.monotonic() >= self.ends_at

    def wait(self, timeout_s: float) -> bool:
        """Wait until it has ended, but not longer than `timeout_s`; True if it has."""
        give_up_at = time.monotonic() + timeout_s
        while not self.ended:
            now = time.monotonic()
            if now >= give_up_at:
                return False
            # Short naps: the end may move while we wait.
            time.sleep(min(max(self.ends_at - now, 0.002), give_up_at - now, 0.02))
        return True


class Speaker(ABC):
    """Plays one cue at a time over a drone that sounds until it is changed.

    Sound is float32 of shape (n,), mono, in [-1, 1], at SAMPLE_RATE. Nothing here raises because a
    device fails: `trouble` says so instead, and whatever plays still ends. A speaker only lowers
    what it is given; it never touches the volume of the system.
    """

    name: str
    streams = False
    """Whether blocks are played as they come, so that a cue may go on without end."""
    latency_s = 0.0
    """From play to the first sample at the device, where one sound is to follow another in time."""
    uneven_s = 0.0
    """By how much the beginning of a cue may differ from what its end is reckoned by, besides what
    is always the same."""

    def __init__(self) -> None:
        self._volume_db = 0.0
        self._trouble: str | None = None

    @property
    def trouble(self) -> str | None:
        """What went wrong last, in plain words; None when all is well."""
        return self._trouble

    @property
    def volume_db(self) -> float:
        """Decibels, at most 0: a higher value becomes 0. Raises ValueError for nan."""
        return self._volume_db

    @volume_db.setter
    def volume_db(self, value: float) -> None:
        self._volume_db = capped_db(value)
        self._volume_changed()

    def _volume_changed(self) -> None:  # noqa: B027 - a speaker without a volume need not care
        """Called after `volume_db` was set."""

    @abstractmethod
    def set_drone(self, loop: Samples | None) -> None:
        """Let `loop` sound endlessly under the cues, from a soft start; None lets it fade."""

    @abstractmethod
    def play(self, blocks: Iterable[Samples], *, frames: int) -> Playing:
        """Play a cue of `frames` frames in place of the one that sounds; returns at once."""

    @abstractmethod
    def stop(self) -> None:
        """Fade the cue out; the drone goes on."""

    @abstractmethod
    def close(self) -> None:
        """Fall silent, free the device and end every thread; may be called again."""

    def __enter__(self) -> Speaker:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()
