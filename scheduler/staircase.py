"""How fine a deviation a student hears: a threshold in cents, and the next level to ask.

A Bayes posterior over the logarithm of the threshold on a grid, as in QUEST (Watson & Pelli 1983,
"QUEST: a Bayesian adaptive psychometric method"), with the next level at the posterior mean
(King-Smith et al. 1994). The psychometric function is a Weibull function with the chance of a lucky
guess and a lapse. The same trials always give the same answer.

A trial is (level in cents, whether it was answered rightly).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

FINEST_CENTS, COARSEST_CENTS = 2.0, 60.0
"""Levels that are asked."""
SLOPE = 1.6
"""Of the Weibull function; sensitivity in proportion to the deviation gives about 1.3 to 1.8."""
LAPSE = 0.03

# The grid reaches beyond the levels, lest the posterior heap up at an end. In octaves of cents.
_LOWEST, _HIGHEST, _POINTS = math.log2(0.5), math.log2(240.0), 161
_GRID = tuple(_LOWEST + (_HIGHEST - _LOWEST) * i / (_POINTS - 1) for i in range(_POINTS))
_PRIOR_MEAN, _PRIOR_DEVIATION = math.log2(16.0), 1.5
_PRIOR = tuple(-0.5 * ((point - _PRIOR_MEAN) / _PRIOR_DEVIATION) ** 2 for point in _GRID)
_TAIL = 0.05  # on either side of the interval


@dataclass(frozen=True, slots=True)
class Threshold:
    """The deviation heard at about two thirds of the way from luck to certainty, in cents.

    It lies between `low` and `high` at a chance of 90 %; `trials` is how many it rests on.
    """

    cents: float
    low: float
    high: float
    trials: int


def chance_right_at(level_cents: float, *, threshold_cents: float, chance: float) -> float:
    """The psychometric function: chance of a right answer at a level."""
    heard = -math.expm1(-math.exp(SLOPE * math.log(level_cents / threshold_cents)))
    return chance + (1.0 - chance - LAPSE) * heard


def threshold(trials: Sequence[tuple[float, bool]], chance: float) -> Threshold:
    """The threshold after `trials`; with none, what is usual. Raises ValueError for a bad trial."""
    weights = _posterior(trials, chance)
    mean = sum(weight * point for weight, point in zip(weights, _GRID, strict=True))
    low, high = _quantile(weights, _TAIL), _quantile(weights, 1.0 - _TAIL)
    return Threshold(2.0**mean, 2.0**low, 2.0**high, len(trials))


def next_level(trials: Sequence[tuple[float, bool]], chance: float) -> float:
    """The level to ask next, in cents, between FINEST_CENTS and COARSEST_CENTS, to 0.1 cent."""
    best = threshold(trials, chance).cents
    return round(min(max(best, FINEST_CENTS), COARSEST_CENTS), 1)


def _posterior(trials: Sequence[tuple[float, bool]], chance: float) -> list[float]:
    """Weights on the grid, in sum 1."""
    if not 0.0 <= chance < 1.0 - LAPSE:
        raise ValueError(f"chance={chance!r} must lie in 0 to {1.0 - LAPSE}: offer more choices")
    logs = list(_PRIOR)
    for level_cents, right in trials:
        if not (math.isfinite(level_cents) and level_cents > 0.0):
            raise ValueError(f"level {level_cents!r} cents must be above 0")
        likely = _log_likelihood(float(level_cents), bool(right), chance)
        logs = [log + more for log, more in zip(logs, likely, strict=True)]
    highest = max(logs)
    weights = [math.exp(value - highest) for value in logs]
    total = sum(weights)
    return [weight / total for weight in weights]


@lru_cache(maxsize=1024)  # a staircase asks about its earlier trials again and again
def _log_likelihood(level_cents: float, right: bool, chance: float) -> tuple[float, ...]:
    """Of one trial, along the grid."""
    likely = (
        chance_right_at(level_cents, threshold_cents=2.0**point, chance=chance) for point in _GRID
    )
    return tuple(math.log(max(p if right else 1.0 - p, 1e-300)) for p in likely)


def _quantile(weights: Sequence[float], share: float) -> float:
    """Where the posterior's sum reaches `share`, in octaves of cents."""
    below = 0.0
    for weight, point in zip(weights, _GRID, strict=True):
        if below + weight >= share:
            step = (_HIGHEST - _LOWEST) / (_POINTS - 1)
            return point - step / 2.0 + step * (share - below) / weight
        below += weight
    return _HIGHEST
