"""What a session plays: cues over the drone that each of them asks for."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from audio import render
from audio.format import SAMPLE_RATE
from audio.resonance import resounding
from audio.score import Drone, Score
from audio.speakers import Playing, Speaker

Samples = NDArray[np.float32]

DRONE_SETTLES_S = 0.9
"""After a change of drone the cue waits until the ear has it."""


def loop_of(score: Score) -> Samples | None:
    """The sound of the drone under a score; the last ones made are kept."""
    return None if score.drone is None else _loop(score.drone, score.sa_hz)


@lru_cache(maxsize=3)
def _loop(drone: Drone, sa_hz: float) -> Samples:
    return render.drone_loop(drone, sa_hz=sa_hz)


@dataclass(frozen=True, slots=True)
class Instrument:
    """On which sitar everything sounds: with or without its body and its sympathetic strings; and
    where the recordings lie, which neither of them colours."""

    body: bool = True
    tarab: bool = False
    recordings: Path | None = None

    def blocks(self, score: Score) -> Iterator[Samples]:
        """All of a score but its drone."""
        return render.blocks(self._played(score), drone=False, recordings=self.recordings)

    def has(self, score: Score) -> bool:
        """Whether every recording of a score is there."""
        folder = self.recordings
        return all(folder is not None and (folder / clip.name).is_file() for clip in score.clips)

    def frames_of(self, score: Score) -> int:
        return render.frames_of(self._played(score))

    def _played(self, score: Score) -> Score:
        return resounding(score, body=self.body, tarab=self.tarab)


class Sounding:
    """Plays scores on a speaker and changes the drone only where the score asks for another."""

    def __init__(self, speaker: Speaker, instrument: Instrument) -> None:
        self._speaker, self._instrument = speaker, instrument
        self._drone: tuple[float, Drone | None] | None = None
        self.lead_s = 0.0
        """How long the drone sounded alone before the score that was played last began."""

    def play(
        self,
        score: Score,
        loop: Samples | None,
        blocks: Iterable[Samples] | None = None,
        *,
        frames: int = 0,
    ) -> Playing:
        """Play the strokes of `score` over its drone, of which `loop` is the sound.

        `blocks` are the strokes where they are made already; where they are others than those of
        the score, `frames` is how long they are.
        """
        if blocks is None:
            blocks = self._instrument.blocks(score)
        lead_frames = 0
        if (score.sa_hz, score.drone) != self._drone:
            self._drone = score.sa_hz, score.drone
            self._speaker.set_drone(loop)
            lead_frames = round(DRONE_SETTLES_S * SAMPLE_RATE)
            blocks = itertools.chain((np.zeros(lead_frames, np.float32),), blocks)
        self.lead_s = lead_frames / SAMPLE_RATE
        frames = frames or self._instrument.frames_of(score)
        return self._speaker.play(blocks, frames=lead_frames + frames)

    def hush(self) -> None:
        """Let what is played fade; the drone goes on."""
        self._speaker.stop()

    def end(self) -> None:
        """Let everything fade."""
        self._speaker.stop()
        self._speaker.set_drone(None)
        self._drone = None
