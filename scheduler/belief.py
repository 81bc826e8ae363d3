"""The belief about one skill: how firmly it is known, how that fades, what an answer says of it.

Knowing a skill has a log-odds θ, believed to be normal. At the last meeting its mean is the
strength and its variance the variance; since then the mean falls with the logarithm of time, so
that the odds fall by a power law (Wixted & Ebbesen 1991; the activation of Pavlik & Anderson 2008
has the same shape), and the variance widens. An answer moves it by Bayes' rule with slips and lucky
guesses taken out, as in knowledge tracing (Corbett & Anderson 1994) and the three-parameter
logistic model. The figures are fitted to simulated students, not to real ones.

Gaps are in days, times in seconds since 1970 in UTC; "known" and "knowledge" are chances, 0 to 1.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

SLIP = 0.05
"""Chance of a wrong answer to what is known."""
_SHORT_DAYS = 0.01  # about a quarter of an hour: forgetting sets in after it
_WIDENING = 0.06  # standard deviation gained with each e-fold of time
_DRIFT, _WIDEST = 0.08, 4.0  # variance added by each meeting, and its bound
_UNHEARD_MEAN, _UNHEARD_VARIANCE = -1.8, 5.0
_UNHEARD_SPAN = math.log(501.0)  # what is known beforehand counts as met five days ago
_LOWEST_MEAN = -500.0  # exp overflows beyond 709; nobody is that ignorant
_FLOOR = 0.15  # share of the gain left when the skill was fresh in mind
_AFTER_MISS = 0.6  # share of the gain from being shown the answer after a miss
_LONGEST_GAP_DAYS = 45.0  # longer ones teach nothing more, and may be a false clock
_BACKWARD_GAP_DAYS = 1.0  # what a negative gap counts as
_SECONDS_A_DAY = 86_400.0
_RECALL_DAYS = 1.0 / 3.0
FIRM_DAYS, FIRM_KNOWN = 3.0, 0.7
_LOOSE_MEETINGS, _LOOSE_KNOWN = 4, 0.5

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


@dataclass(frozen=True, slots=True)
class Family:
    """How skills of one family are learnt: strength after a first meeting, fading with each e-fold
    of time, gain of a meeting at which the skill was not fresh in mind. All in log-odds.
    """

    first: float
    fading: float
    gain: float


FAMILIES: Mapping[str, Family] = {
    "perception": Family(first=2.4, fading=0.80, gain=0.65),
    "facts": Family(first=3.2, fading=0.80, gain=0.90),
    "orders": Family(first=3.0, fading=0.80, gain=0.80),
}
"""The families' figures; a refit to a student's own answers would pass others to Memory."""


class Belief(NamedTuple):
    """What is believed of one skill that has been met."""

    strength: float
    """Mean log-odds of knowing it at the last meeting, after it."""
    variance: float
    at_s: float
    """When that was, in seconds since 1970."""
    met: int
    right: int
    """How many of the `met` answers were wholly right."""
    missed: bool
    """Whether the last answer was not wholly right."""
    recalled: int
    """Right answers after eight hours or more: practice of one day alone makes nothing firm."""
    was_firm: bool
    """Whether it has been firm at any meeting."""


def sigmoid(x: float) -> float:
    return 1.0 / (1.0 + math.exp(-x)) if x > -700.0 else 0.0


def expected_sigmoid(mean: float, variance: float) -> float:
    """The mean of σ(θ) for a normal θ, nearly (MacKay 1992, "The evidence framework")."""
    return sigmoid(mean / math.sqrt(1.0 + math.pi / 8.0 * variance))


def gap_days(belief: Belief, now_s: float) -> float:
    """Days since the last meeting; a clock set back counts as one day."""
    days = (now_s - belief.at_s) / _SECONDS_A_DAY
    return days if days >= 0.0 else _BACKWARD_GAP_DAYS


def faded(strength: float, variance: float, days: float, family: Family) -> tuple[float, float]:
    """Mean and variance of the log-odds `days` after a meeting that left them at these."""
    span = math.log1p(days / _SHORT_DAYS)
    return strength - family.fading * span, variance + (_WIDENING * span) ** 2


def knowledge(belief: Belief | None, now_s: float, family: Family) -> float:
    """Chance that the skill is known at `now_s`; None stands for one never met."""
    if belief is None:
        return expected_sigmoid(_UNHEARD_MEAN, _UNHEARD_VARIANCE)
    return expected_sigmoid(
        *faded(belief.strength, belief.variance, gap_days(belief, now_s), family)
    )


def chance_right(known: float, chance: float) -> float:
    """Chance of a right answer, slips and lucky guesses with it."""
    return (1.0 - SLIP) * known + chance * (1.0 - known)


class Evidence(NamedTuple):
    """What one answer says of the moment at which it was given."""

    mean: float
    variance: float
    known: float
    """Chance that the answer came from knowledge, not from luck."""


def weighed(
    mean: float, variance: float, *, credit: float, chance: float, quickness: float
) -> Evidence:
    """Bayes' rule for θ ~ N(mean, variance) after an answer of `credit`, by quadrature.

    `quickness` is how many times likelier so quick an answer is from knowledge than from a guess.
    It is bounded so that a right answer, however slow, never speaks against knowledge, nor a wrong
    one, however quick, for it. Part credit is a geometric mean of right and wrong.
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
    total, first, second, known = sums
    if total <= 0.0:  # an answer that cannot be, such as wrong at a chance of 1, says nothing
        return Evidence(mean, variance, expected_sigmoid(mean, variance))
    first /= total
    spread = max(second / total - first * first, 1e-6)
    return Evidence(mean + deviation * first, variance * spread, known / total)


