"""How the questions just asked bear on the next: kinds and clusters are mixed.

Kinds are interleaved (Rohrer & Taylor 2007); skills of one perceptual cluster are kept near each
other but not in a row (Carvalho & Goldstone: similar ones gain from being set side by side).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from scheduler.answer import Item
from scheduler.today import Today
from scheduler.worths import Floats

_WEARS_AFTER = 3  # times asked; then the others have their turn
_CLUSTER_NEAR, _NEAR_FACTOR, _ROW_FACTOR = 6, 1.3, 0.5


class Mixture:
    """Of which kind and cluster each item is, in the order of the items."""

    def __init__(self, items: Sequence[Item]) -> None:
        self._place = {item.skill: number for number, item in enumerate(items)}
        self._kinds = {kind: n for n, kind in enumerate({item.kind: None for item in items})}
        self._clusters = {one: n for n, one in enumerate({item.cluster: None for item in items})}
        self._kind = np.array([self._kinds[item.kind] for item in items])
        self._cluster = np.array([self._clusters[item.cluster] for item in items])
        self._is_perception = np.array([item.family == "perception" for item in items])

    def is_not(self, kind: str) -> NDArray[np.bool_]:
        """Which items are of another kind."""
        others: NDArray[np.bool_] = self._kind != self._kinds[kind]
        return others

    def factors(self, today: Today) -> Floats:
        """What the gain of each item is multiplied by."""
        factors = np.ones(len(self._kind))
        near = {self._clusters[item.cluster] for item in today.items[-_CLUSTER_NEAR:]}
        factors[np.isin(self._cluster, list(near)) & self._is_perception] = _NEAR_FACTOR
        last = today.items[-2:]
        if len(last) == 2:
            if last[0].cluster == last[1].cluster:
                factors[self._cluster == self._clusters[last[1].cluster]] *= _ROW_FACTOR
            if last[0].kind == last[1].kind:
                factors[self._kind == self._kinds[last[1].kind]] *= _ROW_FACTOR
        for skill, tally in today.tallies.items():
            if tally.asked > _WEARS_AFTER:
                factors[self._place[skill]] *= _WEARS_AFTER / tally.asked
        return factors
