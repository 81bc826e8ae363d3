"""Fresh material from a seed: the same seed gives the same question on any machine.

Only `random.Random.random` is drawn from, since its sequence is promised to stay; the ready-made
choosing and shuffling of the library is not.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import TypeVar

from audio.score import Stroke
from audio.tuning import Swara, Tuning

T = TypeVar("T")

LEVEL_SPREAD_DB = 1.0
"""Every note is louder or softer by up to this at random, so that level never tells."""

BRIGHTNESS_SPREAD = 0.6


class Fresh:
    """A seeded source of the small differences that make a question new."""

    def __init__(self, skill: str, seed: int) -> None:
        self._random = random.Random(f"{skill}|{seed}")

    def between(self, low: float, high: float) -> float:
        return low + (high - low) * self._random.random()

    def one_of(self, things: Sequence[T]) -> T:
        return things[int(self._random.random() * len(things))]

    def shuffled(self, things: Sequence[T]) -> list[T]:
        rest = list(things)
        return [rest.pop(int(self._random.random() * len(rest))) for _ in range(len(rest))]

    def weighted(self, things: Sequence[T], weights: Sequence[float], count: int) -> list[T]:
        """`count` different things, each the likelier the greater its weight."""
        if count == 1 and things:
            return [things[self._marked(weights)]]
        rest, left = list(things), list(weights)
        chosen: list[T] = []
        while rest and len(chosen) < count:
            index = self._marked(left)
            chosen.append(rest.pop(index))
            left.pop(index)
        return chosen

    def _marked(self, weights: Sequence[float]) -> int:
        """One of the places, each the likelier the greater its weight."""
        mark = self._random.random() * sum(weights)
        for index, weight in enumerate(weights):
            if mark < weight:
                return index
            mark -= weight
        return len(weights) - 1

    def moved_sa(self, sa_hz: float, *, semitones: float) -> float:
        """Sa moved up or down by up to so many semitones, so that absolute pitch does not help."""
        return float(round(sa_hz * 2 ** (self.between(-semitones, semitones) / 12), 3))

    def stroke(self, cents: float, *, onset_s: float, duration_s: float) -> Stroke:
        """A plain stroke with a level and a brightness of its own."""
        return Stroke(
            onset_s=round(onset_s, 4),
            duration_s=round(duration_s, 4),
            path=((0.0, cents),),
            level_db=round(self.between(-LEVEL_SPREAD_DB, LEVEL_SPREAD_DB), 2),
            brightness=round(self.between(-BRIGHTNESS_SPREAD, BRIGHTNESS_SPREAD), 2),
        )


def plain_strokes(
    swaras: Sequence[Swara], tuning: Tuning, *, spacing_s: float = 0.9, last_s: float = 1.6
) -> tuple[Stroke, ...]:
    """Swaras one after the other, evenly, as an explanation plays them."""
    return tuple(
        Stroke(
            onset_s=index * spacing_s,
            duration_s=last_s if index == len(swaras) - 1 else spacing_s,
            path=((0.0, tuning.cents_of(swara)),),
        )
        for index, swara in enumerate(swaras)
    )
