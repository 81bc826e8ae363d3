"""Speakers that can only play whole sound files: the drone is one, each cue is another.

One worker thread owns every clip. The drone's file is some turns of its loop with a soft start and
end; the next turn starts while the last one fades, in step with it, so it needs no looping by the
library. What these libraries do at the end of a sound differs, so ends are told by the clock.
"""

from __future__ import annotations

import atexit
import logging
import math
import queue
import shutil
import tempfile
import threading
import time
from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np

from audio.errors import SpeakerError
from audio.feeder import Samples, as_samples
from audio.format import SAMPLE_RATE
from audio.ramps import smooth
from audio.speakers.base import CUE_FAILED, Playing, Speaker
from audio.wav import write_wav
from words import to_say

LOG = logging.getLogger(__name__)

DRONE_FADE_S = 1.2
DRONE_TURN_S = 20.0
DRONE_CHANGE_S = 0.6
CUE_STOP_S = 0.25
STEP_S = 0.04
LINGER_S = 0.5
PATIENCE_S = 5.0
CANNOT_PLAY = to_say(
    "This sound could not be played, so there is silence. Try another way to hear."
)


class Clip(ABC):
    """One loaded sound file. Used from one thread only."""

    @abstractmethod
    def play(self, gain: float) -> None:
        """Start from the beginning at `gain`, 0 to 1."""

    @abstractmethod
    def set_gain(self, gain: float) -> None:
        """Change the gain while it plays, as smoothly as the library can."""

    @abstractmethod
    def stop(self) -> None:
        """End it and free what it holds."""


class ClipPlaying(Playing):
    """A cue whose file is being made, or plays; until it plays, its end moves on with the clock."""

    def __init__(self, duration_s: float) -> None:
        # Even if the library hangs, it ends.
        super().__init__(time.monotonic() + duration_s + PATIENCE_S)
        self.cancelled = False
        self.duration_s = duration_s

    @property
    def ends_at(self) -> float:
        return min(self._ends_at, time.monotonic() + self.duration_s)

    def cancel(self) -> None:
        """End it now, if it has not ended yet."""
        self.cancelled = True
        if not self.ended:
            self.end_by(time.monotonic())


@dataclass
class _Sounding:
    """A clip that plays, and how it is to end."""

    clip: Clip
    file: Path
    ends_at: float
    gain: float
    fade_from: float | None = None
    fade_s: float = 0.0

    @property
    def level(self) -> float:
        """1 until the fade, 0 after it."""
        if self.fade_from is None:
            return 1.0
        return max(0.0, 1.0 - (time.monotonic() - self.fade_from) / self.fade_s)

    def fade(self, now: float, duration_s: float) -> None:
        if self.fade_from is None:
            self.fade_from, self.fade_s = now, duration_s
            # Some libraries sound on for a while after their last change of gain.
            self.ends_at = min(self.ends_at, now + duration_s + LINGER_S)


def drone_turn(loop: Samples) -> tuple[Samples, float]:
    """Turns of `loop` with a soft start and end, and after how many seconds the next set starts."""
    fade = int(DRONE_FADE_S * SAMPLE_RATE)
    turns = math.ceil(max(DRONE_TURN_S * SAMPLE_RATE, 2 * fade) / len(loop))
    step = turns * len(loop)
    sound = np.resize(loop, step + fade)
    rise = np.asarray(smooth(np.arange(1, fade + 1) / fade))
    sound[:fade] *= rise.astype(np.float32)
    sound[step:] *= (1.0 - rise).astype(np.float32)
    return sound, step / SAMPLE_RATE


