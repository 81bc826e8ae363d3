"""Values that move from one level to another without a jump: what keeps sound free of clicks."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


class Ramp:
    """A number that moves in a straight line, frame by frame, to the goal last given.

    The values do not depend on how the frames are cut into blocks.
    """

    def __init__(self, value: float) -> None:
        self._start = self.goal = float(value)
        self._frames = 0
        self._done = 0

    @property
    def now(self) -> float:
        if self._done >= self._frames:
            return self.goal
        return self._start + (self.goal - self._start) * (self._done / self._frames)

    @property
    def settled(self) -> bool:
        return self.now == self.goal

    def to(self, goal: float, frames: int) -> None:
        """Head for `goal` from wherever the value is now, to be there after `frames` frames."""
        self._start, self.goal = self.now, float(goal)
        self._frames, self._done = (0 if self._start == self.goal else frames), 0

    def take(self, frames: int) -> NDArray[np.float64] | float:
        """The next `frames` values, shape (frames,); one float when they are all the same."""
        left = self._frames - self._done
        if left <= 0:
            return self.goal
        steps = np.arange(self._done + 1, self._done + frames + 1)
        self._done = min(self._frames, self._done + frames)
        return self._start + (self.goal - self._start) * np.minimum(steps / self._frames, 1.0)


def smooth(level: NDArray[np.float64] | float) -> NDArray[np.float64] | float:
    """The gain for a ramp's level in 0 to 1: flat at both ends.

    The gains of a rising and a falling level sum to 1, so a crossfade is never louder than the
    louder of its two sounds.
    """
    if isinstance(level, float):
        return float(np.sin(np.pi / 2 * level) ** 2) if 0.0 < level < 1.0 else level
    gains: NDArray[np.float64] = np.sin(np.pi / 2 * level) ** 2
    return gains
