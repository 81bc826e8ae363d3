"""What one question is worth: knowledge gained over the days to come, expected beforehand.

The gain is knowledge with the question asked now less knowledge without it, averaged over the time
until the plan can come round to it again (Pavlik & Anderson 2008 choose by such a gain per second),
and what the strength gained is worth in the rounds to come. A round is as long as all that is begun
takes at so many minutes a day: who has little time or has begun much must look further ahead. The
weights come from simulated students.

Days for gaps, seconds since 1970 for moments; a gain is in chances of knowing, 0 to 1.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from scheduler.answer import SECONDS_A_DAY
from scheduler.belief import (
    COMMON_VARIANCE,
    UNHEARD_MEAN,
    UNHEARD_VARIANCE,
    Belief,
    Family,
    expected_after,
    faded,
    gap_days,
)
from scheduler.evidence import expected_sigmoid

ROUND_PARTS = (0.1, 0.3, 0.5, 0.7, 0.9)
"""Where on the way through a round knowledge is looked at."""
LASTING, OPENING = 2.0, 10.0
"""What strength gained is worth in the rounds to come, and a skill begun; in rounds."""
_SHORTEST_ROUND, _LONGEST_ROUND = 0.4, 20.0  # days
NEAR_DAYS, _NEAR_WEIGHT, _FAR_WEIGHT = 3.0, 0.3, 0.09
_FOCUS_DAYS, _FOCUS_WEIGHT = 2.2, 6.0


@dataclass(frozen=True, slots=True)
class Lesson:
    """A lesson to prepare for, and the skills that it is about."""

    at: datetime
    skills: frozenset[str] = frozenset()

    def days_until(self, now: datetime) -> float:
        """Days from `now`; negative once it is over."""
        return (self.at - now).total_seconds() / SECONDS_A_DAY


Terms = tuple[tuple[float, float], ...]


def round_days(seconds: float, minutes: float) -> float:
    """Days until each of the skills begun, `seconds` long in all, can be asked once more."""
    return min(max(seconds / (60.0 * minutes), _SHORTEST_ROUND), _LONGEST_ROUND)


def round_terms(days: float) -> Terms:
    """The (days ahead, weight) of a round of so many days."""
    return tuple((part * days, 1.0 / len(ROUND_PARTS)) for part in ROUND_PARTS)


def lesson_terms(lesson: Lesson | None, now: datetime, *, focus: bool) -> Terms:
    """The (days ahead, weight) that a lesson adds; `focus` for skills that it is about."""
    days = lesson.days_until(now) if lesson else -1.0
    if days <= 0.0:
        return ()
    weight = _NEAR_WEIGHT if days <= NEAR_DAYS else _FAR_WEIGHT
    if focus and days <= _FOCUS_DAYS:
        weight *= _FOCUS_WEIGHT
    return ((days, weight),)


def gain(
    belief: Belief | None, now_s: float, family: Family, terms: Terms, common: float = 0.0
) -> float:
    """Expected gain of asking now, over `terms`, before it is known how the answer turns out."""
    gap = 0.0 if belief is None else gap_days(belief, now_s)
    strength, variance = expected_after(belief, gap, family, common)
    total = lasting = 0.0
    for days, weight in terms:
        after = _known(*faded(strength, variance, days, family), family, common)
        if belief is None:
            before = UNHEARD_MEAN, UNHEARD_VARIANCE
        else:
            before = faded(belief.strength, belief.variance, gap + days, family)
        total += weight * (after - _known(*before, family, common))
        lasting += weight * after * (1.0 - after)
    if belief is None:
        return (1.0 + OPENING) * total
    return total + LASTING * (strength - belief.strength) * lasting


def _known(mean: float, variance: float, family: Family, common: float) -> float:
    return family.said(expected_sigmoid(mean + common, variance + COMMON_VARIANCE))
