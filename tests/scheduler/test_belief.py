"""Forgetting, evidence and learning of one skill."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from scheduler.belief import Belief, expected_after, faded, gap_days, knowledge, state
from scheduler.belief import met as meeting
from scheduler.evidence import RULE, SLIP, chance_right, expected_sigmoid, weighed
from scheduler.figures import FAMILIES
from scheduler.gain import LASTING, OPENING, gain, round_terms
from scheduler.portable import sigmoid

DAY = 86_400.0
FAMILY = FAMILIES["perception"]
families = st.sampled_from(list(FAMILIES.values()))
chances = st.floats(0.0, 0.9)
quicknesses = st.floats((1 / 3) ** 0.7, 3**0.7)
beliefs = st.builds(
    Belief,
    strength=st.floats(-8, 14),
    variance=st.floats(0.01, 4.0),
    at_s=st.just(0.0),
    met=st.integers(1, 100),
    right=st.just(1),
    missed=st.booleans(),
    recalled=st.integers(0, 3),
    was_firm=st.booleans(),
)


def met(*args, **kwargs):
    return meeting(*args, **kwargs).belief


def belief(strength=4.0, variance=1.0, **changes):
    values = {"at_s": 0.0, "met": 3, "right": 2, "missed": False, "recalled": 1, "was_firm": False}
    return Belief(strength=strength, variance=variance, **{**values, **changes})


@given(beliefs, families, st.floats(0, 1e9), st.floats(0, 1e9))
def test_time_never_makes_knowledge_grow(before, family, earlier, later):
    earlier, later = sorted((earlier, later))
    assert knowledge(before, later, family) <= knowledge(before, earlier, family)


@given(st.floats(-8, 14), st.floats(0.01, 6.0), chances, quicknesses)
def test_a_right_answer_never_speaks_against_knowledge(mean, variance, chance, quickness):
    seen = weighed(mean, variance, credit=1.0, chance=chance, quickness=quickness)
    assert seen.mean >= mean - 1e-9
    known = weighed(mean, variance, credit=1.0, chance=1.0, quickness=0.1).known  # says nothing
    assert seen.known >= known - 1e-9


@given(st.floats(-8, 14), st.floats(0.01, 6.0), chances, quicknesses)
def test_a_wrong_answer_never_speaks_for_knowledge(mean, variance, chance, quickness):
    seen = weighed(mean, variance, credit=0.0, chance=chance, quickness=quickness)
    assert seen.mean <= mean + 1e-9


@given(beliefs, families, st.floats(0, 60 * DAY), chances, quicknesses)
def test_a_right_answer_never_lowers_what_is_known(before, family, at_s, chance, quickness):
    after = met(before, at_s, family, credit=1.0, chance=chance, quickness=quickness)
    # Beyond the longest gap that counts, forgetting is not believed in full either.
    at_s = min(at_s, 45 * DAY)
    assert knowledge(after, after.at_s, family) >= knowledge(before, at_s, family) - 1e-9


@given(beliefs, families, st.floats(0, 60 * DAY), chances, quicknesses)
def test_more_credit_never_leaves_a_skill_weaker(before, family, at_s, chance, quickness):
    strengths = [
        met(before, at_s, family, credit=credit, chance=chance, quickness=quickness).strength
        for credit in (0.0, 0.25, 0.75, 1.0)
    ]
    assert strengths == pytest.approx(sorted(strengths), abs=1e-9)


def test_a_luckier_right_answer_says_less():
    strengths = [
        met(belief(), DAY, FAMILY, credit=1.0, chance=chance).strength
        for chance in (0.0, 0.25, 0.5, 0.9)
    ]
    assert strengths == sorted(strengths, reverse=True)


def test_a_quick_right_answer_says_more_than_a_slow_one():
    slow, usual, quick = (
        met(belief(), DAY, FAMILY, credit=1.0, chance=0.5, quickness=quickness).strength
        for quickness in (0.5, 1.0, 2.0)
    )
    assert slow < usual < quick


def test_an_answer_that_cannot_be_wrong_says_nothing():
    seen = weighed(0.7, 2.0, credit=1.0, chance=1.0, quickness=1.0 / 3.0)
    assert seen.mean == pytest.approx(0.7, abs=1e-9)
    assert seen.variance == pytest.approx(2.0, abs=1e-9)
    impossible = weighed(0.7, 2.0, credit=0.0, chance=1.0, quickness=1.0)
    assert math.isfinite(impossible.mean)


def test_the_odds_fall_by_a_power_law():
    """Worked by hand: log-odds a - d ln(1 + t / 0.01 day); for a = 4, d = 0.8 after one day,
    4 - 0.8 ln 101 = 0.3079; widened variance 1 + (0.06 ln 101)^2 = 1.0767; 0.5640 known."""
    assert knowledge(belief(4.0, 1.0), DAY, FAMILY) == pytest.approx(0.5640, abs=5e-4)
    odds = []
    for days in (99.99, 999.99):  # ten times as long for 1 + t / 0.01
        known = knowledge(belief(4.0, 0.0), days * DAY, FAMILY)
        widening = math.sqrt(1 + math.pi / 8 * (0.06 * math.log1p(days / 0.01)) ** 2)
        odds.append(math.log(known / (1 - known)) * widening)
    assert odds[0] - odds[1] == pytest.approx(0.8 * math.log(10))


@pytest.mark.parametrize("mean", [-4.0, -1.0, 0.0, 2.0, 5.0])
@pytest.mark.parametrize("variance", [0.1, 1.0, 4.0])
def test_the_mean_of_a_sigmoid_is_near_the_integral(mean, variance):
    """scipy.integrate.quad of the logistic against the normal density."""
    normal = stats.norm(mean, math.sqrt(variance))
    exact, _ = integrate.quad(lambda x: sigmoid(x) * normal.pdf(x), mean - 25, mean + 25)
    assert expected_sigmoid(mean, variance) == pytest.approx(exact, abs=0.02)


@pytest.mark.parametrize("mean", [-3.0, 0.0, 2.5])
@pytest.mark.parametrize("variance", [0.3, 2.0, 5.0])
@pytest.mark.parametrize("credit", [0.0, 1.0])
def test_bayes_by_thirteen_points_agrees_with_the_integral(mean, variance, credit):
    """scipy.integrate.quad of prior times likelihood, slip and chance written out anew."""
    normal, chance = stats.norm(mean, math.sqrt(variance)), 0.25

    def likelihood(x):
        right = (1 - SLIP) * sigmoid(x) + chance * (1 - sigmoid(x))
        return right if credit else 1 - right

    def moment(power):
        value, _ = integrate.quad(
            lambda x: x**power * likelihood(x) * normal.pdf(x), mean - 25, mean + 25, limit=200
        )
        return value

    exact = moment(1) / moment(0)
    seen = weighed(mean, variance, credit=credit, chance=chance, quickness=1.0)
    assert seen.mean == pytest.approx(exact, abs=0.01)
    assert seen.variance == pytest.approx(moment(2) / moment(0) - exact**2, abs=0.02)


def test_the_points_of_the_rule_are_those_of_gauss_and_hermite():
    """numpy.polynomial.hermite_e.hermegauss(13), weights scaled to sum 1."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(13)
    assert np.array(RULE) == pytest.approx(np.column_stack([nodes, weights / weights.sum()]))


