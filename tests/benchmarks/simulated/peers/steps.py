"""A peer that asks each skill at fixed expanding steps, whatever the answers."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor

import numpy as np

from scheduler import Item, Meeting
from tests.benchmarks.simulated.peers.choosing import DueFirst

_AGAIN_TODAY = 10 / 1440
"""Days until a skill returns in a step that stays within the day."""
_STEPS = 60  # more of them pass any lifetime, and at last what a float holds


class FixedSteps(DueFirst):
    """`first` days to the first return, `factor` times as many to each later one, in whole days.

    A first step of 1 and a factor of about 2.3 give 1, 2, 5, 12, 28 days. `today` steps of ten
    minutes come before these.
    """

    def __init__(
        self,
        items: Sequence[Item],
        seed: int,
        *,
        first: float = 1.0,
        factor: float = 2.3,
        today: int = 0,
        new_a_day: float | None = None,
        new_first: bool = False,
    ) -> None:
        super().__init__(items, new_a_day=new_a_day, new_first=new_first)
        self._first, self._factor, self._today = first, factor, today
        self._steps = np.zeros(len(self.items), dtype=int)

    def introduce(self, place: int, at: float) -> None:
        self._wait(place, at)

    def learn(self, place: int, at: float, meeting: Meeting) -> None:
        self._steps[place] += 1
        self._wait(place, at)

    def _wait(self, place: int, at: float) -> None:
        step = int(self._steps[place])
        self.due_at[place] = due_after(
            step, at, first=self._first, factor=self._factor, today=self._today
        )


def due_after(step: int, at: float, *, first: float, factor: float, today: int) -> float:
    """When a skill met at `at` returns; after whole days it does so at the start of that day."""
    if step < today:
        return at + _AGAIN_TODAY
    days = first * factor ** min(step - today, _STEPS)
    return floor(at) + max(1.0, round(days))
