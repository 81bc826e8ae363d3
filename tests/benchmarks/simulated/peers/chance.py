"""Peers that look at no answer: at random, and in turn."""

from __future__ import annotations

import random
from collections.abc import Sequence

import numpy as np

from scheduler import Item
from tests.benchmarks.simulated.peers.choosing import Peer, Places, longest_ago


class AtRandom(Peer):
    """Any skill of the course, from the first day."""

    def __init__(self, items: Sequence[Item], seed: int) -> None:
        super().__init__(items)
        self._random = random.Random(f"at random {seed}")

    def choose(self, now: float, may: Places, fresh: int | None) -> int | None:
        places = np.flatnonzero(may)
        return int(self._random.choice(places)) if len(places) else None


class InTurn(Peer):
    """What may be new today, then what was met longest ago.

    With `new_a_day` None this is round robin over the whole course, begun at once.
    """

    def __init__(self, items: Sequence[Item], seed: int, *, new_a_day: float | None = None) -> None:
        super().__init__(items, new_a_day=new_a_day)

    def choose(self, now: float, may: Places, fresh: int | None) -> int | None:
        if fresh is not None:
            return fresh
        return longest_ago(may & self.met, np.zeros(len(self.items)), self.met_at)
