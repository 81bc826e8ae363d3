"""One made-up student: what is true of their memory, how they guess, slip, hear and how quickly.

Assumed throughout: 15 % known before; slips 2 to 8 %; who does not know leans towards the rivals
that they take for it, and sees through one of several wrong choices now and then, which lifts true
luck a little above one in so many choices; times lognormal, slower and more spread when guessing.

The luck of the n-th meeting of a skill is the same whoever chooses what is met, so that two ways of
choosing can be compared student by student.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from scheduler import Item
from tests.benchmarks.simulated.course import choices_of
from tests.benchmarks.simulated.worlds import WORLDS, Traits, World

KNOWN_BEFORE = 0.15
_MEETINGS_A_BLOCK = 32
_KNEW, _SLIP, _SEES_THROUGH, _ABSURD, _CHOSEN, _SHOWN = 0, 1, 2, 3, 4, 5
_MOST_RIVALS = 7
_USUAL_MS = {"perception": 2600.0, "facts": 2200.0, "orders": 6000.0}


class Reply(NamedTuple):
    """What came of one question."""

    right: bool
    heard: int | None
    """The skill chosen instead, by number."""
    response_ms: int
    known: float
    """Chance that it was known just before."""
    chance_right: float
    """Chance that the answer would be right, by the true model, for these choices."""


class Student:
    """A student in one world; `seed` makes all that is true of them."""

    def __init__(self, items: Sequence[Item], world: str, seed: int) -> None:
        rng = np.random.default_rng([seed, 11])
        n = len(items)
        own, lasting = _shared(items, rng, (0.30, 0.20, 0.20)), _shared(items, rng, (0.1, 0.3, 0.2))
        known_before = lasting > np.quantile(lasting, 1.0 - KNOWN_BEFORE)
        traits = Traits(
            families=tuple(item.family for item in items),
            kinds=tuple(item.kind for item in items),
            ease=own,
            before=known_before,
            rng=np.random.default_rng([seed, 12]),
        )
        self.world: World = WORLDS[world](traits)
        self.slip = float(rng.uniform(0.02, 0.08))
        self.sees_through = float(rng.uniform(0.10, 0.30))
        self.pace = float(np.exp(rng.normal(0.0, 0.3)))
        clusters: dict[str, list[int]] = {}
        for i, item in enumerate(items):
            clusters.setdefault(item.cluster, []).append(i)
        self._rivals = [
            [j for j in clusters[item.cluster] if j != i] for i, item in enumerate(items)
        ]
        self._leaning = [
            dict(zip(rivals, np.exp(rng.normal(-0.15, 0.6, len(rivals))).tolist(), strict=True))
            for rivals in self._rivals
        ]
        self._shown = [choices_of(item) - 1 for item in items]
        self._usual_ms = [_USUAL_MS[item.family] * self.pace for item in items]
        self._meetings = [0] * n
        self._seed, self._lucks, self._normals = seed, [], []

    def answer(self, i: int, day: float, *, learns: bool = True) -> Reply:
        """Ask skill `i` and explain it."""
        luck, normal = self._luck(i)
        known = self.world.known_of(i, day)
        knew = luck[_KNEW] < known
        shown = self._offered(i, luck)
        leaning = self._leaning[i]
        weights = [leaning[j] for j in shown]
        total = sum(weights)
        if knew:
            right = luck[_SLIP] >= self.slip
            heard = None if right else _drawn(shown, weights, luck[_CHOSEN] * total)
        else:
            if len(shown) > 1 and luck[_SEES_THROUGH] < self.sees_through:
                absurd = int(luck[_ABSURD] * len(shown))
                shown, weights = shown[:absurd] + shown[absurd + 1 :], list(weights)
                total -= weights.pop(absurd)
            at = luck[_CHOSEN] * (1.0 + total) - 1.0
            right = at < 0.0
            heard = None if right else _drawn(shown, weights, at)
        by_true_model = known * (1.0 - self.slip) + (1.0 - known) * self.true_luck(i, luck)
        if learns:
            self.world.meet(i, day, knew)
        log_spread = 0.35 * normal if knew else 0.4 + 0.55 * normal
        response_ms = int(self._usual_ms[i] * np.exp(log_spread))
        return Reply(right, heard, response_ms, known, by_true_model)

    def true_luck(self, i: int, luck: Sequence[float]) -> float:
        """Chance that a guess is right, for the choices that this luck offers."""
        weights = [self._leaning[i][j] for j in self._offered(i, luck)]
        total = sum(weights)
        if len(weights) == 1:
            return 1.0 / (1.0 + total)
        seen = sum(1.0 / (1.0 + total - weight) for weight in weights) / len(weights)
        return (1.0 - self.sees_through) / (1.0 + total) + self.sees_through * seen

    def _offered(self, i: int, luck: Sequence[float]) -> list[int]:
        """The wrong choices: rivals of the cluster, drawn anew for each question."""
        rivals = self._rivals[i]
        keys = luck[_SHOWN : _SHOWN + len(rivals)]
        order = sorted(range(len(rivals)), key=keys.__getitem__)
        return [rivals[k] for k in order[: self._shown[i]]]

    def _luck(self, i: int) -> tuple[list[float], float]:
        """Uniform draws and one normal draw for the next meeting of skill `i`."""
        block, place = divmod(self._meetings[i], _MEETINGS_A_BLOCK)
        self._meetings[i] += 1
        while len(self._lucks) <= block:
            rng = np.random.default_rng([self._seed, 13, len(self._lucks)])
            shape = (len(self._meetings), _MEETINGS_A_BLOCK)
            self._lucks.append(rng.random((*shape, _SHOWN + _MOST_RIVALS)))
            self._normals.append(rng.normal(size=shape))
        return self._lucks[block][i, place].tolist(), float(self._normals[block][i, place])


def _drawn(among: list[int], weights: list[float], at: float) -> int:
    for j, weight in zip(among, weights, strict=True):
        at -= weight
        if at < 0.0:
            return j
    return among[-1]


def _shared(
    items: Sequence[Item], rng: np.random.Generator, parts: tuple[float, float, float]
) -> np.ndarray:
    """Standard normal numbers, `parts` of whose variance student, kin and cluster share."""
    student, kin, cluster = parts
    kins = [item.kin or item.skill for item in items]
    clusters = [item.cluster for item in items]
    total = rng.normal() * np.sqrt(student) + rng.normal(size=len(items)) * np.sqrt(1 - sum(parts))
    for names, part in ((kins, kin), (clusters, cluster)):
        drawn = {name: rng.normal() for name in dict.fromkeys(names)}
        total = total + np.sqrt(part) * np.array([drawn[name] for name in names])
    return np.asarray(total)
