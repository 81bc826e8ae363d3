"""How many skills may still be met for the first time in a day, by the clock on the wall.

A day is the student's own, from midnight to midnight where the device is; all practices of a day
count together, and so do all courses.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from scheduler.memory import Memory, seconds_of
from scheduler.rows import Rows

_LATELY = timedelta(days=2)
"""No day is longer, wherever clocks are moved."""


class DayPace:
    """At most `new_a_day` skills in a day, or any number; some were begun before, at `begun_at`."""

    def __init__(self, new_a_day: int | None, begun_at: Iterable[datetime] = ()) -> None:
        self._most, self._begun_at = new_a_day, list(begun_at)

    @property
    def begun_at(self) -> tuple[datetime, ...]:
        """When each was met for the first time."""
        return tuple(self._begun_at)

    def begin(self, at: datetime) -> None:
        """Count one that was met for the first time at this time (aware)."""
        self._begun_at.append(at)

    def is_full(self, now: datetime) -> bool:
        """Whether none may be begun any more on the day of `now` (aware)."""
        return self.left(now) == 0

    def left(self, now: datetime) -> int | None:
        """How many may still be begun on the day of `now` (aware); None for any number."""
        if self._most is None:
            return None
        today = now.astimezone().date()
        begun = sum(at.astimezone().date() == today for at in self._begun_at)
        return max(0, self._most - begun)

    def copy(self) -> DayPace:
        """One that goes its own way from here."""
        return DayPace(self._most, self._begun_at)


def begun_lately(log: Rows, memory: Memory, student: str, now: datetime) -> tuple[datetime, ...]:
    """When skills were met for the first time within the last two days: the log tells, and memory
    spares asking it of most. Raises LogError as reading a log does."""
    since = now - _LATELY
    since_s = seconds_of(since)
    lately = [skill for skill, belief in memory.beliefs.items() if belief.at_s >= since_s]
    return tuple(log.first_met(student, lately, since))
