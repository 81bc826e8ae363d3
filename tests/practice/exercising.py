"""A clock that a test moves, speakers that go by it, and what a time on the instrument left in the
log."""

from audio.format import SAMPLE_RATE
from audio.mixer import Mixer
from audio.speakers import Playing, Speaker
from audio.speakers.silence import SilentSpeaker
from practice.instrument import MINUTES


class Time:
    """A monotonic clock that a test moves, in steps in which an exercise is ticked."""

    def __init__(self):
        self.now = 1000.0

    def __call__(self):
        return self.now

    def go(self, exercise, seconds, step_s=0.05):
        for _ in range(round(seconds / step_s)):
            self.now += step_s
            exercise.tick()


class Streaming(Speaker):
    """Reads a mixer at the pace of that clock, as a device would; keeps all that it has read."""

    name, streams = "streaming", True

    def __init__(self, time):
        super().__init__()
        self.time, self.mixer, self.heard = time, Mixer(ahead=False), []
        self.begun = time.now

    def read(self):
        due = round((self.time.now - self.begun) * SAMPLE_RATE) - self.mixer.position
        self.heard.append(self.mixer.read(due))

    def set_drone(self, loop):
        self.drone = loop

    def play(self, blocks, *, frames):
        return Streamed(self, self.mixer.play(blocks, frames=frames))

    def stop(self):
        self.mixer.stop()

    def close(self):
        self.mixer.close()


class Streamed(Playing):
    def __init__(self, speaker, cue):
        self.speaker, self.cue = speaker, cue

    @property
    def ends_at(self):
        self.speaker.read()
        return self.speaker.begun + self.speaker.mixer.end_of(self.cue) / SAMPLE_RATE

    @property
    def ended(self):
        return self.cue.finished.is_set() and self.speaker.time() >= self.ends_at


class Whole(SilentSpeaker):
    """Knows whole sounds only, by that clock."""

    def __init__(self, time):
        super().__init__()
        self.time, self.played = time, []

    def play(self, blocks, *, frames):
        assert frames < 100 * SAMPLE_RATE
        self.played.append(self.time.now)
        self._playing = Timed(self.time, frames)
        return self._playing

    def stop(self):
        if self._playing is not None:
            self._playing._ends_at = min(self._playing._ends_at, self.time.now)


class Timed(Playing):
    def __init__(self, time, frames):
        super().__init__(time.now + frames / SAMPLE_RATE)
        self.time = time

    @property
    def ended(self):
        return self.time() >= self._ends_at


def minutes_in(practice):
    return [note.data["minutes"] for note in practice._notes.read(MINUTES)]


def said_in(practice):
    return [(each.said, each.tempo) for each in practice.paltas_noted()]
