"""Five worlds: published models of learning and forgetting, for all skills of a student at once.

Days are real numbers. A world is told when practice begins (`wake`) and ends (`sleep`) and what was
met when (`meet`), with whether it was recalled; the right answer is explained after every question,
so a miss teaches too. `known` is the chance that a skill is recalled. It falls with time alone.

The forms are published; every figure is assumed unless a source stands beside it, chosen so that
what is met once is mostly gone in a day or two and what is recalled on several spaced days lasts
for weeks. Ease varies by student, by kin and by skill (`Traits.ease`), which is assumed too.
"""

from __future__ import annotations

import math
from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
FAMILIES = ("perception", "facts", "orders")


@dataclass(frozen=True)
class Traits:
    """What a world needs of a student and the course; arrays are one entry a skill."""

    families: tuple[str, ...]
    kinds: tuple[str, ...]
    ease: Floats
    """About standard normal; above 0 is easier."""
    before: NDArray[np.bool_]
    """What was known before the first day."""
    rng: np.random.Generator

    def by_family(self, perception: float, facts: float, orders: float) -> Floats:
        of = dict(zip(FAMILIES, (perception, facts, orders), strict=True))
        return np.array([of[family] for family in self.families])

    def spread(self, sd: float) -> Floats:
        """A factor for each skill: lognormal around 1, half of its variance the student's own."""
        own = self.rng.normal(0.0, sd * math.sqrt(0.5))
        return np.exp(own + self.rng.normal(0.0, sd * math.sqrt(0.5), len(self.families)))


class World(ABC):
    """One student's true knowledge. Times must not run back."""

    def wake(self, day: float) -> None:  # noqa: B027 (most worlds keep no hours)
        """Practice begins."""

    def sleep(self, day: float) -> None:  # noqa: B027
        """Practice has ended; the night follows."""

    @abstractmethod
    def known(self, day: float) -> Floats:
        """Chance that each skill is recalled."""

    @abstractmethod
    def known_of(self, i: int, day: float) -> float:
        """Chance that skill `i` is recalled: what `known` says of it."""

    @abstractmethod
    def meet(self, i: int, day: float, recalled: bool) -> None:
        """Skill `i` was asked (or, the first time, shown) and then explained."""


class PowerLaw(World):
    """K = λ(1 + βt)^−ψ: Wickelgren 1974, in the form of Wixted & Carpenter 2007; a power function
    of time as in Wixted & Ebbesen 1991. λ is the degree of learning, ψ the rate of forgetting.

    Assumed: each meeting brings λ nearer to its ceiling, and shrinks ψ the more, the more had been
    forgotten; a recall shrinks it more than a miss.
    """

    CEILING, LAMBDA_GAIN, MISS = 0.985, 0.35, 0.25

    def __init__(self, traits: Traits) -> None:
        self.beta = 20.0 * traits.spread(0.3)
        self.psi_new = traits.by_family(0.55, 0.45, 0.50) * np.exp(-0.25 * traits.ease)
        self.shrink = np.clip(
            traits.by_family(0.35, 0.46, 0.40) * np.exp(0.15 * traits.ease), 0.1, 0.8
        )
        self.lam = np.where(traits.before, 0.97, 0.0)
        self.psi = np.where(traits.before, 0.02, self.psi_new)
        self.met_at = np.where(traits.before, -10.0, 0.0)

    def known(self, day: float) -> Floats:
        return self.lam * (1.0 + self.beta * (day - self.met_at)) ** -self.psi

    def known_of(self, i: int, day: float) -> float:
        return float(self.lam[i] * (1.0 + self.beta[i] * (day - self.met_at[i])) ** -self.psi[i])

    def meet(self, i: int, day: float, recalled: bool) -> None:
        if self.lam[i] == 0.0:
            self.lam[i] = 0.90
        else:
            part = 1.0 if recalled else self.MISS
            self.psi[i] *= 1.0 - part * self.shrink[i] * (1.0 - self.known_of(i, day))
            self.lam[i] += part * self.LAMBDA_GAIN * (self.CEILING - self.lam[i])
        self.met_at[i] = day


class HalfLife(World):
    """p = 2^(−Δ/h): half-life regression, Settles & Meeder 2016, where h is a power of two of a
    weighted count of successes and misses: each success multiplies it, each miss divides it.

    Assumed: a success multiplies h by 1 + g(1 − p), more when less was left (spacing).
    """

    MISS, LONGEST = 0.65, 400.0

    def __init__(self, traits: Traits) -> None:
        self.half_new = traits.by_family(0.75, 1.0, 0.85) * np.exp(0.3 * traits.ease)
        self.growth = traits.by_family(1.6, 2.1, 1.85) * np.exp(0.2 * traits.ease)
        self.half = np.where(traits.before, 120.0 * traits.spread(0.4), 0.0)
        self.met_at = np.where(traits.before, -10.0, 0.0)

    def known(self, day: float) -> Floats:
        met = self.half > 0.0
        halves = np.where(met, day - self.met_at, 0.0) / np.where(met, self.half, 1.0)
        return np.where(met, np.exp2(-halves), 0.0)

    def known_of(self, i: int, day: float) -> float:
        half = float(self.half[i])
        return 2.0 ** (-(day - float(self.met_at[i])) / half) if half else 0.0

    def meet(self, i: int, day: float, recalled: bool) -> None:
        half, new = float(self.half[i]), float(self.half_new[i])
        if not half:
            half = new
        elif recalled:
            half *= 1.0 + float(self.growth[i]) * (1.0 - self.known_of(i, day))
        else:
            half = max(new, half * self.MISS)
        self.half[i] = min(half, self.LONGEST)
        self.met_at[i] = day


