"""The belief about one skill: how firmly it is known, how that fades, what a meeting does to it.

Knowing a skill has a log-odds θ, believed to be normal. At the last meeting its mean is the
strength and its variance the variance; since then the mean falls with the logarithm of time, so
that the odds fall by a power law (Wixted & Ebbesen 1991; the activation of Pavlik & Anderson 2008
has the same shape), and the variance widens. An answer moves it as evidence (`scheduler.evidence`),
and the meeting itself teaches. To θ comes what the skill has in common with its kin.

How fast a family fades and how much a meeting teaches are figures that each student's own answers
correct (`scheduler.figures`); where these begin was fitted to simulated students, not to real ones.

Gaps are in days, times in seconds since 1970 in UTC; "known" and "knowledge" are chances, 0 to 1.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from scheduler.answer import SECONDS_A_DAY
from scheduler.evidence import expected_sigmoid, is_told, weighed
from scheduler.portable import exp, log, logit, sigmoid

SHORT_DAYS = 0.01  # about a quarter of an hour: forgetting sets in after it
WIDENING = 0.06  # standard deviation gained with each e-fold of time
_COMMON_DRIFT = 0.001  # variance added to it by each meeting of any of them
DRIFT, WIDEST = 0.08, 4.0  # variance added by each meeting, and its bound
UNHEARD_MEAN, UNHEARD_VARIANCE = -1.8, 5.0
_UNHEARD_SPAN = log(1.0 + 5.0 / SHORT_DAYS)  # known beforehand counts as met five days ago
COMMON_VARIANCE = 0.3  # of what a skill has in common with its kin, of whom nothing is known
FRESH = 0.15  # share of the gain left when the skill was fresh in mind
_LONGEST_GAP_DAYS, DOUBTFUL_GAP_DAYS = 45.0, 7.0
"""A longer gap may be a false clock's: an answer after it is weighed as after a week."""
BACKWARD_DAYS, BACKWARD_GAP_DAYS = 1.0 / 24.0, 1.0
"""A clock that is behind by more was set back: nobody knows how long it was; it counts as a day."""
_RECALL_DAYS = 1.0 / 3.0
FIRM_DAYS, FIRM_KNOWN = 3.0, 0.7
_LOOSE_MEETINGS, _LOOSE_KNOWN = 4, 0.5


class Family(NamedTuple):
    """How skills of one family are learnt by one student. All in log-odds.

    `first` is the strength after a first meeting, `fading` what is lost with each e-fold of time,
    `gain` what a meeting gives at which the skill was not fresh in mind. What comes of these is
    straightened before it is said: the log-odds of knowing times `steepness`, plus `shift`.
    """

    first: float
    fading: float
    gain: float
    shift: float = 0.0
    steepness: float = 1.0

    def said(self, known: float) -> float:
        """The chance of knowing as it is said, straightened."""
        if self.shift == 0.0 and self.steepness == 1.0:
            return known
        return sigmoid(self.shift + self.steepness * logit(min(max(known, 1e-9), 1.0 - 1e-9)))


class Belief(NamedTuple):
    """What is believed of one skill that has been met."""

    strength: float
    """Mean log-odds of knowing it at the last meeting, after it, less what its kin share."""
    variance: float
    at_s: float
    """When that was, in seconds since 1970."""
    met: int
    right: int
    """How many of the answers that were not told were wholly right."""
    missed: bool
    """Whether the last answer that was not told was not wholly right."""
    recalled: int
    """Right answers after eight hours or more: practice of one day alone makes nothing firm."""
    was_firm: bool
    """Whether it has been firm at any meeting."""
    bends: tuple[float, float, float] = (0.0, 0.0, 0.0)
    """How much `strength` would change with the family's first, fading and gain, per unit."""
    told: int = 0
    """At how many meetings the answer was told."""

    @property
    def asked(self) -> int:
        """At how many meetings it was not."""
        return self.met - self.told