def test_a_clock_set_back_counts_as_one_day():
    assert gap_days(belief(at_s=9 * DAY), 2 * DAY) == 1.0
    assert knowledge(belief(at_s=9 * DAY), 0.0, FAMILY) == knowledge(belief(), DAY, FAMILY)


def test_a_gap_beyond_45_days_teaches_no_more_than_one_of_45():
    month, years = (
        met(belief(), days * DAY, FAMILY, credit=1.0, chance=0.25) for days in (45, 4500)
    )
    assert month.strength == years.strength
    assert month.variance == years.variance


def test_a_longer_gap_is_worth_more_when_it_is_bridged():
    """The spacing effect (Cepeda et al. 2008)."""
    strengths = [
        met(belief(), days * DAY, FAMILY, credit=1.0, chance=0.25).strength for days in (0.01, 1, 5)
    ]
    assert strengths == sorted(strengths)


def test_the_four_words():
    one = met(None, 0.0, FAMILY, credit=1.0, chance=0.25)
    assert state(None, 0.0, FAMILY) == "unheard"
    assert state(one, 0.0, FAMILY) == "coming"
    known = one
    for day in range(1, 8):
        known = met(known, day * DAY, FAMILY, credit=1.0, chance=0.25)
    assert state(known, 7 * DAY, FAMILY) == "firm"
    assert state(known, 200 * DAY, FAMILY) == "shaky"
    missed = met(known, 8 * DAY, FAMILY, credit=0.0, chance=0.25)
    assert state(missed, 8 * DAY, FAMILY) == "shaky"
    for day in range(1, 5):
        one = met(one, day * DAY, FAMILY, credit=0.0, chance=0.25)
    assert state(one, 4 * DAY, FAMILY) == "shaky"


def test_twenty_right_answers_in_one_sitting_make_nothing_firm():
    known = None
    for minute in range(20):
        known = met(known, 60.0 * minute, FAMILY, credit=1.0, chance=0.25)
    assert state(known, 1200.0, FAMILY) == "coming"


def test_slips_and_luck_bound_what_is_foretold():
    assert chance_right(1.0, 0.25) == pytest.approx(0.95)
    assert chance_right(0.0, 0.25) == pytest.approx(0.25)


@given(beliefs, families, st.floats(0, 40 * DAY), chances)
def test_what_is_expected_of_a_meeting_is_the_mean_over_its_outcomes(before, family, at_s, chance):
    """Bayes' rule keeps the mean: right and wrong, weighed by their chances, average to it."""
    known = knowledge(before, at_s, family)
    right = chance_right(known, chance)
    after = [met(before, at_s, family, credit=c, chance=chance).strength for c in (1.0, 0.0)]
    mean = right * after[0] + (1 - right) * after[1]
    # The logistic-normal approximation and the guard after a right answer leave a little over.
    assert expected_after(before, at_s / DAY, family)[0] == pytest.approx(mean, abs=0.35)


def test_the_gain_is_that_of_the_horizons_written_out():
    at_s, before = 2 * DAY, belief(4.0, 1.0)
    strength, variance = expected_after(before, 2.0, FAMILY)
    after = belief(strength, variance, at_s=at_s)
    expected = sum(
        weight
        * (
            knowledge(after, at_s + days * DAY, FAMILY)
            - knowledge(before, at_s + days * DAY, FAMILY)
        )
        for days, weight in HORIZONS
    )
    assert gain(before, at_s, FAMILY) == pytest.approx(expected)
    assert sum(weight for _, weight in HORIZONS) == pytest.approx(1.0)
