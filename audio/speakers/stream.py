"""A stream into the system's sound device, kept open so that a touch sounds at once.

When the device goes away, a keeper thread goes on reading the mixer in real time, so that cues
still end, tries to open a device again, and fades the sound in when it has one.
"""

from __future__ import annotations

import atexit
import logging
import threading
import time
from collections.abc import Iterable

import numpy as np

from audio.errors import SpeakerError
from audio.feeder import Samples
from audio.format import SAMPLE_RATE
from audio.mixer import Cue, Mixer
from audio.speakers.base import CUE_FAILED, Playing, Speaker
from audio.speakers.device import NO_DEVICE, Device
from audio.speakers.timeline import Timeline
from words import to_say

LOG = logging.getLogger(__name__)

GONE = to_say(
    "The sound device has gone away. Kaan keeps looking for it; connect it again, or choose "
    "another way to hear in the settings."
)
BUFFER_MS = 20
LARGEST_BUFFER_MS = 80
STALL_S = 0.7
"""A device in its rhythm that fetches nothing for so long is taken to be gone."""
FIRST_STALL_S, RHYTHM_FETCHES = 3.0, 10
"""A device that starts may pause after its first fetch: a sound server that was idle has up to 2 s
of silence under way."""
OPEN_TIMEOUT_S = 4.0
LOOK_S = 0.05
FIRST_RETRY_S, LAST_RETRY_S = 0.25, 5.0
RETURN_S = 0.4
END_S = 0.04
LATE_LIMIT = 4


class StreamPlaying(Playing):
    """A cue in the mixer; its end is known to the frame once its last frame has been fetched."""

    def __init__(self, cue: Cue, mixer: Mixer, timeline: Timeline) -> None:
        super().__init__(0.0)
        self._cue = cue
        self._mixer = mixer
        self._timeline = timeline
        self._settled = False

    @property
    def ends_at(self) -> float:
        if self._settled:
            return self._ends_at
        settled = self._cue.end_frame is not None
        ends_at = self._timeline.leaves(self._mixer.end_of(self._cue), time.monotonic())
        if settled:
            self._ends_at, self._settled = ends_at, True
        return ends_at

    @property
    def ended(self) -> bool:
        return self._cue.finished.is_set() and time.monotonic() >= self.ends_at


class _Source:
    """What one device reads. Once let go, it gives silence, however late the device asks."""

    def __init__(self, mixer: Mixer, timeline: Timeline, buffer_ms: int) -> None:
        self.last_fetch = time.monotonic()
        self.fetches = 0
        self.late = 0
        self.let_go = False
        self._mixer = mixer
        self._timeline = timeline
        self._period_s = buffer_ms / 1000

    @property
    def in_rhythm(self) -> bool:
        return self.fetches > RHYTHM_FETCHES

    def fetch(self, frames: int) -> Samples:
        """Never raises: an error in here would end the device."""
        try:
            now = time.monotonic()
            if self.let_go:
                return np.zeros(frames, np.float32)
            if self.in_rhythm and now - self.last_fetch > 2 * self._period_s:
                self.late += 1
            self.fetches += 1
            self.last_fetch = now
            self._timeline.note(self._mixer.position, now, self._period_s)
            return self._mixer.read(frames)
        except Exception:
            LOG.info("a block failed", exc_info=True)
            return np.zeros(frames, np.float32)


