"""What one answer says: Bayes' rule for the log-odds of knowing, slips and lucky guesses taken out.

As in knowledge tracing (Corbett & Anderson 1994) and the three-parameter logistic model: who knows
answers rightly but for a slip, who does not is right by luck.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from scheduler.portable import exp, log, sigmoid

SLIP = 0.05
"""Chance of a wrong answer to what is known."""
TOLD = 1.0 - SLIP
"""From such a chance of luck on a right answer is no likelier from knowledge."""
_LOWEST_MEAN = -500.0  # nobody is that ignorant

# Gauss-Hermite rule of 13 points for a standard normal (Abramowitz & Stegun 1964, 25.4.46, scaled).
# Written out, so that no library's last bit can change what is rebuilt from a log.
_HALF_RULE = (
    (0.8566794935194499, 0.23787152296413627),
    (1.7254183795882392, 0.07916895586045),
    (2.620689973432215, 0.011770560505996532),
    (3.5634443802816342, 0.0006812363504429274),
    (4.591398448936521, 1.1526596527333854e-05),
    (5.800167252386501, 2.7226276428058907e-08),
)
RULE = (
    *((-node, weight) for node, weight in reversed(_HALF_RULE)),
    (0.0, 0.34099234099234094),
    *_HALF_RULE,
)
"""Nodes and weights, from the lowest node to the highest."""

# The sigmoid on a grid, read off by straight lines: within 3e-6, and thrice as quick.
_PER_UNIT, _REACH = 64, 32
_GRID = tuple(sigmoid(i / _PER_UNIT - _REACH) for i in range(2 * _REACH * _PER_UNIT + 1))
_LAST = len(_GRID) - 1


def expected_sigmoid(mean: float, variance: float) -> float:
    """The mean of σ(θ) for a normal θ, nearly (MacKay 1992, "The evidence framework")."""
    return sigmoid(mean / math.sqrt(1.0 + math.pi / 8.0 * variance))


def chance_right(known: float, chance: float) -> float:
    """Chance of a right answer, slips and lucky guesses with it."""
    return (1.0 - SLIP) * known + chance * (1.0 - known)


def is_told(chance: float) -> bool:
    """Whether an answer was as good as told, such as to what had just been shown: it says
    nothing."""
    return chance >= TOLD


class Evidence(NamedTuple):
    """What one answer says of the moment at which it was given."""

    mean: float
    variance: float


def weighed(
    mean: float, variance: float, *, credit: float, chance: float, quickness: float = 1.0
) -> Evidence:
    """Bayes' rule for θ ~ N(mean, variance) after an answer of `credit`, by quadrature.

    `quickness` is how many times likelier so quick an answer is from knowledge than from a guess.
    It is bounded so that a right answer, however slow, never speaks against knowledge, nor a wrong
    one, however quick, for it. Part credit is a geometric mean of right and wrong, to the share of
    half the credit: to have an order nearly right takes no knowledge of the whole of it.
    """
    mean = max(mean, _LOWEST_MEAN)
    from_right = (1.0 - SLIP) * max(quickness, chance / (1.0 - SLIP))
    from_wrong = SLIP * min(quickness, (1.0 - chance) / SLIP)
    deviation = math.sqrt(variance)
    if credit >= 1.0:
        sums = _whole(mean, deviation, from_right, chance)
    elif credit <= 0.0:
        sums = _whole(mean, deviation, from_wrong, 1.0 - chance)
    else:
        sums = _part(mean, deviation, (from_right, from_wrong), chance, credit / 2.0)
    total, first, second = sums
    if total <= 0.0:  # an answer that cannot be, such as wrong at a chance of 1, says nothing
        return Evidence(mean, variance)
    first /= total
    spread = max(second / total - first * first, 1e-6)
    return Evidence(mean + deviation * first, variance * spread)


def _whole(
    mean: float, deviation: float, by_knowing: float, by_chance: float
) -> tuple[float, float, float]:
    """Sums over the rule: the likelihood, it times node, times node squared.

    The innermost loop of rebuilding from a log, hence written out.
    """
    grid, slope = _GRID, by_knowing - by_chance
    at_mean, by_node = (mean + _REACH) * _PER_UNIT, deviation * _PER_UNIT
    total = first = second = 0.0
    for node, weight in RULE:
        place = at_mean + by_node * node
        if place <= 0.0:
            knows = grid[0]
        elif place >= _LAST:
            knows = grid[_LAST]
        else:
            cell = int(place)
            low = grid[cell]
            knows = low + (place - cell) * (grid[cell + 1] - low)
        likely = weight * (by_chance + slope * knows)
        total += likely
        likely *= node
        first += likely
        second += likely * node
    return total, first, second


def _part(
    mean: float, deviation: float, by_knowing: tuple[float, float], chance: float, share: float
) -> tuple[float, float, float]:
    """The same sums for part credit: right to the power of `share`, wrong to that of the rest."""
    total = first = second = 0.0
    for node, weight in RULE:
        knows = sigmoid(mean + deviation * node)
        right = by_knowing[0] * knows + chance * (1.0 - knows)
        wrong = by_knowing[1] * knows + (1.0 - chance) * (1.0 - knows)
        if right <= 0.0 or wrong <= 0.0:
            continue
        likely = weight * exp(share * log(right) + (1.0 - share) * log(wrong))
        total += likely
        first += likely * node
        second += likely * node * node
    return total, first, second