def _whole(
    mean: float, deviation: float, by_knowing: float, by_chance: float
) -> tuple[float, float, float, float]:
    """Sums over the rule: the likelihood, it times node, times node squared, its known part.

    The innermost loop of rebuilding from a log, hence written out.
    """
    exp, slope = math.exp, by_knowing - by_chance
    total = first = second = knows_in_all = 0.0
    for node, weight in RULE:
        knows = 1.0 / (1.0 + exp(-mean - deviation * node))
        likely = weight * (by_chance + slope * knows)
        total += likely
        likely *= node
        first += likely
        second += likely * node
        knows_in_all += weight * knows
    return total, first, second, by_knowing * knows_in_all


def _part(
    mean: float, deviation: float, by_knowing: tuple[float, float], chance: float, share: float
) -> tuple[float, float, float, float]:
    """The same sums for part credit: right to the power of `share`, wrong to that of the rest."""
    total = first = second = known = 0.0
    for node, weight in RULE:
        knows = sigmoid(mean + deviation * node)
        right = by_knowing[0] * knows + chance * (1.0 - knows)
        wrong = by_knowing[1] * knows + (1.0 - chance) * (1.0 - knows)
        if right <= 0.0 or wrong <= 0.0:
            continue
        likely = weight * math.pow(right, share) * math.pow(wrong, 1.0 - share)
        total += likely
        first += likely * node
        second += likely * node * node
        by_right, by_wrong = by_knowing[0] / right, by_knowing[1] / wrong
        known += likely * knows * (share * by_right + (1.0 - share) * by_wrong)
    return total, first, second, known


def met(
    belief: Belief | None,
    at_s: float,
    family: Family,
    *,
    credit: float,
    chance: float,
    quickness: float = 1.0,
) -> Belief:
    """The belief after an answer at `at_s`: weighed as evidence, then moved by what it teaches.

    Every answer is followed by the right one, so a miss teaches too, only less; the less the skill
    was fresh in mind, the more is gained (the spacing effect).
    """
    if belief is None:
        days, restored = 0.0, 0.0
        mean, variance = _UNHEARD_MEAN, _UNHEARD_VARIANCE
    else:
        days = min(gap_days(belief, at_s), _LONGEST_GAP_DAYS)
        mean, variance = faded(belief.strength, belief.variance, days, family)
        restored = belief.strength - mean
    known = expected_sigmoid(mean, variance)
    seen = weighed(mean, variance, credit=credit, chance=chance, quickness=quickness)
    if belief is None:
        strength = _first_strength(seen.mean, family)
    else:
        strength = seen.mean + restored + _learnt(known, seen.known, family)
    variance = min(seen.variance + _DRIFT, _WIDEST)
    right = credit >= 1.0
    if right:  # a wider variance alone pulls what is known towards one half: not after this
        least = math.log(known / (1.0 - known)) if known < 1.0 else strength
        strength = max(strength, least * math.sqrt(1.0 + math.pi / 8.0 * variance))
    after = Belief(
        strength=strength,
        variance=variance,
        at_s=at_s,
        met=1 if belief is None else belief.met + 1,
        right=right + (0 if belief is None else belief.right),
        missed=not right,
        recalled=0 if belief is None else belief.recalled + (right and days >= _RECALL_DAYS),
        was_firm=belief is not None and belief.was_firm,
    )
    if not after.was_firm and is_firm(after, at_s, family):
        return after._replace(was_firm=True)
    return after


def expected_after(belief: Belief | None, days: float, family: Family) -> tuple[float, float]:
    """Strength and variance to be expected after a meeting `days` after the last one.

    Before the answer is known, Bayes' rule leaves mean and chance of knowing where they are; what
    remains is what the meeting teaches. The variance is taken to stay, which is on the safe side.
    """
    if belief is None:
        return _first_strength(_UNHEARD_MEAN, family), _WIDEST
    known = expected_sigmoid(*faded(belief.strength, belief.variance, days, family))
    widened = min(belief.variance + _DRIFT, _WIDEST)
    return belief.strength + _learnt(known, known, family), widened


def _first_strength(mean: float, family: Family) -> float:
    """Strength after a first meeting: what it teaches, added to what was known beforehand."""
    return math.log(math.exp(family.first) + math.exp(mean + family.fading * _UNHEARD_SPAN))


def _learnt(known: float, known_after: float, family: Family) -> float:
    fresh = _FLOOR + (1.0 - _FLOOR) * (1.0 - known)
    return family.gain * fresh * (known_after + _AFTER_MISS * (1.0 - known_after))


def is_firm(belief: Belief, now_s: float, family: Family) -> bool:
    """Whether it was recalled after a night, not missed since, and will last three days more."""
    if belief.missed or not belief.recalled:
        return False
    later_s = max(now_s, belief.at_s) + FIRM_DAYS * _SECONDS_A_DAY
    return knowledge(belief, later_s, family) >= FIRM_KNOWN


def state(belief: Belief | None, now_s: float, family: Family) -> str:
    """One of the four words.

    unheard: never asked.
    firm: right when last asked, right at least once after eight hours or more, and known three days
    from now at a chance of .7 or more.
    shaky: not firm, though it has been; or met four times or more, and missed when last asked or
    known now at a chance below one half.
    coming: begun, on the way.
    """
    if belief is None:
        return "unheard"
    if is_firm(belief, now_s, family):
        return "firm"
    loose = belief.missed or knowledge(belief, now_s, family) < _LOOSE_KNOWN
    if belief.was_firm or (belief.met >= _LOOSE_MEETINGS and loose):
        return "shaky"
    return "coming"
