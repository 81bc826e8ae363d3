"""When a touch or a key came, as nearly as can be told while somebody taps in time.

Kivy looks for touches once a frame: it draws, asks the window, sleeps for the rest of a sixtieth of
a second, and only then tells of them, with a stamp (`time_start`) made as it tells, by a clock that
may be set. So what is told is one to two frames old, one cannot know how much.

While watched, the loop does not sleep there. It rests instead just before the window is asked, for
two thousandths of a second, so that a touch is told as soon as it is found, and found as soon as it
comes. A frame that has to be drawn may still take a sixtieth, where drawing waits for the screen.
"""

from __future__ import annotations

import time
from typing import Any

from kivy.clock import Clock

REST_S = 0.002
LONGEST_S = 0.04
"""Between two looks; a longer time is a hitch, of which nothing can be told."""


class Moments:
    """Tells the moments of inputs; more finely while watching."""

    def __init__(self) -> None:
        self._watching: Any = None
        self._rest = Clock.create_trigger(lambda _: time.sleep(REST_S), -1)
        self._usual_fps = 0.0
        self._looked_at = time.monotonic()
        self._between_s = 0.0

    def watch(self, watching: bool) -> None:
        """Look for touches as often as can be, or as usual again."""
        if watching == (self._watching is not None):
            return
        if watching:
            # No public name changes the frames a second once the clock goes; 0 is without sleep.
            self._usual_fps, Clock._max_fps = Clock._max_fps, 0.0
            self._looked_at, self._between_s = time.monotonic(), 0.0
            self._watching = Clock.schedule_interval(self._look, 0)
        else:
            Clock._max_fps = self._usual_fps
            self._watching.cancel()
            self._watching = None
            self._rest.cancel()

    def _look(self, *_: Any) -> None:
        """The window has just been asked for inputs."""
        now = time.monotonic()
        self._between_s, self._looked_at = now - self._looked_at, now
        self._rest()

    def now(self) -> float:
        """`time.monotonic()` when the input came that is just being told: at any time since the
        window was asked before, so by the best guess in the middle."""
        return time.monotonic() - min(self._between_s, LONGEST_S) / 2
