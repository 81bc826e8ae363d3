"""How a made-up student practises: what a way of choosing is, and the days it goes through."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Protocol

from scheduler import Item, Lesson, Meeting


class Way(Protocol):
    """One way of choosing what to practise, for one student; made afresh for each.

    A skill's first meeting is an introduction: it is shown and explained, takes 1.5 × its seconds,
    and its Meeting has a chance of 1.0 and a credit of 1.0, which says nothing.
    """

    def begin(self, now: datetime, seconds: float, lesson: Lesson | None) -> None:
        """A day of so many seconds begins; `now` is what the device's clock says, in UTC."""

    def pick(self, now: datetime, seconds_left: float) -> Item | None:
        """What to ask now; None: nothing more today."""

    def answered(self, meeting: Meeting) -> None:
        """What was asked, by this way or (in a common stream of answers) by another."""

    def predict(self, skill: str, now: datetime, chance: float) -> float | None:
        """Chance of a right answer where a guess is right at `chance`; None: it does not say."""


Make = Callable[[Sequence[Item], int], Way]
"""From the course in order and the student's seed to one way of choosing for that student."""
