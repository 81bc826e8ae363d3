"""A peer of boxes: a right answer moves a skill to a box asked less often, a wrong one back."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from scheduler import Item, Meeting
from tests.benchmarks.simulated.peers.choosing import DueFirst, was_right
from tests.benchmarks.simulated.peers.steps import due_after


class Boxes(DueFirst):
    """`boxes` of them; the box numbered b from 0 waits `first` × `factor` ** b whole days.

    The first `today` boxes wait ten minutes each and come before these. A wrong answer sends a
    skill to the first box, or one down where `one_down`. Asked before it was due, a skill rises
    only where `early`.
    """

    def __init__(
        self,
        items: Sequence[Item],
        seed: int,
        *,
        boxes: int = 5,
        first: float = 1.0,
        factor: float = 2.0,
        today: int = 0,
        one_down: bool = False,
        early: bool = False,
        new_a_day: float | None = None,
        new_first: bool = False,
    ) -> None:
        super().__init__(items, new_a_day=new_a_day, new_first=new_first)
        self._highest = boxes - 1
        self._first, self._factor, self._today = first, factor, today
        self._one_down, self._early = one_down, early
        self._boxes = np.zeros(len(self.items), dtype=int)

    def introduce(self, place: int, at: float) -> None:
        self._wait(place, at)

    def learn(self, place: int, at: float, meeting: Meeting) -> None:
        box = int(self._boxes[place])
        if not was_right(meeting):
            box = max(box - 1, 0) if self._one_down else 0
        elif self._early or self.due_at[place] <= at:
            box = min(box + 1, self._highest)
        self._boxes[place] = box
        self._wait(place, at)

    def _wait(self, place: int, at: float) -> None:
        box = int(self._boxes[place])
        self.due_at[place] = due_after(
            box, at, first=self._first, factor=self._factor, today=self._today
        )
