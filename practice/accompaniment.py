"""The theka to which a palta is played, over its drone, for as long as is wanted.

A speaker that streams reads it without end. One that plays whole sounds only is given some rounds
at a time, and the next as those end, or sooner where the tempo changes: a little late, for the
sound has to be made first.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

from audio.format import SAMPLE_RATE
from audio.rounds import Rounds
from audio.score import Drone, Score
from audio.speakers import Speaker
from practice.sounding import Sounding, loop_of
from practice.varied import Varied
from practice.varied_sound import to_play_over

ENDLESS_FRAMES = 24 * 3600 * SAMPLE_RATE
"""Announced of a theka without end; nobody plays so long."""
PIECE_S = 20.0
"""About so much is given to a speaker that cannot stream: a longer sound takes longer to make, and
comes so much later (this one some 55 ms, by the app's player on a desk with a sound server)."""


@dataclass(frozen=True, slots=True)
class Beat:
    """What sounds now: the place in the cycle, in matras since sam, at so many a minute."""

    place: float
    tempo: float

    @property
    def matra(self) -> int:
        """Counted from 1."""
        return int(self.place) + 1


class Accompaniment:
    """It sounds from the moment it is made, from sam. `tick` is to be called often."""

    def __init__(
        self,
        varied: Varied,
        *,
        tempo: float,
        sa_hz: float,
        speaker: Speaker,
        sounding: Sounding,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._varied, self._sa_hz = varied, sa_hz
        self._streams, self._latency_s = speaker.streams, speaker.latency_s
        self._sounding, self._clock = sounding, clock
        self._tempo, self._is_to_end = tempo, False
        self._last = Beat(0.0, tempo)
        self._goes_on = False
        self.over = False
        """Whether nothing more of it will sound."""
        self._play(self._rounds(None if self._streams else self._some))

    @property
    def tempo(self) -> float:
        """Matras a minute from the next sam on, or already; may be set."""
        return self._tempo

    @tempo.setter
    def tempo(self, tempo: float) -> None:
        self._tempo = self._now.tempo = tempo
        self._hand_over_at_sam()

    def end(self) -> None:
        """Let it end with a sam, in a round or so."""
        self._is_to_end = True
        self._now.end()
        self._hand_over_at_sam()

    def stop(self) -> None:
        """Let it fade now; the drone goes on."""
        self.over = True
        self._sounding.hush()

    def beat(self) -> Beat | None:
        """What sounds now; None before the first sam and after the last."""
        second = self._second
        on = None if self.over else self._now.at(second)
        if on is not None:
            self._last = Beat(on.place_at(second), float(on.matras_per_min))
        elif self.over or second >= 0.0 or not self._goes_on:
            return None  # else what is to follow has not begun to sound
        return self._last

    def tick(self) -> None:
        """Notice that it has ended, and hand a speaker that cannot stream what comes next."""
        if self.over:
            return
        if self._playing.ended and self._clock() - self._begun < self._length_s / 2:
            self.over = True  # it was put into a file, or cannot be played
        elif self._hands_over_s is not None and self._second >= self._hands_over_s:
            self._goes_on = True
            self._play(self._rounds(0 if self._is_to_end else self._some))
        elif self._playing.ended:
            self.over = True

    @property
    def _some(self) -> int:
        """Rounds of about PIECE_S."""
        return max(1, round(PIECE_S * self._tempo / 60.0 / self._varied.tala.matras))

    def _rounds(self, rounds: int | None) -> Rounds:
        return to_play_over(
            self._varied, tempo=self._tempo, sa_hz=self._sa_hz, rounds=rounds, lands=not rounds
        )

    def _play(self, rounds: Rounds) -> None:
        """Play these in place of those before."""
        score = Score(self._sa_hz, (), Drone(self._varied.drone))
        frames = rounds.frames or ENDLESS_FRAMES
        self._now, self._begun = rounds, self._clock()
        self._playing = self._sounding.play(score, loop_of(score), rounds.blocks(), frames=frames)
        self._lead_s = self._sounding.lead_s
        self._length_s = self._lead_s + frames / SAMPLE_RATE
        last = rounds.last
        self._hands_over_s = None
        if not self._streams and last is not None:
            self._hands_over_s = last.ends_s - self._latency_s

    def _hand_over_at_sam(self) -> None:
        on = self._now.at(max(0.0, self._second))
        if on is not None and self._hands_over_s is not None:
            self._hands_over_s = on.ends_s - self._latency_s

    @property
    def _second(self) -> float:
        """Where in the rounds the sound is."""
        return self._length_s - (self._playing.ends_at - self._clock()) - self._lead_s
