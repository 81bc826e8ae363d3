"""What each skill of a course is worth asking now, all at once: `scheduler.gain` on arrays.

Nothing here is kept, so numpy's own exponentials will do; a test holds it to `gain.gain`.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from copy import copy
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from scheduler.answer import SECONDS_A_DAY, Item
from scheduler.belief import (
    BACKWARD_DAYS,
    BACKWARD_GAP_DAYS,
    COMMON_VARIANCE,
    DRIFT,
    FRESH,
    SHORT_DAYS,
    WIDENING,
    WIDEST,
    Family,
)
from scheduler.gain import LASTING, Lesson, gain, lesson_terms, round_days, round_terms
from scheduler.memory import Memory

Floats = NDArray[np.float64]
Places = NDArray[np.intp]
"""Numbers of items, in the order of the course."""


class Worths:
    """The expected gain of every item, kept up as answers come."""

    def __init__(
        self,
        items: Sequence[Item],
        memory: Memory,
        *,
        minutes: float,
        started: datetime,
        lesson: Lesson | None,
    ) -> None:
        self.items = items
        self.place = {item.skill: number for number, item in enumerate(items)}
        self.seconds = np.array([item.seconds for item in items])
        self._names = sorted({memory.families.get(item.skill, "") for item in items})
        self._of_family = np.array(
            [self._names.index(memory.families.get(item.skill, "")) for item in items]
        )
        self._minutes = minutes
        self._lesson_terms = [
            term for own in (False, True) for term in lesson_terms(lesson, started, focus=own)
        ]
        own_skills = lesson.skills if lesson else frozenset()
        self._of_lesson = np.array([item.skill in own_skills for item in items])
        self._kin: dict[str, list[int]] = defaultdict(list)
        for number, item in enumerate(items):
            self._kin[memory.kin.get(item.skill, item.skill)].append(number)
        self.begun = np.zeros(len(items), bool)
        self._strength, self._variance, self._at_s, self._common = np.zeros((4, len(items)))
        for item in items:
            self._take(item.skill, memory)
        for kin in self._kin:
            self._lean(kin, memory)
        self._take_figures(memory)

    def learn(self, skill: str, memory: Memory) -> None:
        """Take up what an answer to `skill` has changed in `memory`."""
        if skill in self.place:
            self._take(skill, memory)
        self._lean(memory.kin.get(skill, skill), memory)
        if [memory.family_named(name) for name in self._names] != self._families:
            self._take_figures(memory)

    def copy(self) -> Worths:
        """Worths that go their own way from here."""
        other = copy(self)
        other.begun = self.begun.copy()
        for name in ("_strength", "_variance", "_at_s", "_common"):
            setattr(other, name, getattr(self, name).copy())
        return other

    def _take(self, skill: str, memory: Memory) -> None:
        belief = memory.beliefs.get(skill)
        if belief is not None:
            place = self.place[skill]
            self.begun[place] = True
            self._strength[place] = belief.strength
            self._variance[place] = belief.variance
            self._at_s[place] = belief.at_s

    def _lean(self, kin: str, memory: Memory) -> None:
        if kin in self._kin and kin in memory.leanings:
            self._common[self._kin[kin]] = memory.leanings[kin].mean

    def _take_figures(self, memory: Memory) -> None:
        self._families: list[Family] = [memory.family_named(name) for name in self._names]
        table = np.array(self._families)[self._of_family]
        _, self._fading, self._gain, self._shift, self._steepness = table.T

    @property
    def round_days(self) -> float:
        """Days until all that is begun can have been asked once."""
        return round_days(float(self.seconds[self.begun].sum()), self._minutes)

    def known(self, now_s: float) -> Floats:
        """Chance that each skill is known; 0 where it is not begun."""
        known = self._said(self._strength, self._variance, self._gap(now_s))
        return np.where(self.begun, known, 0.0)

    def gains(self, now_s: float) -> Floats:
        """The expected gain of asking each skill that is begun; 0 for the others."""
        gap = self._gap(now_s)
        known = self._foretold(self._strength, self._variance, gap)
        fresh = FRESH + (1.0 - FRESH) * (1.0 - known)
        learnt = self._gain * fresh
        strength = self._strength + learnt
        variance = np.minimum(self._variance + DRIFT, WIDEST)
        total = np.zeros(len(self.items))
        for days, weight in zip(*self._terms(), strict=True):
            after = self._said(strength, variance, np.full_like(gap, days))
            before = self._said(self._strength, self._variance, gap + days)
            total += weight * (after - before + LASTING * learnt * after * (1.0 - after))
        return np.where(self.begun, total, 0.0)

    def gain_of_new(self, skill: str, memory: Memory, now_s: float) -> float:
        """The expected gain of introducing a skill."""
        days, weights = self._terms()
        place = self.place[skill]
        terms = tuple(
            (day, float(np.broadcast_to(weight, len(self.items))[place]))
            for day, weight in zip(days, weights, strict=True)
        )
        return gain(None, now_s, memory.family(skill), terms, memory.common(skill))

    def _terms(self) -> tuple[list[float], list[Floats | float]]:
        """Days ahead, and the weight of each for every item."""
        days: list[float] = []
        weights: list[Floats | float] = []
        for day, weight in round_terms(self.round_days):
            days.append(day)
            weights.append(weight)
        if self._lesson_terms:
            (day, weight), (_, own) = self._lesson_terms
            days.append(day)
            weights.append(np.where(self._of_lesson, own, weight))
        return days, weights

    def _gap(self, now_s: float) -> Floats:
        days = (now_s - self._at_s) / SECONDS_A_DAY
        behind = np.where(days > -BACKWARD_DAYS, 0.0, BACKWARD_GAP_DAYS)
        return np.where(days >= 0.0, days, behind)

    def _foretold(self, strength: Floats, variance: Floats, days: Floats) -> Floats:
        return _sigmoid(self._odds(strength, variance, days))

    def _said(self, strength: Floats, variance: Floats, days: Floats) -> Floats:
        odds = self._odds(strength, variance, days)
        return _sigmoid(self._shift + self._steepness * odds)

    def _odds(self, strength: Floats, variance: Floats, days: Floats) -> Floats:
        span = np.log(1.0 + days / SHORT_DAYS)
        spread = variance + COMMON_VARIANCE + (WIDENING * span) ** 2
        mean = strength - self._fading * span + self._common
        odds: Floats = mean / np.sqrt(1.0 + math.pi / 8.0 * spread)
        return odds


def _sigmoid(odds: Floats) -> Floats:
    chances: Floats = 1.0 / (1.0 + np.exp(np.clip(-odds, -500.0, 500.0)))
    return chances