class ClipSpeaker(Speaker):
    """What the clip libraries share; a subclass loads a file. Raises SpeakerError if it cannot."""

    latency_s = 0.1
    """From the library's play to the first sample at the device, as measured or assumed."""

    def __init__(self) -> None:
        super().__init__()
        self._folder = Path(tempfile.mkdtemp(prefix="kaan-sound-"))
        self._todo: queue.SimpleQueue[Callable[[], None]] = queue.SimpleQueue()
        self._closing = threading.Event()
        self._loop: Samples | None = None
        self._drone_file: Path | None = None
        self._drone: list[_Sounding] = []
        self._drone_step_s = 0.0
        self._drone_next_at = math.inf
        self._cue: _Sounding | None = None
        self._leaving: list[_Sounding] = []
        self._playing: ClipPlaying | None = None
        self._number = 0
        try:
            self._probe()
        except BaseException:
            shutil.rmtree(self._folder, ignore_errors=True)
            raise
        self._worker = threading.Thread(target=self._work, name=f"kaan {self.name}", daemon=True)
        self._worker.start()
        atexit.register(self.close)

    @abstractmethod
    def load(self, path: Path) -> Clip:
        """The clip of a 16-bit mono WAV file. Raises SpeakerError if it cannot be played."""

    def _probe(self) -> None:
        """Load a moment of silence, to know whether anything can be played."""
        path = self._folder / "probe.wav"
        write_wav(path, [np.zeros(SAMPLE_RATE // 10, np.float32)])
        self.load(path).stop()

    def set_drone(self, loop: Samples | None) -> None:
        samples = None if loop is None else as_samples(loop).copy()
        if samples is not None and not len(samples):
            raise ValueError("a drone's loop needs at least one frame: given none")
        self._todo.put(lambda: self._change_drone(samples))

    def play(self, blocks: Iterable[Samples], *, frames: int) -> Playing:
        playing = ClipPlaying(self.latency_s + frames / SAMPLE_RATE)
        before, self._playing = self._playing, playing
        if before is not None:
            before.cancel()
        if self._closing.is_set():
            playing.cancel()
        else:
            self._todo.put(lambda: self._start(playing, blocks))
        return playing

    def stop(self) -> None:
        playing, self._playing = self._playing, None
        if playing is not None:
            playing.cancel()
        self._todo.put(self._dismiss_cue)

    def close(self) -> None:
        if self._closing.is_set():
            return
        self._todo.put(self._dismiss_all)
        self.stop()
        self._todo.put(self._closing.set)
        self._worker.join(5.0)
        shutil.rmtree(self._folder, ignore_errors=True)
        atexit.unregister(self.close)

    def _volume_changed(self) -> None:
        self._todo.put(self._apply_gains)

    # What follows runs in the worker's thread.

    def _work(self) -> None:
        while not self._closing.is_set():
            try:
                task = self._todo.get(timeout=self._nap_s())
            except queue.Empty:
                task = None
            self._attempt(task)
            self._attempt(self._tend)
        self._wind_up()

    def _wind_up(self) -> None:
        """Let what fades fade, then free everything."""
        end = time.monotonic() + CUE_STOP_S
        while time.monotonic() < end + STEP_S and self._leaving:
            time.sleep(STEP_S)
            self._attempt(self._apply_gains)
        for sounding in self._soundings():
            self._attempt(sounding.clip.stop)

    def _nap_s(self) -> float:
        if self._leaving:
            return STEP_S
        return min(1.0, max(0.0, self._drone_next_at - time.monotonic()))

    def _attempt(self, task: Callable[[], None] | None) -> None:
        try:
            if task is not None:
                task()
        except Exception:
            LOG.info("a sound failed", exc_info=True)
            self._trouble = CANNOT_PLAY

    def _start(self, playing: ClipPlaying, blocks: Iterable[Samples]) -> None:
        asked_at = time.monotonic()
        try:
            frames = self._start_cue(playing, blocks)
        except SpeakerError:
            LOG.info("a cue cannot be played", exc_info=True)
            self._trouble = CANNOT_PLAY
            frames = None
        if frames is None:  # silence for as long as the cue would have sounded
            playing.end_by(min(playing.ends_at, asked_at + playing.duration_s))
        elif not playing.cancelled:
            playing.end_by(time.monotonic() + self.latency_s + frames / SAMPLE_RATE)

    def _start_cue(self, playing: ClipPlaying, blocks: Iterable[Samples]) -> int | None:
        """Make the cue's file and play it; its frames, None if there is nothing to hear."""
        self._dismiss_cue()
        self._number += 1
        path = self._folder / f"cue-{self._number}.wav"
        try:
            frames = 0 if playing.cancelled else write_wav(path, blocks)
        except Exception:
            LOG.info("a cue failed", exc_info=True)
            self._trouble = CUE_FAILED
            return None
        if playing.cancelled:
            path.unlink(missing_ok=True)
            return None
        clip = self.load(path)
        clip.play(self._gain)
        self._trouble = None
        ends_at = time.monotonic() + self.latency_s + frames / SAMPLE_RATE
        self._cue = _Sounding(clip, path, ends_at + LINGER_S, self._gain)
        return frames

    def _dismiss_cue(self) -> None:
        cue, self._cue = self._cue, None
        if cue is not None:
            cue.fade(time.monotonic(), CUE_STOP_S)
            self._leaving.append(cue)

    def _dismiss_all(self) -> None:
        self._dismiss_drone(CUE_STOP_S)
        self._dismiss_cue()

    def _dismiss_drone(self, duration_s: float) -> None:
        for sounding in self._drone:
            sounding.fade(time.monotonic(), duration_s)
        self._leaving += self._drone
        self._drone, self._drone_next_at, self._loop = [], math.inf, None
        self._drone_file = None

    def _change_drone(self, loop: Samples | None) -> None:
        if loop is not None and self._loop is not None and np.array_equal(loop, self._loop):
            return
        self._dismiss_drone(DRONE_CHANGE_S)
        if loop is not None:
            self._number += 1
            self._drone_file = self._folder / f"drone-{self._number}.wav"
            sound, self._drone_step_s = drone_turn(loop)
            write_wav(self._drone_file, [sound])
            self._loop, self._drone_next_at = loop, time.monotonic()

    def _turn_drone(self, now: float) -> None:
        """Start the next set of turns of the drone, in step with the last."""
        assert self._drone_file is not None
        late = max(0.0, now - self._drone_next_at)
        begun = now if late > self._drone_step_s else self._drone_next_at
        self._drone_next_at = begun + self._drone_step_s
        clip = self.load(self._drone_file)
        clip.play(self._gain)
        ends_at = self._drone_next_at + DRONE_FADE_S + LINGER_S
        self._drone.append(_Sounding(clip, self._drone_file, ends_at, self._gain))

    def _tend(self) -> None:
        """Move the fades on, turn the drone when it is time, free what has ended."""
        now = time.monotonic()
        if now >= self._drone_next_at:
            self._turn_drone(now)
        self._apply_gains()
        for sounding in [s for s in self._soundings() if now >= s.ends_at]:
            self._free(sounding)

    def _soundings(self) -> list[_Sounding]:
        return [*self._leaving, *self._drone, *([self._cue] if self._cue else [])]

    def _free(self, sounding: _Sounding) -> None:
        self._leaving = [s for s in self._leaving if s is not sounding]
        self._drone = [s for s in self._drone if s is not sounding]
        self._cue = None if self._cue is sounding else self._cue
        if sounding.file != self._drone_file:
            sounding.file.unlink(missing_ok=True)
        sounding.clip.stop()

    @property
    def _gain(self) -> float:
        return float(10.0 ** (self._volume_db / 20.0))

    def _apply_gains(self) -> None:
        for sounding in self._soundings():
            gain = self._gain * float(smooth(sounding.level))
            if gain != sounding.gain:
                sounding.gain = gain
                self._attempt(partial(sounding.clip.set_gain, gain))