class Activation(World):
    """m = ln Σ t_k^−d_k with d_k = c·e^m + a, m as it was when trace k was made; p = σ((m − τ)/s).

    Pavlik & Anderson 2005, with their τ −.704, s .255, and time between sessions counted for a
    fraction h .025 of its seconds (figures from memory). Their a .177 and c .217, for words, leave
    nearly all firm after a few weeks; a .22 and c .45 are assumed. 2008 adds offsets by student and
    item to m: ease enters so (assumed: a quarter a unit of ease, not counted in decay). What is
    known before has eight traces over 50 days and a greater offset (assumed).
    """

    A, C, TAU, S, H = 0.22, 0.45, -0.704, 0.255, 0.025
    SHORTEST_S = 1.0

    def __init__(self, traits: Traits) -> None:
        n = len(traits.families)
        self.offset = traits.by_family(0.25, 0.45, 0.35) + 0.25 * traits.ease
        self.offset = self.offset + np.where(traits.before, 0.8, 0.0)
        self.decay_floor = self.A * traits.spread(0.10)
        self.made_at = np.full((n, 64), -np.inf)
        self.decay = np.ones((n, 64))
        self.many = np.zeros(n, dtype=int)
        self._turned, self._turned_s, self._awake = 0.0, 0.0, False
        for i in np.flatnonzero(traits.before):
            for ago in (50, 40, 32, 25, 19, 14, 10, 7):
                self._trace(int(i), -ago * 86_400.0 * self.H, self.A + 0.08)

    def seconds(self, day: float) -> float:
        """Time as memory counts it: in seconds while practising, else `H` of them."""
        pace = 86_400.0 if self._awake else 86_400.0 * self.H
        return self._turned_s + (day - self._turned) * pace

    def wake(self, day: float) -> None:
        self._turned_s, self._turned, self._awake = self.seconds(day), day, True

    def sleep(self, day: float) -> None:
        self._turned_s, self._turned, self._awake = self.seconds(day), day, False

    def known(self, day: float) -> Floats:
        most = max(int(self.many.max()), 1)
        ages = np.maximum(self.seconds(day) - self.made_at[:, :most], self.SHORTEST_S)
        with np.errstate(divide="ignore"):
            m = np.log((ages ** -self.decay[:, :most]).sum(axis=1)) + self.offset
        return 1.0 / (1.0 + np.exp((self.TAU - m) / self.S))

    def traces(self, i: int, day: float) -> float:
        """e^m: what is left of all traces of skill `i`."""
        k = self.many[i]
        ages = np.maximum(self.seconds(day) - self.made_at[i, :k], self.SHORTEST_S)
        return float((ages ** -self.decay[i, :k]).sum())

    def known_of(self, i: int, day: float) -> float:
        left = self.traces(i, day)
        if not left:
            return 0.0
        m = math.log(left) + float(self.offset[i])
        return 1.0 / (1.0 + math.exp((self.TAU - m) / self.S))

    def meet(self, i: int, day: float, recalled: bool) -> None:
        decay = self.C * self.traces(i, day) + float(self.decay_floor[i])
        self._trace(i, self.seconds(day), decay)

    def _trace(self, i: int, at_s: float, decay: float) -> None:
        k = int(self.many[i])
        if k == self.made_at.shape[1]:
            self.made_at = np.pad(self.made_at, ((0, 0), (0, k)), constant_values=-np.inf)
            self.decay = np.pad(self.decay, ((0, 0), (0, k)), constant_values=1.0)
        self.made_at[i, k], self.decay[i, k], self.many[i] = at_s, decay, k + 1


