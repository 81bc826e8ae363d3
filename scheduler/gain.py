"""What one question is worth: knowledge gained over the days to come, expected beforehand.

The gain is the weighted sum, over horizons of some hours to two weeks, of the knowledge then with
the question asked now less the knowledge then without it (Pavlik & Anderson 2008 choose by such a
gain per second). The horizons' weights and those of a lesson come from simulated students.

Days for gaps, seconds since 1970 for moments; a gain is in chances of knowing, 0 to 1.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from scheduler.belief import (
    Belief,
    Family,
    expected_after,
    expected_sigmoid,
    faded,
    gap_days,
    knowledge,
)

HORIZONS = ((0.4, 0.2), (1.4, 0.4), (3.4, 0.2), (7.4, 0.1), (14.4, 0.1))
"""(days ahead, weight)."""
_NEAR_DAYS, _NEAR_WEIGHT, _FAR_WEIGHT = 3.0, 0.3, 0.09
_FOCUS_DAYS, _FOCUS_WEIGHT = 2.2, 6.0
_SECONDS_A_DAY = 86_400.0


@dataclass(frozen=True, slots=True)
class Lesson:
    """A lesson to prepare for, and the skills that it is about."""

    at: datetime
    skills: frozenset[str] = frozenset()

    def days_until(self, now: datetime) -> float:
        """Days from `now`; negative once it is over."""
        return (self.at - now).total_seconds() / _SECONDS_A_DAY


Terms = tuple[tuple[float, float], ...]


def lesson_terms(lesson: Lesson | None, now: datetime, *, focus: bool) -> Terms:
    """The (days ahead, weight) that a lesson adds; `focus` for skills that it is about."""
    days = lesson.days_until(now) if lesson else -1.0
    if days <= 0.0:
        return ()
    weight = _NEAR_WEIGHT if days <= _NEAR_DAYS else _FAR_WEIGHT
    if focus and days <= _FOCUS_DAYS:
        weight *= _FOCUS_WEIGHT
    return ((days, weight),)


def gain(belief: Belief | None, now_s: float, family: Family, terms: Terms = HORIZONS) -> float:
    """Expected gain of asking now, over `terms`, before it is known how the answer turns out."""
    gap = 0.0 if belief is None else gap_days(belief, now_s)
    strength, variance = expected_after(belief, gap, family)
    total = 0.0
    for days, weight in terms:
        total += weight * expected_sigmoid(*faded(strength, variance, days, family))
        if belief is None:
            total -= weight * knowledge(None, now_s, family)
        else:
            total -= weight * expected_sigmoid(
                *faded(belief.strength, belief.variance, gap + days, family)
            )
    return total
