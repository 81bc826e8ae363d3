"""What a device reads: an endless drone, one cue over it, and a volume that is never above 0 dB.

Everything is float32, shape (n,), mono, at SAMPLE_RATE. Every start, stop and change is faded, but
a cue's own samples are passed on as they are: at 0 dB and without a drone they come out bit for
bit, in order and without a gap. All methods may be called from any thread.
"""

from __future__ import annotations

import math
import threading
from collections.abc import Iterable

import numpy as np

from audio.feeder import Feeder, Samples, as_samples
from audio.format import SAMPLE_RATE
from audio.ramps import Ramp, smooth

DRONE_START_FRAMES = int(1.2 * SAMPLE_RATE)
DRONE_CHANGE_FRAMES = int(0.6 * SAMPLE_RATE)
CUE_STOP_FRAMES = int(0.020 * SAMPLE_RATE)
VOLUME_FRAMES = int(0.050 * SAMPLE_RATE)
SETTLE_FRAMES = 132
"""Where samples break off away from zero, the output returns to zero over 3 ms."""
RESUME_FRAMES = 2_048
"""After a shortage a cue goes on only when so much is ready, lest it stutter."""
MOST_DRONES = 4


def capped_db(volume_db: float) -> float:
    """`volume_db`, but never above 0. Raises ValueError for nan."""
    if math.isnan(volume_db):
        raise ValueError("a volume is a number of decibels, 0 or below: given nan")
    return min(0.0, float(volume_db))


class Cue:
    """One cue on its way through a mixer; `frames` is its announced length."""

    def __init__(self, feeder: Feeder, frames: int) -> None:
        self.frames = frames
        self.done_frames = 0
        self.start_frame: int | None = None
        self.end_frame: int | None = None
        """The mixer's frame count after the cue's last sample; None until that is read."""
        self.finished = threading.Event()
        self._feeder = feeder
        self._level = Ramp(1.0)
        self._last = 0.0
        self._short = False

    @property
    def error(self) -> Exception | None:
        """What the maker of the blocks raised, if it did."""
        return self._feeder.error

    def can_give(self, frames: int) -> bool:
        """Whether the next `frames` frames, or all that are left, can be read without a gap."""
        return self._feeder.can_give(frames)

    @property
    def left_frames(self) -> int:
        """Frames still to come, by the announced length."""
        return max(0, self.frames - self.done_frames)


class _Drone:
    """A loop that plays from its beginning, with a level of its own."""

    def __init__(self, loop: Samples) -> None:
        self.loop = loop
        self.level = Ramp(0.0)
        self._at = 0

    def take(self, frames: int) -> Samples:
        places = np.arange(self._at, self._at + frames)
        self._at = (self._at + frames) % len(self.loop)
        gain = smooth(self.level.take(frames))
        return (self.loop.take(places, mode="wrap") * gain).astype(np.float32)


