"""The library ebisu as a peer; the only module that knows its words.

Times are in days. The library fails where no time has passed, so a gap counts a minute at least.
"""

from __future__ import annotations

from collections.abc import Sequence

import ebisu
import numpy as np

from scheduler import Item, Meeting
from tests.benchmarks.simulated.peers.choosing import (
    SLIP,
    Moments,
    Peer,
    Places,
    longest_ago,
    was_right,
)
from tests.benchmarks.simulated.peers.recall import beta_curve

Model = tuple[float, float, float]
"""Recall is Beta(the first, the second) after so many days."""

_LEAST_GAP, _LONGEST_GAP = 1 / 1440, 36500.0


class EbisuWay(Peer):
    """A new skill has the given half-life, and Beta(alpha, alpha) of recall after it.

    `target` None asks what is recalled least; else what is nearest to it. What is new comes once
    everything begun is recalled at `new_above` or better. `with_luck` tells the library the chance
    of luck, slips and part credit.
    """

    def __init__(
        self,
        items: Sequence[Item],
        seed: int,
        *,
        with_luck: bool,
        half_life: float = 1.0,
        alpha: float = 3.0,
        target: float | None = None,
        new_above: float = 0.5,
        new_a_day: float | None = None,
    ) -> None:
        super().__init__(items, new_a_day=new_a_day)
        self._with_luck = with_luck
        self._target, self._new_above = target, new_above
        # One row each: alpha, beta, days.
        first = ebisu.defaultModel(half_life, alpha)
        self._models = np.repeat(np.array(first)[:, np.newaxis], len(self.items), axis=1)

    def choose(self, now: float, may: Places, fresh: int | None) -> int | None:
        begun, recall = may & self.met, self._recall(now)
        if fresh is not None and recall.min(where=begun, initial=1.0) >= self._new_above:
            return fresh
        value = -recall if self._target is None else -np.abs(recall - self._target)
        return longest_ago(begun, value, self.met_at)

    def learn(self, place: int, at: float, meeting: Meeting) -> None:
        prior: Model = tuple(float(value) for value in self._models[:, place])
        gap = max(at - self.met_at[place], _LEAST_GAP)
        if not self._with_luck:
            posterior = updated(prior, float(was_right(meeting)), gap)
        elif abs(meeting.credit - 0.5) < 1e-6 or meeting.chance >= 1.0 - SLIP:
            return  # says nothing
        else:
            result, luck = evidence(meeting.credit, meeting.chance)
            posterior = updated(prior, result, gap, luck)
        self._models[:, place] = posterior

    def known(self, place: int, now: float) -> float | None:
        return float(self._recall(now)[place]) if self.met[place] else 0.0

    def _recall(self, now: float) -> Moments:
        alpha, beta, days = self._models
        gaps = np.where(self.met, np.maximum(now - self.met_at, 0.0), 0.0)
        return beta_curve(gaps, alpha=alpha, beta=beta, unit=days)


def evidence(credit: float, luck: float) -> tuple[float, float]:
    """What the library wants of an answer: its `successes` and its `q0`.

    Of a known skill an answer is right at 1 - slip, of another at `luck`; part credit mixes the
    likelihood of a right answer with that of a wrong one.
    """
    if_known = credit * (1.0 - SLIP) + (1.0 - credit) * SLIP
    if_not = credit * luck + (1.0 - credit) * (1.0 - luck)
    return if_known, if_not if credit > 0.5 else 1.0 - if_not


def updated(prior: Model, result: float, gap: float, luck: float | None = None) -> Model:
    """The library's model after an answer, at its new half-life.

    Where an answer surprises the library so much that it fails, it is told that more time had
    passed, as its documentation asks; where that does not help, nothing is learnt.
    """
    while gap < _LONGEST_GAP:
        try:
            return ebisu.updateRecall(prior, result, 1, gap, q0=luck)
        except (AssertionError, ValueError, ArithmeticError):
            gap *= 4.0
    return prior
