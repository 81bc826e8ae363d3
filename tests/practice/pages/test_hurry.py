"""Guessing is found by response times where there is some, and hardly ever where there is none."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from practice.pages.hurry import LUCK_ALONE, hurry_in, is_enough
from scheduler.history import Tally, bin_of, longest_ms

TALLIES = st.integers(0, 40).flatmap(
    lambda asked: st.builds(
        lambda right, luck: Tally(asked, right, luck * asked),
        st.integers(0, asked),
        st.sampled_from([0.0, 0.1, 0.25, 0.5]),
    )
)


def answered(count, *, hurried, known, chance, seed):
    """Bins of so many answers: a share is guessed after 0.4 s or so, the others come after 2.5."""
    rng, bins = random.Random(seed), {}
    for _ in range(count):
        in_haste = rng.random() < hurried
        ms = rng.lognormvariate(6.0, 0.5) if in_haste else rng.lognormvariate(7.8, 0.6)
        right = rng.random() < (chance if in_haste else known + (1 - known) * chance)
        number = bin_of(round(ms))
        bins[number] = bins.get(number, Tally()).and_also(Tally(1, int(right), chance))
    return bins


@given(st.dictionaries(st.integers(1, 60), TALLIES, max_size=20))
def test_what_is_found_holds_against_another_library(bins):
    """Shares and intervals by scipy.stats.binomtest(...).proportion_ci(method="wilson")."""
    found = hurry_in(bins)
    if found is None:
        return
    assert is_enough(bins)
    for part, numbers in (
        (found.quick, [number for number in bins if number <= found.until]),
        (found.slower, [number for number in bins if number > found.until]),
    ):
        asked = sum(bins[number].asked for number in numbers)
        right = sum(bins[number].right for number in numbers)
        chance = sum(bins[number].luck for number in numbers) / asked
        assert (part.asked, part.right) == (asked, right)
        assert asked >= 20
        interval = binomtest(right, asked).proportion_ci(method="wilson")
        assert part.interval == pytest.approx((interval.low, interval.high), abs=1e-9)
        for end, known in zip(part.interval, part.known_interval, strict=True):
            assert known == pytest.approx(min(1, max(0, (end - chance) / (1 - chance))), abs=1e-9)
    assert found.quick.known <= LUCK_ALONE
    assert found.quick.interval[0] <= found.quick.chance
    assert found.quick.known_interval[1] < found.slower.known_interval[0]


def test_who_answers_in_haste_is_found_with_the_time_and_who_does_not_is_not():
    hasty = [answered(200, hurried=0.3, known=0.8, chance=0.25, seed=s) for s in range(60)]
    found = [hurry_in(bins) for bins in hasty]
    assert sum(one is not None for one in found) >= 48  # 93 % of 2,000
    assert all(250 < longest_ms(one.until) < 3000 for one in found if one)
    for known in (0.1, 0.8):
        calm = (answered(200, hurried=0, known=known, chance=0.25, seed=s) for s in range(60))
        assert sum(hurry_in(bins) is not None for bins in calm) <= 3  # 1 % of 2,000


def test_quick_answers_that_are_right_betray_nothing():
    bins = {bin_of(500): Tally(60, 55, 15.0), bin_of(3000): Tally(60, 40, 15.0)}
    assert hurry_in(bins) is None
    assert hurry_in({}) is None
    assert not is_enough({bin_of(500): Tally(39, 10, 9.75)})
