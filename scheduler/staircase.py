"""How fine a difference a student hears: a threshold, and the next level to ask.

A Bayes posterior over the logarithm of the threshold on a grid, as in QUEST (Watson & Pelli 1983,
"QUEST: a Bayesian adaptive psychometric method"), with the next level at the posterior mean
(King-Smith et al. 1994). The psychometric function is a Weibull function with the chance of a lucky
guess and a lapse. The same trials always give the same answer.

A level is in whatever unit its `Scale` is in.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

SLOPE = 1.6
"""Of the Weibull function; sensitivity in proportion to the deviation gives about 1.3 to 1.8."""
LAPSE = 0.03

# The grid reaches beyond the levels, lest the posterior heap up at an end. In octaves of what is
# typical.
_LOWEST, _HIGHEST, _POINTS = -5.0, 4.0, 163
_GRID = tuple(_LOWEST + (_HIGHEST - _LOWEST) * i / (_POINTS - 1) for i in range(_POINTS))
_PRIOR_DEVIATION = 1.5
_PRIOR = tuple(-0.5 * (point / _PRIOR_DEVIATION) ** 2 for point in _GRID)
_TAIL = 0.05  # on either side of the interval


@dataclass(frozen=True, slots=True)
class Scale:
    """The levels that are asked, from `finest` to `coarsest`, and the threshold that is expected
    of a student of whom nothing is known; all in one unit."""

    finest: float
    coarsest: float
    typical: float


@dataclass(frozen=True, slots=True)
class Trial:
    """A level that was asked, whether it was answered rightly, and the chance of a lucky guess.

    Raises ValueError for what could be no trial, or one that says nothing.
    """

    level: float
    right: bool
    chance: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.level) and self.level > 0.0):
            raise ValueError(f"level {self.level!r} must be above 0")
        if not 0.0 <= self.chance < 1.0 - LAPSE:
            raise ValueError(
                f"chance={self.chance!r} must lie in 0 to {1.0 - LAPSE}: offer more choices"
            )


@dataclass(frozen=True, slots=True)
class Threshold:
    """The difference heard at about two thirds of the way from luck to certainty.

    It lies between `low` and `high` at a chance of 90 %; `trials` is how many it rests on.
    """

    level: float
    low: float
    high: float
    trials: int


def chance_right_at(level: float, *, threshold: float, chance: float) -> float:
    """The psychometric function: chance of a right answer at a level."""
    heard = -math.expm1(-math.exp(SLOPE * math.log(level / threshold)))
    return chance + (1.0 - chance - LAPSE) * heard


def threshold(trials: Sequence[Trial], scale: Scale) -> Threshold:
    """The threshold after `trials`; with none, what is usual."""
    weights = _posterior(trials, scale.typical)
    mean = sum(weight * point for weight, point in zip(weights, _GRID, strict=True))
    low, high = _quantile(weights, _TAIL), _quantile(weights, 1.0 - _TAIL)
    level, least, most = (scale.typical * 2.0**octaves for octaves in (mean, low, high))
    return Threshold(level, least, most, len(trials))


def next_level(trials: Sequence[Trial], scale: Scale) -> float:
    """The level to ask next, within the scale, to three figures."""
    best = threshold(trials, scale).level
    return float(f"{min(max(best, scale.finest), scale.coarsest):.3g}")


def _posterior(trials: Sequence[Trial], typical: float) -> list[float]:
    """Weights on the grid, in sum 1."""
    logs = list(_PRIOR)
    for trial in trials:
        likely = _log_likelihood(trial.level / typical, trial.right, trial.chance)
        logs = [log + more for log, more in zip(logs, likely, strict=True)]
    highest = max(logs)
    weights = [math.exp(value - highest) for value in logs]
    total = sum(weights)
    return [weight / total for weight in weights]


@lru_cache(maxsize=1024)  # a staircase asks about its earlier trials again and again
def _log_likelihood(level: float, right: bool, chance: float) -> tuple[float, ...]:
    """Of one trial, along the grid; the level is a multiple of what is typical."""
    likely = (chance_right_at(level, threshold=2.0**point, chance=chance) for point in _GRID)
    return tuple(math.log(max(p if right else 1.0 - p, 1e-300)) for p in likely)


def _quantile(weights: Sequence[float], share: float) -> float:
    """Where the posterior's sum reaches `share`, in octaves of what is typical."""
    below = 0.0
    for weight, point in zip(weights, _GRID, strict=True):
        if below + weight >= share:
            step = (_HIGHEST - _LOWEST) / (_POINTS - 1)
            return point - step / 2.0 + step * (share - below) / weight
        below += weight
    return _HIGHEST
