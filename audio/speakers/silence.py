"""No sound at all, in the time that the sound would have taken."""

from __future__ import annotations

import time
from collections.abc import Iterable

from audio.feeder import Samples
from audio.format import SAMPLE_RATE
from audio.speakers.base import Playing, Speaker


class SilentSpeaker(Speaker):
    """Keeps time, so that a drill without a device runs as it would with one."""

    name = "silence"

    def __init__(self) -> None:
        super().__init__()
        self._playing: Playing | None = None

    def set_drone(self, loop: Samples | None) -> None:
        """Nothing sounds."""

    def play(self, blocks: Iterable[Samples], *, frames: int) -> Playing:
        """Ends after the cue's duration; the blocks are not asked for."""
        self.stop()
        self._playing = Playing(time.monotonic() + frames / SAMPLE_RATE)
        return self._playing

    def stop(self) -> None:
        if self._playing is not None and not self._playing.ended:
            self._playing.end_by(time.monotonic())

    def close(self) -> None:
        self.stop()
