"""What an answer says: Bayes' rule with slips and lucky guesses."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from scheduler.evidence import RULE, SLIP, chance_right, expected_sigmoid, weighed
from scheduler.portable import sigmoid

chances = st.floats(0.0, 0.9)
quicknesses = st.floats((1 / 3) ** 0.7, 3**0.7)


@given(st.floats(-8, 14), st.floats(0.01, 6.0), chances, quicknesses)
def test_a_right_answer_never_speaks_against_knowledge(mean, variance, chance, quickness):
    seen = weighed(mean, variance, credit=1.0, chance=chance, quickness=quickness)
    assert seen.mean >= mean - 1e-9


@given(st.floats(-8, 14), st.floats(0.01, 6.0), chances, quicknesses)
def test_a_wrong_answer_never_speaks_for_knowledge(mean, variance, chance, quickness):
    seen = weighed(mean, variance, credit=0.0, chance=chance, quickness=quickness)
    assert seen.mean <= mean + 1e-9


def test_an_answer_that_cannot_be_wrong_says_nothing():
    seen = weighed(0.7, 2.0, credit=1.0, chance=1.0, quickness=1.0 / 3.0)
    assert seen.mean == pytest.approx(0.7, abs=1e-9)
    assert seen.variance == pytest.approx(2.0, abs=1e-9)
    impossible = weighed(0.7, 2.0, credit=0.0, chance=1.0, quickness=1.0)
    assert math.isfinite(impossible.mean)


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


def test_slips_and_luck_bound_what_is_foretold():
    assert chance_right(1.0, 0.25) == pytest.approx(0.95)
    assert chance_right(0.0, 0.25) == pytest.approx(0.25)


@given(st.floats(-8, 14), st.floats(0.01, 6.0), chances)
def test_credit_between_lies_between(mean, variance, chance):
    means = [
        weighed(mean, variance, credit=credit, chance=chance).mean
        for credit in (0.0, 0.3, 0.7, 0.99, 1.0)
    ]
    assert means == pytest.approx(sorted(means), abs=1e-9)
