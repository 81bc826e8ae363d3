"""Our own planning as a way of choosing, through what the scheduler offers to all."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from scheduler import Item, Lesson, Meeting, Memory, Plan, families_of, kin_of
from tests.benchmarks.simulated.practice import Make


class Ours:
    """A memory that follows the answers, and each day a plan."""

    def __init__(self, items: Sequence[Item], seed: int, *, told: bool = True) -> None:
        self._items, self._seed, self._told = tuple(items), seed, told
        self._memory = Memory.rebuilt([], families=families_of(items), kin=kin_of(items))
        self._plan: Plan | None = None

    def begin(self, now: datetime, seconds: float, lesson: Lesson | None) -> None:
        if self._plan:
            self._memory = self._plan.memory
        self._plan = Plan(
            self._items,
            self._memory,
            minutes=seconds / 60.0,
            started=now,
            seed=self._seed,
            lesson=lesson if self._told else None,
        )

    def pick(self, now: datetime, seconds_left: float) -> Item | None:
        assert self._plan
        pick = self._plan.pick(now, seconds_left=seconds_left)
        return pick and pick.item

    def answered(self, meeting: Meeting) -> None:
        assert self._plan
        self._plan.answered(meeting)

    def predict(self, skill: str, now: datetime, chance: float) -> float | None:
        assert self._plan
        return self._plan.memory.predict(skill, now, chance)


WAYS: dict[str, Make] = {
    "ours": Ours,
    "ours, lessons untold": lambda items, seed: Ours(items, seed, told=False),
}
