"""Weak spots: what a student has begun and cannot yet be sure of, the worst first.

A skill begun is weak when it is shaky, was missed when last asked, or is taken for another one
begun, or that for it, with a fading count of a half or more. How bad that is: the chance that it is
not known now, and those counts. What is confused stands together, as bad as the worse of the two.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from scheduler.answer import Item
from scheduler.memory import Memory
from scheduler.why import TAKEN_FOR

MOST = 24
"""Of more weak spots than these the worst are taken: a practice holds no more."""
_BESIDE = 2
"""So many that one is taken for stand next to it; others have a place of their own."""


def weak_spots(items: Sequence[Item], memory: Memory, now: datetime) -> tuple[Item, ...]:
    """The weak spots among `items` at `now`, the worst first; among equals as in `items`.

    Both sides of a confused pair are in it, side by side, even where one is firm; so there may be
    two more than `MOST`.
    """
    begun = {item.skill: item for item in items if item.skill in memory.beliefs}
    taken = _confusions(begun, memory, now)
    badness = {
        skill: 1.0 - memory.knowledge(skill, now) + sum(taken.get(skill, {}).values())
        for skill in begun
        if skill in taken or memory.beliefs[skill].missed or memory.state(skill, now) == "shaky"
    }
    found: dict[str, Item] = {}
    for skill in sorted(badness, key=lambda skill: -badness[skill]):
        if len(found) >= MOST:
            break
        beside = taken.get(skill, {})
        worst = sorted(beside, key=lambda other: -beside[other])[:_BESIDE]
        found.update((one, begun[one]) for one in (skill, *worst) if one not in found)
    return tuple(found.values())


def _confusions(
    begun: dict[str, Item], memory: Memory, now: datetime
) -> dict[str, dict[str, float]]:
    """Skill → skill that it is taken for, or that is taken for it → how often, of late."""
    counts: dict[str, dict[str, float]] = {}
    for asked, heard, count in memory.pairs(now):
        if asked in begun and heard in begun and asked != heard:
            for one, other in ((asked, heard), (heard, asked)):
                both = counts.setdefault(one, {})
                both[other] = both.get(other, 0.0) + count
    return {
        skill: kept
        for skill, others in counts.items()
        if (kept := {other: count for other, count in others.items() if count >= TAKEN_FOR})
    }
