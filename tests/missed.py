"""A student who has begun a course, and missed and confused some of it."""

from __future__ import annotations

from datetime import timedelta

from scheduler import Answer


def miss_some(practice) -> None:
    """Let the student have met the first skills of the course on the last two days, and yesterday
    have missed each fourth and taken it for the next."""
    items, answers = practice._items[:20], []
    for day in (2, 1):
        for number, item in enumerate(items):
            right = day == 2 or number % 4 > 0
            answers.append(
                Answer(
                    student=practice.settings.student_id,
                    skill=item.skill,
                    kind=item.kind,
                    seed=1,
                    setting={},
                    choices=("this", "that"),
                    right=("this",),
                    given="this" if right else "that",
                    credit=1.0 if right else 0.0,
                    heard=None if right else items[number + 1].skill,
                    chance=item.chance,
                    predicted=0.5,
                    reason="new",
                    response_ms=2500,
                    utc=practice._now() - timedelta(days=day, seconds=-12 * number),
                    offset_min=0,
                    monotonic_s=12.0 * number,
                    device="tablet",
                    session=f"day {day}",
                )
            )
    practice._log.append_all(answers)
    practice._remember()