class StreamSpeaker(Speaker):
    """Plays through the mixer into the default device. Raises SpeakerError if there is none."""

    name = "stream"
    streams = True

    def __init__(self, *, buffer_ms: int = BUFFER_MS) -> None:
        super().__init__()
        self._buffer_ms = buffer_ms
        self._mixer = Mixer()
        self._timeline = Timeline()
        self._closing = threading.Event()
        self._lock = threading.Lock()
        self._device: Device | None = None
        self._source: _Source | None = None
        self._last_cue: Cue | None = None
        opener = self._open_aside()
        opener.join(OPEN_TIMEOUT_S)
        with self._lock:
            opened = self._device is not None
            if not opened:
                self._closing.set()
        if not opened:
            raise SpeakerError(NO_DEVICE)
        self._keeper = threading.Thread(target=self._keep, name="kaan stream", daemon=True)
        self._keeper.start()
        # Native threads must not call into an interpreter that is shutting down.
        atexit.register(self.close)

    @property
    def trouble(self) -> str | None:
        if self._trouble is not None:
            return self._trouble
        failed = self._last_cue is not None and self._last_cue.error is not None
        return CUE_FAILED if failed else None

    @property
    def underruns(self) -> int:
        """How often a cue was not ready when the device wanted it."""
        return self._mixer.underruns

    @property
    def late_fetches(self) -> int:
        """How often this device came so late for its next block that there may have been a gap."""
        source = self._source
        return 0 if source is None else source.late

    def set_drone(self, loop: Samples | None) -> None:
        self._mixer.set_drone(loop)

    def play(self, blocks: Iterable[Samples], *, frames: int) -> Playing:
        cue = self._mixer.play(blocks, frames=frames)
        if self._closing.is_set():
            self._mixer.close()
        self._last_cue = cue
        return StreamPlaying(cue, self._mixer, self._timeline)

    def stop(self) -> None:
        self._mixer.stop()

    def _volume_changed(self) -> None:
        self._mixer.volume_db = self._volume_db

    def close(self) -> None:
        if self._closing.is_set():
            return
        self._mixer.vanish(END_S)
        time.sleep(END_S + 2 * self._buffer_ms / 1000)
        self._closing.set()
        self._keeper.join(2.0)
        closer = self._let_go()
        if closer is not None:
            closer.join(2.0)
        self._mixer.close()
        atexit.unregister(self.close)

    # What follows runs in the keeper's thread and in those that open and close devices, which
    # have threads of their own because either can hang with the sound server.

    def _open_aside(self) -> threading.Thread:
        thread = threading.Thread(target=self._open, name="kaan stream opens", daemon=True)
        thread.start()
        return thread

    def _open(self) -> None:
        source = _Source(self._mixer, self._timeline, self._buffer_ms)
        try:
            device = Device(source.fetch, buffer_ms=self._buffer_ms)
        except SpeakerError:
            return
        except Exception:
            LOG.info("no device", exc_info=True)
            return
        with self._lock:
            if not self._closing.is_set():
                self._device, self._source = device, source
                return
            source.let_go = True
        device.close()

    def _let_go(self) -> threading.Thread | None:
        """Give the device up; the thread that closes it, if there was one."""
        with self._lock:
            device, source = self._device, self._source
            self._device = self._source = None
        if device is None or source is None:
            return None
        source.let_go = True
        thread = threading.Thread(target=device.close, name="kaan stream closes", daemon=True)
        thread.start()
        return thread

    def _keep(self) -> None:
        while not self._closing.wait(LOOK_S):
            if self._sounds():
                self._widen_if_late()
            else:
                self._bridge()

    def _sounds(self) -> bool:
        """Whether the device still fetches."""
        device, source = self._device, self._source
        if device is None or source is None or device.lost.is_set():
            return False
        patience_s = STALL_S if source.in_rhythm else FIRST_STALL_S
        return time.monotonic() - source.last_fetch < patience_s

    def _widen_if_late(self) -> None:
        """On a machine that keeps missing the beat, double the buffer, in a pause."""
        source, cue = self._source, self._last_cue
        quiet = cue is None or cue.finished.is_set()
        if source is None or source.late < LATE_LIMIT or not quiet:
            return
        if self._buffer_ms < LARGEST_BUFFER_MS:
            self._buffer_ms *= 2
            LOG.info("buffer widened to %d ms", self._buffer_ms)
            self._bridge(tell=False)
        else:
            source.late = 0

    def _bridge(self, *, tell: bool = True) -> None:
        """Keep time in silence until a device sounds again."""
        self._let_go()
        if tell:
            self._trouble = GONE
        clock = _Pump(self._mixer, self._timeline)
        retry_s, retry_at = FIRST_RETRY_S, time.monotonic()
        opener: threading.Thread | None = None
        while not self._closing.wait(LOOK_S):
            source = self._source
            if source is not None:
                break
            clock.catch_up()
            if (opener is None or not opener.is_alive()) and time.monotonic() >= retry_at:
                opener = self._open_aside()
                retry_at = time.monotonic() + retry_s
                retry_s = min(LAST_RETRY_S, 2 * retry_s)
        self._mixer.appear(RETURN_S)
        self._wait_for_first_fetch()

    def _wait_for_first_fetch(self) -> None:
        while not self._closing.wait(LOOK_S) and self._sounds():
            source = self._source
            if source is not None and source.fetches:
                self._trouble = None
                return


class _Pump:
    """Reads the mixer at the pace of the clock and throws away what it reads."""

    def __init__(self, mixer: Mixer, timeline: Timeline) -> None:
        self._mixer = mixer
        self._timeline = timeline
        self._at = time.monotonic()

    def catch_up(self) -> None:
        """Read what is due; after a long sleep of the machine not more than a second of it."""
        now = time.monotonic()
        self._at = max(self._at, now - 1.0)
        frames = int((now - self._at) * SAMPLE_RATE)
        self._timeline.note(self._mixer.position, self._at, 0.0)
        self._mixer.read(frames)
        self._at += frames / SAMPLE_RATE