class Surprise(NamedTuple):
    """How an answer differed from what was foretold, for the family's figures to learn from."""

    known: float
    """Chance of knowing, as foretold, not yet straightened."""
    score: float
    """Slope of the answer's log-likelihood along the mean log-odds."""
    information: float
    """Its curvature, turned positive."""
    bends: tuple[float, float, float]
    """How much that mean changes with the family's first, fading and gain."""


def gap_days(belief: Belief, now_s: float) -> float:
    """Days since the last meeting; a clock set back by more than an hour counts as one day."""
    days = (now_s - belief.at_s) / SECONDS_A_DAY
    if days >= 0.0:
        return days
    return 0.0 if days > -BACKWARD_DAYS else BACKWARD_GAP_DAYS


def is_doubtful_gap(belief: Belief, at_s: float) -> bool:
    """Whether the clock may have been false, then or now."""
    return gap_days(belief, at_s) > _LONGEST_GAP_DAYS


def faded(strength: float, variance: float, days: float, family: Family) -> tuple[float, float]:
    """Mean and variance of the log-odds `days` after a meeting that left them at these."""
    span = log(1.0 + days / SHORT_DAYS)
    widening = WIDENING * span
    return strength - family.fading * span, variance + widening * widening


class Foretold(NamedTuple):
    """The log-odds at a moment, as believed: the skill's own mean and variance, what it has in
    common with its kin, and the chance of knowing that comes of these, not yet straightened."""

    days: float
    """Since the last meeting; 0 for a skill never met."""
    mean: float
    variance: float
    common: float
    known: float


def foretold(belief: Belief | None, now_s: float, family: Family, common: float = 0.0) -> Foretold:
    """What is believed at `now_s`; None stands for a skill never met."""
    days = 0.0
    if belief is None:
        mean, variance = UNHEARD_MEAN, UNHEARD_VARIANCE
    else:
        days = gap_days(belief, now_s)
        mean, variance = faded(belief.strength, belief.variance, days, family)
    known = expected_sigmoid(mean + common, variance + COMMON_VARIANCE)
    return Foretold(days, mean, variance, common, known)


def knowledge(belief: Belief | None, now_s: float, family: Family, common: float = 0.0) -> float:
    """Chance that the skill is known at `now_s`; None stands for one never met.

    `common` is what it shares with its kin, in log-odds.
    """
    return family.said(foretold(belief, now_s, family, common).known)


class Leaning(NamedTuple):
    """What the skills of one kin have in common, in log-odds."""

    mean: float = 0.0
    variance: float = COMMON_VARIANCE

    def after(self, shared: float, information: float) -> Leaning:
        """After evidence that moves it by so much; the more it has seen the less it moves."""
        narrowed = self.variance * (1.0 - self.variance * information)
        return Leaning(self.mean + shared, min(narrowed + _COMMON_DRIFT, COMMON_VARIANCE))


class Met(NamedTuple):
    """What a meeting leaves: the skill's own belief, and what it says beyond the skill."""

    belief: Belief
    shared: float
    """What the kin have in common moves by this."""
    surprise: Surprise


