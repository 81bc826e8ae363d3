"""Which reason stands behind a question that the general rule, most gain a second, has chosen."""

from __future__ import annotations

from datetime import datetime

from scheduler.gain import NEAR_DAYS, Lesson
from scheduler.memory import Memory
from scheduler.reason import Reason, whole_days

_CONFUSED_OFTEN = 2  # times within a week
TAKEN_FOR = 0.5
"""The fading count from which one skill counts as taken for another."""
_STILL_KNOWN = 0.85


def reason_for(skill: str, memory: Memory, now: datetime, *, lesson: Lesson | None) -> Reason:
    """Why `skill`, once begun, is asked."""
    for other, _ in memory.confusions(skill, now)[:1]:
        times = memory.times_heard(skill, other, now)
        if times >= _CONFUSED_OFTEN:
            return Reason("confused", (times,), (other,))
    if lesson and skill in lesson.skills and 0.0 < lesson.days_until(now) <= NEAR_DAYS:
        return Reason("lesson", (whole_days(lesson.days_until(now)),))
    belief, known = memory.beliefs[skill], memory.knowledge(skill, now)
    days = whole_days(memory.days_since(skill, now) or 0.0)
    word = memory.state(skill, now)
    if belief.missed:
        return Reason("missed before", (days,))
    if word == "shaky" and belief.right < belief.asked:
        return Reason("shaky", (belief.right, belief.asked))
    if days >= 1 and known < _STILL_KNOWN:
        return Reason("fading", (days, round(100 * known)))
    if word == "firm":
        taken = _taken_for(skill, memory, now)
        return Reason("heard for", skills=(taken,)) if taken else Reason("firm", (days,))
    return Reason("coming", (belief.met,))


def _taken_for(skill: str, memory: Memory, now: datetime) -> str:
    """The skill for which this one was heard most often of late; "" where there is none."""
    counts = {
        other: dict(memory.confusions(other, now))[skill]
        for other, heard in memory.heard.items()
        if skill in heard
    }
    worst = max(counts, key=lambda other: counts[other], default="")
    return worst if counts.get(worst, 0.0) >= TAKEN_FOR else ""