class TwoScales(World):
    """A fast trace at every meeting; a slow one that grows overnight, in what is heard only if its
    task was practised enough that day: K = 1 − (1 − slow)(1 − fast).

    After Wright & Sabin 2007: improvement over days needed a critical number of trials a day, which
    differed between tasks, and more than that brought no more. A task here is a kind of question.
    Assumed: exponential traces, their times, and the critical number (theirs, hundreds of single
    sounds, is scaled to questions: 5 to 11 a day by student and kind).
    """

    FAST = 0.95

    def __init__(self, traits: Traits) -> None:
        n = len(traits.families)
        self.kinds = traits.kinds
        of = dict(zip(traits.kinds, traits.families, strict=True))
        heard = [kind for kind, family in of.items() if family == "perception"]
        self.critical = {kind: int(traits.rng.integers(5, 12)) for kind in heard}
        self.fast_half = traits.by_family(0.35, 0.50, 0.45) * np.exp(0.2 * traits.ease)
        self.slow_half = traits.by_family(25.0, 36.0, 30.0) * np.exp(0.3 * traits.ease)
        self.step = np.clip(
            traits.by_family(0.17, 0.20, 0.18) * np.exp(0.25 * traits.ease), 0.05, 0.6
        )
        self.fast = np.zeros(n)
        self.fast_at = np.zeros(n)
        self.slow = np.where(traits.before, 0.97, 0.0)
        self.slow_half = np.where(traits.before, 4.0 * self.slow_half, self.slow_half)
        self.slow_at = np.zeros(n)
        self._asked: dict[str, int] = {}
        self._met: dict[int, bool] = {}

    def wake(self, day: float) -> None:
        self._asked, self._met = {}, {}

    def sleep(self, day: float) -> None:
        for i, recalled in self._met.items():
            kind = self.kinds[i]
            if self._asked[kind] >= self.critical.get(kind, 0):
                left = float(self.slow[i]) * 2.0 ** (
                    -(day - float(self.slow_at[i])) / float(self.slow_half[i])
                )
                part = 1.0 if recalled else 0.7
                self.slow[i] = left + part * float(self.step[i]) * (1.0 - left)
                self.slow_at[i] = day
        self._asked, self._met = {}, {}

    def known(self, day: float) -> Floats:
        fast = self.fast * np.exp2(-(day - self.fast_at) / self.fast_half)
        slow = self.slow * np.exp2(-(day - self.slow_at) / self.slow_half)
        return 1.0 - (1.0 - fast) * (1.0 - slow)

    def known_of(self, i: int, day: float) -> float:
        fast = self.fast[i] * 2.0 ** (-(day - self.fast_at[i]) / self.fast_half[i])
        slow = self.slow[i] * 2.0 ** (-(day - self.slow_at[i]) / self.slow_half[i])
        return float(1.0 - (1.0 - fast) * (1.0 - slow))

    def meet(self, i: int, day: float, recalled: bool) -> None:
        kind = self.kinds[i]
        self._asked[kind] = self._asked.get(kind, 0) + 1
        self._met[i] = self._met.get(i, False) or recalled
        self.fast[i], self.fast_at[i] = self.FAST, day


class Multiscale(World):
    """Leaky integrators x_i with time constants τ_i = μν^i and weights γ_i ∝ ξ^i: the Multiscale
    Context Model of Mozer, Pashler, Cepeda, Lindsey & Vul 2009.

    s_i = Σ_{j≤i} γ_j x_j / Σ_{j≤i} γ_j; recall has the chance min(1, s_N); each meeting adds
    ε(1 − s_i) to x_i, ε = 1 after a miss and ε_r after a recall. Nothing is taken off where s_i is
    above 1. Assumed: 16 integrators, μ, ν, ξ, ε_r 3 (9 in the paper, after which nothing slow is
    stored any more), and that every meeting is stored.
    """

    MANY, MU, NU, EPSILON_RECALLED = 16, 0.01, 2.0, 3.0

    def __init__(self, traits: Traits) -> None:
        n = len(traits.families)
        self.tau = self.MU * self.NU ** np.arange(self.MANY)
        xi = traits.by_family(0.80, 0.82, 0.81) * np.exp(0.04 * traits.ease)
        self.gamma = xi[:, None] ** np.arange(self.MANY)
        self.gamma /= self.gamma.sum(axis=1, keepdims=True)
        self.below = np.cumsum(self.gamma, axis=1)
        self.x = np.zeros((n, self.MANY))
        self.x[traits.before] = np.where(self.tau > 20.0, 12.0, 0.0)
        self.at = np.zeros(n)

    def known(self, day: float) -> Floats:
        left = np.exp(-(day - self.at)[:, None] / self.tau)
        return np.minimum((self.gamma * self.x * left).sum(axis=1), 1.0)

    def known_of(self, i: int, day: float) -> float:
        left = np.exp(-(day - self.at[i]) / self.tau)
        return min(float((self.gamma[i] * self.x[i] * left).sum()), 1.0)

    def meet(self, i: int, day: float, recalled: bool) -> None:
        x = self.x[i] * np.exp(-(day - self.at[i]) / self.tau)
        s = np.cumsum(self.gamma[i] * x) / self.below[i]
        first = not self.x[i].any()
        epsilon = self.EPSILON_RECALLED if recalled and not first else 1.0
        self.x[i] = x + epsilon * np.maximum(1.0 - s, 0.0)
        self.at[i] = day


WORLDS: Mapping[str, type[World]] = {
    "A": PowerLaw,
    "B": HalfLife,
    "C": Activation,
    "D": TwoScales,
    "E": Multiscale,
}