def met(
    belief: Belief | None,
    before: Foretold,
    at_s: float,
    family: Family,
    *,
    credit: float,
    chance: float,
    quickness: float = 1.0,
    common_variance: float = COMMON_VARIANCE,
) -> Met:
    """The belief after an answer at `at_s`: weighed as evidence, then moved by what it teaches.

    `before` is what was foretold of that moment. The evidence is shared out between the skill's own
    part and the one that it has in common with its kin, in proportion to their variances, of which
    `common_variance` is the latter's by now. Every
    answer is followed by the right one, so a miss teaches too; the less the skill was fresh in
    mind, the more is gained (the spacing effect).
    """
    days, mean, own, common, known = before
    whole = own + COMMON_VARIANCE
    seen = weighed(mean + common, whole, credit=credit, chance=chance, quickness=quickness)
    moved = seen.mean - (mean + common)
    shared = moved * common_variance / whole
    information = max(whole - seen.variance, 0.0) / (whole * whole)
    kept = 1.0 - own * information
    variance = min(own * kept + DRIFT, WIDEST)
    mean += moved * own / whole
    if belief is None:
        bends = (0.0, 0.0, 0.0)
        strength, weight = _first_strength(mean, family)
        after_bends = (weight, (1.0 - weight) * _UNHEARD_SPAN, 0.0)
    else:
        restored = belief.strength - before.mean
        first, fading, gain = belief.bends
        span = restored / family.fading
        bends = (first, fading - span, gain)
        fresh = _freshness(known)
        strength = mean + restored + family.gain * fresh
        after_bends = (kept * first, kept * (fading - span) + span, kept * gain + fresh)
    right = credit >= 1.0
    if right and 0.0 < known < 1.0:
        # A wider variance alone pulls what is known towards one half: not after a right answer.
        spread = math.sqrt(1.0 + math.pi / 8.0 * (variance + COMMON_VARIANCE))
        strength = max(strength, logit(known) * spread - (common + shared))
    told = is_told(chance)
    counted = right and not told
    last = belief or _NEVER
    after = Belief(
        strength,
        variance,
        at_s,
        last.met + 1,
        last.right + counted,
        last.missed if told else not right,
        last.recalled + (counted and days >= _RECALL_DAYS),
        last.was_firm,
        after_bends,
        last.told + told,
    )
    if after.recalled and not after.was_firm and is_firm(after, at_s, family, common + shared):
        after = after._replace(was_firm=True)
    return Met(after, shared, Surprise(known, moved / whole, information, bends))


_NEVER = Belief(0.0, 0.0, 0.0, met=0, right=0, missed=False, recalled=0, was_firm=False)


def expected_after(
    belief: Belief | None, days: float, family: Family, common: float = 0.0
) -> tuple[float, float]:
    """Strength and variance to be expected after a meeting `days` after the last one.

    Before the answer is known, Bayes' rule leaves mean and chance of knowing where they are; what
    remains is what the meeting teaches. The variance is taken to stay, which is on the safe side.
    """
    if belief is None:
        return _first_strength(UNHEARD_MEAN, family)[0], WIDEST
    mean, variance = faded(belief.strength, belief.variance, days, family)
    known = expected_sigmoid(mean + common, variance + COMMON_VARIANCE)
    widened = min(belief.variance + DRIFT, WIDEST)
    return belief.strength + family.gain * _freshness(known), widened


def _first_strength(mean: float, family: Family) -> tuple[float, float]:
    """Strength after a first meeting: what it teaches, added to what was known beforehand; and
    the share of it that is taught."""
    taught, brought = exp(family.first), exp(mean + family.fading * _UNHEARD_SPAN)
    return log(taught + brought), taught / (taught + brought)


def _freshness(known: float) -> float:
    """What share of the family's gain a meeting gives: the less was fresh in mind, the more."""
    return FRESH + (1.0 - FRESH) * (1.0 - known)


def is_firm(belief: Belief, now_s: float, family: Family, common: float = 0.0) -> bool:
    """Whether it was recalled after a night, not missed since, and will last three days more."""
    if belief.missed or not belief.recalled:
        return False
    later_s = max(now_s, belief.at_s) + FIRM_DAYS * SECONDS_A_DAY
    return knowledge(belief, later_s, family, common) >= FIRM_KNOWN


def state(belief: Belief | None, now_s: float, family: Family, common: float = 0.0) -> str:
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
    if is_firm(belief, now_s, family, common):
        return "firm"
    loose = belief.missed or knowledge(belief, now_s, family, common) < _LOOSE_KNOWN
    if belief.was_firm or (belief.met >= _LOOSE_MEETINGS and loose):
        return "shaky"
    return "coming"
