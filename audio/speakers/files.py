"""Every cue becomes a numbered WAV file in a folder, as it would be heard."""

from __future__ import annotations

import logging
import re
import time
from collections.abc import Iterable, Iterator
from pathlib import Path

from audio.errors import SpeakerError
from audio.feeder import Samples
from audio.format import BLOCK_FRAMES
from audio.mixer import DRONE_CHANGE_FRAMES, Cue, Mixer
from audio.speakers.base import CUE_FAILED, Playing, Speaker
from audio.wav import write_wav

LOG = logging.getLogger(__name__)
NAME = re.compile(r"cue-(\d+)\.wav")


class FileSpeaker(Speaker):
    """Writes cue-0001.wav, cue-0002.wav and so on, after those that the folder holds already.

    The drone comes in softly with the cue and fades for 0.6 s after it.
    """

    name = "wav"

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self._folder = Path(folder)
        self._drone: Samples | None = None
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            taken = [NAME.fullmatch(path.name) for path in self._folder.iterdir()]
        except OSError as error:
            raise SpeakerError(
                f"sound files cannot be written to {self._folder}; choose another folder"
            ) from error
        self._number = max((int(match[1]) for match in taken if match), default=0)

    def set_drone(self, loop: Samples | None) -> None:
        """The drone for the files to come."""
        self._drone = None if loop is None else loop.copy()

    def play(self, blocks: Iterable[Samples], *, frames: int) -> Playing:
        """Write the file before returning; `path` of what is returned is the file."""
        playing = Playing(time.monotonic())
        path = self._folder / f"cue-{self._number + 1:04d}.wav"
        mixer = Mixer(ahead=False, volume_db=self.volume_db)
        mixer.set_drone(self._drone)
        cue = mixer.play(blocks, frames=frames)
        try:
            write_wav(path, _heard(mixer, cue, with_drone=self._drone is not None))
        except OSError:
            LOG.info("no sound file", exc_info=True)
            self._trouble = f"The sound file {path} could not be written; see that there is room."
        except Exception:
            LOG.info("a cue failed", exc_info=True)
            self._trouble = CUE_FAILED
        else:
            self._number += 1
            self._trouble = None
            playing.path = path
        playing.end_by(time.monotonic())
        return playing

    def stop(self) -> None:
        """Nothing sounds."""

    def close(self) -> None:
        """Every file is whole already."""


def _heard(mixer: Mixer, cue: Cue, *, with_drone: bool) -> Iterator[Samples]:
    """What the mixer gives until the cue has ended and the drone has faded after it."""
    while not cue.finished.is_set():
        start = mixer.position
        # Reading to the very end, so that the drone goes on from there.
        block = mixer.read(min(BLOCK_FRAMES, cue.left_frames) or BLOCK_FRAMES)
        if cue.end_frame is not None and not with_drone:
            block = block[: cue.end_frame - start]
        yield block
    if cue.error is not None:
        raise cue.error
    if with_drone:
        mixer.set_drone(None)
        yield mixer.read(DRONE_CHANGE_FRAMES)
