"""The settings that the search found, and the peers made with them."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Sequence
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import NamedTuple

from scheduler import Item, Lesson, Meeting
from tests.benchmarks.simulated.peers.table import PEERS, Settings
from tests.benchmarks.simulated.practice import Make, Way

PATH = Path(__file__).with_name("settings.toml")
PACED = ", paced"
NEW_A_MINUTE = 1.25
"""A peer "paced" brings in no more new skills a day than our plan does at most: so many for each
minute of practice. Our plan holds them back for the sake of who practises; as found, peers begin
the whole course in the first week, which J rewards."""
ALL = "all"
"""In place of a world's name: the best over all worlds."""


class Found(NamedTuple):
    """One row of the file."""

    peer: str
    minutes: float
    world: str
    j: float
    settings: Settings


def _read() -> list[Found]:
    with PATH.open("rb") as file:
        return [Found(**row) for row in tomllib.load(file)["found"]]


FOUND = _read()
BUDGETS = tuple(sorted({row.minutes for row in FOUND}))


def ways(minutes: float) -> dict[str, Make]:
    """All peers, with the settings best over all worlds at the budget nearest to `minutes`."""
    return _made(ALL, minutes)


def hindsight(world: str, minutes: float) -> dict[str, Make]:
    """All peers, each with the settings best in `world` alone."""
    return _made(world, minutes)


def _made(world: str, minutes: float) -> dict[str, Make]:
    nearest = min(BUDGETS, key=lambda budget: abs(budget - minutes))
    rows = [row for row in FOUND if (row.world, row.minutes) == (world, nearest)]
    made = {row.peer: PEERS[row.peer].make(row.settings) for row in rows}
    for row in rows:
        if "new_a_day" in PEERS[row.peer].space:
            own = row.settings.get("new_a_day") or math.inf
            most = {"new_a_day": min(own, NEW_A_MINUTE * minutes)}
            made[row.peer + PACED] = PEERS[row.peer].make({**row.settings, **most})
    return made


class ForBudget:
    """The peer of a name, with the settings found for the time that its first day has."""

    def __init__(self, peer: str, items: Sequence[Item], seed: int) -> None:
        self._peer, self._items, self._seed = peer, items, seed
        self._way: Way | None = None

    def begin(self, now: datetime, seconds: float, lesson: Lesson | None) -> None:
        if self._way is None:
            self._way = ways(seconds / 60.0)[self._peer](self._items, self._seed)
        self._way.begin(now, seconds, lesson)

    def pick(self, now: datetime, seconds_left: float) -> Item | None:
        assert self._way
        return self._way.pick(now, seconds_left)

    def answered(self, meeting: Meeting) -> None:
        assert self._way
        self._way.answered(meeting)

    def predict(self, skill: str, now: datetime, chance: float) -> float | None:
        assert self._way
        return self._way.predict(skill, now, chance)


WAYS: dict[str, Make] = {peer: partial(ForBudget, peer) for peer in ways(BUDGETS[0])}
"""All peers by the name that is printed."""


def _best_by_world() -> dict[tuple[str, float], tuple[str, Make]]:
    best: dict[tuple[str, float], Found] = {}
    for row in FOUND:
        if row.world != ALL and PEERS[row.peer].library:
            key = row.world, row.minutes
            best[key] = max(best.get(key, row), row, key=lambda found: found.j)
    return {key: (row.peer, PEERS[row.peer].make(row.settings)) for key, row in best.items()}


BEST_BY_WORLD = _best_by_world()
"""The library, with its settings, that is best by (world, minutes a day), with hindsight."""
