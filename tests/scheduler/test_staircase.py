"""Thresholds of simulated listeners, found again."""

import math
import random
from statistics import fmean

import numpy as np
import pytest
from scipy import stats

from scheduler import Scale, Trial, chance_right_at, next_level, threshold
from scheduler.staircase import LAPSE, SLOPE

LISTENERS = 40
CENTS = Scale(finest=2.0, coarsest=60.0, typical=16.0)


def hears(rng, level, *, at, chance):
    return rng.random() < chance_right_at(level, threshold=at, chance=chance)


def at_half(trials):
    return [Trial(level, right, 0.5) for level, right in trials]


def by_posterior(rng, *, at, chance, trials):
    done = []
    for _ in range(trials):
        level = next_level(done, CENTS)
        done.append(Trial(level, hears(rng, level, at=at, chance=chance), chance))
    return threshold(done, CENTS)


def by_two_down_one_up(rng, *, at, chance, trials):
    """Levitt 1971: two right in a row go down, one wrong goes up; tracks 70.7 % right.

    Steps of an octave, after four turns of half, after six of a quarter; the threshold is the mean
    of the last six turns, moved from 70.7 % to where the posterior's threshold stands.
    """
    level, in_a_row, direction, turns = 30.0, 0, 0, []
    for _ in range(trials):
        step = 2.0 if len(turns) < 4 else 2**0.5 if len(turns) < 6 else 2**0.25
        if hears(rng, level, at=at, chance=chance):
            in_a_row += 1
            if in_a_row < 2:
                continue
            in_a_row, heading = 0, -1
        else:
            in_a_row, heading = 0, 1
        if direction and heading != direction:
            turns.append(level)
        direction = heading
        level = min(max(level * step**heading, CENTS.finest), CENTS.coarsest)
    mean = math.exp(fmean(map(math.log, turns[-6:] or [level])))
    heard = (0.5**0.5 - chance) / (1 - chance - LAPSE)
    return mean / (-math.log(1 - heard)) ** (1 / SLOPE)


def error_in_octaves(method, *, chance, trials):
    """Root mean square over listeners with thresholds of 4 to 40 cents, even in octaves."""
    errors = []
    for seed in range(LISTENERS):
        rng = random.Random(seed)
        at = 2 ** rng.uniform(2.0, math.log2(40))
        found = method(rng, at=at, chance=chance, trials=trials)
        errors.append(math.log2(getattr(found, "level", found) / at))
    return math.sqrt(fmean(error**2 for error in errors))


# Figures to reach, from simulations made while this was designed: .45, .35 and .31 octaves after
# 30 trials with 2, 4 and 8 choices. Ours have one slope for all listeners, which is easier.
@pytest.mark.parametrize(("choices", "figure"), [(2, 0.45), (4, 0.35), (8, 0.31)])
def test_thirty_trials_find_the_threshold_better_than_two_down_one_up(choices, figure):
    found = error_in_octaves(by_posterior, chance=1 / choices, trials=30)
    peer = error_in_octaves(by_two_down_one_up, chance=1 / choices, trials=30)
    assert found <= figure
    assert found < peer


def test_sixty_trials_are_no_worse_than_two_down_one_up():
    found = error_in_octaves(by_posterior, chance=0.5, trials=60)
    assert found <= error_in_octaves(by_two_down_one_up, chance=0.5, trials=60)


def test_the_interval_holds_most_true_thresholds():
    held = 0
    for seed in range(LISTENERS):
        rng = random.Random(1000 + seed)
        at = 2 ** rng.uniform(2.0, 5.0)
        found = by_posterior(rng, at=at, chance=0.25, trials=30)
        held += found.low <= at <= found.high
        assert found.low < found.level < found.high
    # Nine in ten are meant; fewer than 31 of 40 would come about once in a hundred times.
    assert stats.binom.cdf(30, LISTENERS, 0.9) < 0.01
    assert held >= 31


def test_the_psychometric_function_is_weibull_s():
    """scipy.stats.weibull_min.cdf, between the chance of luck and one less the lapse."""
    levels = np.geomspace(1, 100, 40)
    ours = [chance_right_at(level, threshold=12.0, chance=0.25) for level in levels]
    weibull = stats.weibull_min.cdf(levels, SLOPE, scale=12.0)
    assert ours == pytest.approx(0.25 + (1 - 0.25 - LAPSE) * weibull)


def test_the_posterior_is_bayes_rule_on_a_finer_grid():
    """The posterior mean of log threshold, by numpy on 20,001 points, prior and all anew."""
    trials = [(20.0, True), (10.0, True), (5.0, False), (8.0, True), (6.0, False)]
    grid = np.linspace(-1.0, 8.0, 20_001)  # a thirty-second to sixteen times of what is typical
    posterior = stats.norm(4.0, 1.5).pdf(grid)
    for level, right in trials:
        heard = stats.weibull_min.cdf(level, SLOPE, scale=2.0**grid)
        likely = 0.5 + (0.5 - LAPSE) * heard
        posterior = posterior * (likely if right else 1 - likely)
    expected = 2 ** np.average(grid, weights=posterior)
    assert threshold(at_half(trials), CENTS).level == pytest.approx(expected, rel=1e-3)


def test_levels_stay_within_their_limits():
    assert next_level(at_half([(60.0, False)] * 40), CENTS) == CENTS.coarsest
    assert next_level(at_half([(2.0, True)] * 40), CENTS) == CENTS.finest


def test_a_right_answer_leads_down_and_a_wrong_one_up():
    before = next_level([], CENTS)
    assert (
        next_level(at_half([(before, True)]), CENTS)
        < before
        < next_level(at_half([(before, False)]), CENTS)
    )


def test_without_trials_the_interval_is_wide():
    found = threshold([], CENTS)
    assert found.trials == 0
    assert found.level == pytest.approx(16.0, rel=0.1)
    assert found.high / found.low > 16


def test_a_bad_trial_or_chance_is_named():
    with pytest.raises(ValueError, match="level 0 must"):
        Trial(0, True, 0.5)
    with pytest.raises(ValueError, match=r"chance=1\.0"):
        Trial(10.0, True, 1.0)
