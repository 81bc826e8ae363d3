"""Playing a few scores one after the other, and telling which of them sounds."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from concurrent.futures import Executor, Future
from typing import Any

from kivy.clock import Clock

from audio.score import Score
from audio.speakers import Playing
from practice import Practice
from practice.sounding import Instrument, Samples, Sounding, loop_of

PAUSE_S = 0.5
"""Between two of them."""
LOOKED_EVERY_S = 0.05


class InTurn:
    """Plays on the student's speaker and instrument; drones are made by `worker`.

    `on_turn` is told the number of the score that begins to sound, and None once all is over.
    """

    def __init__(
        self, practice: Practice, worker: Executor, on_turn: Callable[[int | None], None]
    ) -> None:
        self._practice, self._worker, self._on_turn = practice, worker, on_turn
        self._left: list[tuple[int, Score]] = []
        self._sounding: Sounding | None = None
        self._playing: Playing | None = None
        self._loop: Future[Samples | None] | None = None
        self._minding: Any = None

    def play(self, scores: Sequence[tuple[int, Score]]) -> None:
        """Play these, each with its number; what plays is ended."""
        self.stop()
        settings, speaker = self._practice.settings, self._practice.speaker
        on = Instrument(settings.body, settings.tarab, self._practice.shelf.recordings)
        self._sounding, self._left = Sounding(speaker, on), list(scores)
        self._next()
        self._minding = Clock.schedule_interval(self._mind, LOOKED_EVERY_S)

    def stop(self) -> None:
        """Let all fade, and play no more."""
        if self._minding is not None:
            self._minding.cancel()
            self._minding = None
        if self._sounding is not None:
            self._sounding.end()
            self._sounding = None
            self._on_turn(None)
        self._left, self._playing, self._loop = [], None, None

    def _next(self) -> None:
        self._playing = None
        if not self._left:
            self.stop()
            return
        self._loop = self._worker.submit(loop_of, self._left[0][1])

    def _mind(self, *_: Any) -> None:
        if self._playing is not None:
            if time.monotonic() >= self._playing.ends_at + (PAUSE_S if self._left else 0.0):
                self._next()
        elif self._loop is not None and self._loop.done() and self._sounding is not None:
            number, score = self._left.pop(0)
            self._playing = self._sounding.play(score, self._loop.result())
            self._on_turn(number)