class Mixer:
    """The drone, the cue and the volume; `read` is the device's side, the rest is the caller's.

    With `ahead`, cues are pulled in threads, and `underruns` counts how often a cue was not ready
    in time. Without, `read` pulls them itself and no cue is ever late.
    """

    def __init__(self, *, ahead: bool = True, volume_db: float = 0.0) -> None:
        self.position = 0
        """Frames read so far."""
        self.underruns = 0
        self._ahead = ahead
        self._lock = threading.Lock()
        self._drones: list[_Drone] = []
        self._cue: Cue | None = None
        self._leaving: list[Cue] = []
        self._tails: list[tuple[float, int]] = []
        self._volume_db = capped_db(volume_db)
        self._volume = Ramp(10.0 ** (self._volume_db / 20.0))
        self._presence = Ramp(1.0)
        self._feeders: list[Feeder] = []

    def set_drone(self, loop: Samples | None) -> None:
        """Let `loop`, shape (n,), sound endlessly; None fades the drone out.

        The first start takes 1.2 s, a change 0.6 s. The loop that sounds already stays.
        """
        samples = None if loop is None else as_samples(loop).copy()
        if samples is not None and not len(samples):
            raise ValueError("a drone's loop needs at least one frame: given none")
        with self._lock:
            if samples is not None and self._return_to(samples):
                return
            self._dismiss_drones()
            was_silent = not self._drones
            if samples is not None:
                drone = _Drone(samples)
                drone.level.to(1.0, DRONE_START_FRAMES if was_silent else DRONE_CHANGE_FRAMES)
                self._drones.append(drone)

    def _return_to(self, loop: Samples) -> bool:
        """Keep, or bring back, the newest drone if it is this very loop."""
        if not self._drones or not np.array_equal(self._drones[-1].loop, loop):
            return False
        level = self._drones[-1].level
        if level.goal != 1.0:
            level.to(1.0, DRONE_CHANGE_FRAMES)
        return True

    def _dismiss_drones(self) -> None:
        """Send every drone towards silence; those beyond a few go fast."""
        self._drones = [drone for drone in self._drones if drone.level.now > 0.0]
        for age, drone in enumerate(reversed(self._drones)):
            if age >= MOST_DRONES:
                drone.level.to(0.0, CUE_STOP_FRAMES)
            elif drone.level.goal != 0.0:
                drone.level.to(0.0, DRONE_CHANGE_FRAMES)

    def play(self, blocks: Iterable[Samples], *, frames: int) -> Cue:
        """Start a cue in place of the one that sounds, as soon as its first block is there.

        `frames` is its announced length; what the blocks really hold is what is played.
        """
        feeder = Feeder(blocks, ahead=self._ahead)
        cue = Cue(feeder, frames)
        with self._lock:
            self._dismiss_cue()
            self._cue = cue
            self._feeders = [f for f in self._feeders if f.running] + [feeder]
        return cue

    def end_of(self, cue: Cue) -> int:
        """The frame count after the cue's last sample, by its announced length until it is known.

        Never between the two steps of a `read`, where it would be off by a block.
        """
        with self._lock:
            return self.position + cue.left_frames if cue.end_frame is None else cue.end_frame

    def stop(self) -> None:
        """Fade the cue out over 20 ms; the drone goes on."""
        with self._lock:
            self._dismiss_cue()

    def _dismiss_cue(self) -> None:
        cue, self._cue = self._cue, None
        if cue is None:
            return
        if cue.start_frame is None:
            self._finish(cue, self.position)
        else:
            cue._level.to(0.0, CUE_STOP_FRAMES)
            self._leaving.append(cue)

    @property
    def volume_db(self) -> float:
        """Volume in decibels, at most 0; a change takes 50 ms."""
        return self._volume_db

    @volume_db.setter
    def volume_db(self, value: float) -> None:
        level_db = capped_db(value)
        with self._lock:
            self._volume_db = level_db
            self._volume.to(10.0 ** (level_db / 20.0), VOLUME_FRAMES)

    def appear(self, duration_s: float) -> None:
        """Bring everything in from silence, as after the device was away."""
        with self._lock:
            self._presence = Ramp(0.0)
            self._presence.to(1.0, int(duration_s * SAMPLE_RATE))

    def vanish(self, duration_s: float) -> None:
        """Fade everything out, to end without a click."""
        with self._lock:
            self._presence.to(0.0, int(duration_s * SAMPLE_RATE))

    def read(self, frames: int) -> Samples:
        """The next `frames` frames, in [-1, 1]; never waits for a cue that is pulled ahead."""
        with self._lock:
            out = np.zeros(frames, np.float32)
            for drone in self._drones:
                out += drone.take(frames)
            self._drones = [d for d in self._drones if not (d.level.settled and d.level.now == 0.0)]
            self._add_tails(out)
            for cue in [*self._leaving, self._cue]:
                if cue is not None:
                    self._add_cue(cue, out)
            self._leaving = [cue for cue in self._leaving if not cue.finished.is_set()]
            if self._cue is not None and self._cue.finished.is_set():
                self._cue = None
            for gain in (self._volume.take(frames), smooth(self._presence.take(frames))):
                if not (isinstance(gain, float) and gain == 1.0):
                    out *= np.asarray(gain, dtype=np.float32)
            self.position += frames
        return np.clip(out, -1.0, 1.0, out=out)

    def _add_cue(self, cue: Cue, out: Samples) -> None:
        if cue._short and not cue.can_give(RESUME_FRAMES):
            if not cue._level.settled or cue._level.goal == 0.0:
                self._finish(cue, self.position)
            return
        samples = cue._feeder.take(len(out))
        # Asked after taking: nothing can be added between, once it is dry.
        ended = cue._feeder.dry and cue._feeder.ready == 0
        count = len(samples)
        level = cue._level.take(len(out))
        if count:
            if cue.start_frame is None:
                cue.start_frame = self.position
            samples = self._shaped(cue, samples, level)
            out[:count] += samples
            cue.done_frames += count
            cue._last = float(samples[-1])
        if ended:
            self._finish(cue, self.position + count)
        elif count < len(out) and cue.start_frame is not None:
            self.underruns += 1
            cue._short = True
        if (ended or cue._short) and cue._last:
            self._settle(cue, out, count)
        if cue._level.goal == 0.0 and cue._level.settled and not ended:
            self._finish(cue, self.position + len(out))

    def _shaped(self, cue: Cue, samples: Samples, level: object) -> Samples:
        """The cue's samples with its fades on; the very samples when it has none."""
        count = len(samples)
        if isinstance(level, np.ndarray):
            samples = (samples * smooth(level[:count])).astype(np.float32)
        if cue._short:
            cue._short = False
            rise = np.minimum(np.arange(1, count + 1) / SETTLE_FRAMES, 1.0)
            samples = (samples * smooth(rise)).astype(np.float32)
        return samples

    def _settle(self, cue: Cue, out: Samples, count: int) -> None:
        """Bring the output from the cue's last sample to zero, from frame `count` of `out` on."""
        self._tails.append((cue._last, 0))
        cue._last = 0.0
        self._tails[-1:] = self._tail(out[count:], *self._tails[-1])

    def _add_tails(self, out: Samples) -> None:
        self._tails = [left for tail in self._tails for left in self._tail(out, *tail)]

    @staticmethod
    def _tail(out: Samples, value: float, done: int) -> list[tuple[float, int]]:
        """Add the rest of a tail to `out`; what is left of it for the next block, if anything."""
        count = min(len(out), SETTLE_FRAMES - done)
        places = np.arange(done + 1, done + count + 1)
        fall = smooth(1.0 - places / SETTLE_FRAMES)
        out[:count] += (value * np.asarray(fall)).astype(np.float32)
        return [(value, done + count)] if done + count < SETTLE_FRAMES else []

    def _finish(self, cue: Cue, end_frame: int) -> None:
        cue._feeder.cancel()
        cue.end_frame = end_frame
        cue.finished.set()

    def close(self, timeout_s: float = 2.0) -> None:
        """Forget everything and end the threads that pull; reading gives silence afterwards."""
        with self._lock:
            for cue in [*self._leaving, self._cue]:
                if cue is not None:
                    self._finish(cue, self.position)
            self._cue, self._leaving, self._drones, self._tails = None, [], [], []
            feeders, self._feeders = self._feeders, []
        for feeder in feeders:
            feeder.cancel()
            feeder.join(timeout_s)
