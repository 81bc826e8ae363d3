"""Our curves, and what the adapters tell the libraries, held beside the libraries themselves."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta

import ebisu
import numpy as np
from fsrs import Card, Rating, Scheduler, State

from tests.benchmarks.simulated.peers.choosing import SLIP
from tests.benchmarks.simulated.peers.ebisu_way import evidence, updated
from tests.benchmarks.simulated.peers.recall import beta_curve, days_to, power_curve

_NOW = datetime(2026, 1, 1, tzinfo=UTC)


def check_fsrs() -> None:
    """Recall, and the whole days until it falls to what is wished, at several exponents."""
    rng = random.Random(1)
    for power in (0.1542, 0.3, 0.6):
        parameters = (*Scheduler().parameters[:-1], power)
        library = Scheduler(parameters, enable_fuzzing=False, desired_retention=0.85)
        for _ in range(300):
            days, lasting = rng.randrange(400), 10.0 ** rng.uniform(-3, 3)
            card = Card(1, State.Review, None, lasting, rng.uniform(1, 10), _NOW, _NOW)
            at = _NOW + timedelta(days=days)
            ours = power_curve(np.array([float(days)]), ninety=np.array([lasting]), power=power)
            theirs = library.get_card_retrievability(card, at)
            assert abs(ours[0] - theirs) < 1e-12, (power, days, lasting)
            after, _ = library.review_card(card, Rating.Good, at)
            wait = days_to(0.85, ninety=after.stability, power=power)
            assert (after.due - at).days == max(round(wait), 1), (power, days, lasting)


def check_ebisu() -> None:
    """Recall beside the library's; and its update beside an integral over recall."""
    rng = random.Random(2)
    grid = (np.arange(20_000) + 0.5) / 20_000
    for _ in range(200):
        prior = rng.uniform(1.5, 15), rng.uniform(1.5, 15), 2.0 ** rng.uniform(-3, 7)
        gap = prior[2] * 2.0 ** rng.uniform(-4, 2)
        alpha, beta, days = (np.array([value]) for value in prior)
        ours = beta_curve(np.array([gap]), alpha=alpha, beta=beta, unit=days)[0]
        assert abs(ours - ebisu.predictRecall(prior, gap, exact=True)) < 1e-12, (prior, gap)

        credit, luck = rng.choice((0.0, 0.0, 0.3, 0.8, 1.0, 1.0)), rng.choice((0.5, 0.25, 0.1))
        model = updated(prior, (told := evidence(credit, luck))[0], gap, told[1])
        recall = grid ** (gap / prior[2])
        right = (1.0 - SLIP) * recall + luck * (1.0 - recall)
        weight = grid ** (prior[0] - 1.0) * (1.0 - grid) ** (prior[1] - 1.0)
        weight *= credit * right + (1.0 - credit) * (1.0 - right)
        later = grid ** (model[2] / prior[2])
        half = (weight * later).sum() / weight.sum()
        assert abs(half - 0.5) < 1e-3, (prior, gap, credit, luck, half)
