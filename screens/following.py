"""Where in an explained phrase its sound has come to."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

from audio.score import Score
from audio.speakers import Playing
from screens.tracing import moment_in


@dataclass(frozen=True)
class Following:
    """Follows `playing`, which plays `played`, itself the phrase `score` or the same more slowly.

    `length_s` is how long it sounds. Speakers know best when they will have ended, and say so ever
    better while they play: the start is reckoned from there.
    """

    score: Score
    played: Score
    playing: Playing
    length_s: float
    clock: Callable[[], float] = time.monotonic

    def at_s(self) -> float | None:
        """The moment in `score` that sounds now; None once it is over."""
        left_s = self.playing.ends_at - self.clock()
        if left_s <= 0.0:
            return None
        return moment_in(self.score, self.played, max(0.0, self.length_s - left_s))
