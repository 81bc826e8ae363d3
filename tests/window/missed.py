"""A student who has begun a course, and missed and confused some of it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from scheduler import Meeting


def with_misses(practice) -> None:
    """Let the student have met the first skills of the course, and missed and confused some."""
    items, met = practice._items[:20], []
    for day in (2, 1):
        for number, item in enumerate(items):
            right = day == 2 or number % 4 > 0
            at = datetime.now(UTC) - timedelta(days=day) + timedelta(seconds=12 * number)
            met.append(
                Meeting(
                    skill=item.skill,
                    kind=item.kind,
                    credit=1.0 if right else 0.0,
                    heard=None if right else items[number + 1].skill,
                    chance=item.chance,
                    response_ms=2500,
                    utc_ms=round(at.timestamp() * 1000),
                    monotonic_s=12.0 * number,
                    device="tablet",
                    session=f"day {day}",
                )
            )
    for one in met:
        practice._memory = practice._memory.after(one)
