"""How a student's own answers correct a family's figures."""

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize

from scheduler.belief import Surprise, foretold, met
from scheduler.evidence import RULE, SLIP, chance_right, weighed
from scheduler.figures import FAMILIES, noting, taken_up, usual
from scheduler.portable import logit, sigmoid

DAY = 86_400.0
surprises = st.builds(
    Surprise,
    known=st.floats(0.01, 0.99),
    score=st.floats(-2, 2),
    information=st.floats(0, 1),
    bends=st.tuples(st.floats(0, 1), st.floats(-10, 10), st.floats(0, 4)),
)
told = st.lists(
    st.tuples(surprises, st.sampled_from([0.0, 0.4, 1.0]), st.floats(0, 0.9)), max_size=15
)


def gathered(told, figures):
    for surprise, credit, chance in told:
        figures = noting(figures, surprise, credit=credit, chance=chance)
    return figures


@given(told, st.randoms(use_true_random=False))
def test_the_order_within_a_session_changes_nothing_to_the_last_bit(told, random):
    shuffled = random.sample(told, len(told))
    start = usual("facts")
    assert repr(gathered(told, start)) == repr(gathered(shuffled, start))


@given(told)
def test_figures_stay_within_their_bounds(told):
    figures = taken_up(gathered(told, usual("orders")), usual("orders"))
    first, fading, gain, shift, steepness = figures.family
    assert 0.5 <= first <= 6.0
    assert 0.3 <= fading <= 2.0
    assert 0.1 <= gain <= 2.5
    assert -2.0 <= shift <= 2.0
    assert 0.4 <= steepness <= 2.5
    assert all(precision > 0.0 for precision in figures.precisions)


def test_with_nothing_told_nothing_moves():
    assert taken_up(usual("facts"), usual("facts")).family == FAMILIES["facts"]
    assert usual("of no family").family == FAMILIES["perception"]


@pytest.mark.parametrize("credit", [0.0, 1.0])
@pytest.mark.parametrize(("mean", "variance"), [(-1.0, 2.0), (1.5, 0.7), (0.0, 4.0)])
def test_the_score_is_the_slope_of_the_answer_s_likelihood(mean, variance, credit):
    """scipy.optimize.approx_fprime of the log of the likelihood's mean over the rule."""

    def log_likelihood(at):
        total = 0.0
        for node, weight in RULE:
            right = chance_right(sigmoid(float(at[0]) + math.sqrt(variance) * node), 0.25)
            total += weight * (right if credit else 1.0 - right)
        return math.log(total)

    seen = weighed(mean, variance, credit=credit, chance=0.25)
    slope = optimize.approx_fprime([mean], log_likelihood, 1e-6)[0]
    assert (seen.mean - mean) / variance == pytest.approx(slope, abs=3e-3)


def test_straightening_takes_newton_s_step_on_the_penalised_likelihood():
    """The step is worked out anew with scipy: the gradient by differences, the curvature expected
    of the answers (Fisher scoring, McCullagh & Nelder 1989)."""
    rng = random.Random(3)
    rows = []
    for _ in range(60):
        known = rng.uniform(0.05, 0.95)
        right = rng.random() < chance_right(sigmoid(-0.5 + 0.7 * logit(known)), 0.25)
        rows.append((known, float(right), 0.25))

    def objective(values):
        shift, steepness = values
        total = 2.0 * shift**2 + 8.0 * (steepness - 1.0) ** 2  # deviations of 1/2 and 1/4
        for known, credit, chance in rows:
            said = sigmoid(shift + steepness * logit(known))
            right = (1.0 - SLIP) * said + chance * (1.0 - said)
            total -= math.log(right if credit else 1.0 - right)
        return total

    def curvature(i, j):
        total = (4.0, 16.0)[i] if i == j else 0.0
        for known, _, chance in rows:
            tilt = (1.0 - SLIP - chance) * known * (1.0 - known)
            right = chance_right(known, chance)
            x = (1.0, logit(known))
            total += tilt * tilt / (right * (1.0 - right)) * x[i] * x[j]
        return total

    slope = optimize.approx_fprime([0.0, 1.0], objective, 1e-7)
    a, b, c = curvature(0, 0), curvature(0, 1), curvature(1, 1)
    step = [
        -(c * slope[0] - b * slope[1]) / (a * c - b * b),
        -(a * slope[1] - b * slope[0]) / (a * c - b * b),
    ]
    told = [(Surprise(known, 0.0, 0.0, (0.0, 0.0, 0.0)), y, chance) for known, y, chance in rows]
    family = taken_up(gathered(told, usual("facts")), usual("facts")).family
    assert family.shift == pytest.approx(step[0], abs=1e-4)
    assert family.steepness - 1.0 == pytest.approx(step[1], abs=1e-4)
    assert family.shift < 0.0
    assert family.steepness < 1.0


@pytest.mark.parametrize(("name", "off"), [("gain", 0.5), ("gain", -0.3), ("fading", -0.25)])
def test_a_student_who_learns_otherwise_is_found_out(name, off):
    """Answers of one who learns and forgets by the model, with another figure: it is moved to."""
    usual_family = FAMILIES["perception"]
    true = usual_family._replace(**{name: getattr(usual_family, name) + off})
    rng, figures, beliefs, truth = random.Random(7), usual("perception"), {}, {}
    for day in range(40):
        for skill in range(day % 3, 60, 3):
            at_s = day * DAY
            belief, real = beliefs.get(skill), truth.get(skill)
            if real is None:
                credit, chance = 1.0, 1.0
            else:
                chance = 0.25
                known = sigmoid(real[0] - true.fading * math.log1p((day - real[1]) / 0.01))
                credit = float(rng.random() < chance_right(known, chance))
            seen = foretold(belief, at_s, figures.family)
            found = met(belief, seen, at_s, figures.family, credit=credit, chance=chance)
            beliefs[skill] = found.belief
            figures = noting(figures, found.surprise, credit=credit, chance=chance)
            brought = math.exp(-1.8 + true.fading * math.log(501.0))
            strength = math.log(math.exp(true.first) + brought) if real is None else real[0]
            if real is not None:
                fresh = 0.15 + 0.85 * (1.0 - known)
                strength += true.gain * fresh
            truth[skill] = (strength, day)
        figures = taken_up(figures, usual("perception"))
    moved = getattr(figures.family, name) - getattr(usual_family, name)
    assert moved / off > 0.15


@pytest.mark.parametrize("figure", [0, 1, 2])
def test_the_bends_of_a_belief_are_its_differences(figure):
    """How strength and foretold mean change with first, fading and gain, by finite differences of
    four meetings; what was seen is held, as the bends suppose: each answer says little here."""
    step = 1e-4

    def followed(off):
        family = FAMILIES["perception"]
        family = family._replace(**{family._fields[figure]: family[figure] + off})
        belief, means, bends = None, [], []
        for at_s in (0.0, 0.9 * DAY, 2.0 * DAY, 5.0 * DAY):
            seen = foretold(belief, at_s, family)
            # A chance near one: right says nearly nothing, so that evidence hardly moves.
            found = met(belief, seen, at_s, family, credit=1.0, chance=0.94)
            means.append(seen.mean)
            bends.append(found.surprise.bends[figure])
            belief = found.belief
        return [*means, belief.strength], [*bends, belief.bends[figure]]

    (up, _), (down, _), (_, bends) = followed(step), followed(-step), followed(0.0)
    slopes = [(one - other) / (2.0 * step) for one, other in zip(up, down, strict=True)]
    assert bends == pytest.approx(slopes, abs=0.35)
    assert any(abs(slope) > 0.2 for slope in slopes)


def test_what_was_gathered_is_taken_up_by_a_step_on_paper():
    """For fading: precision 1 / 0.12^2 = 69.44; slopes of 4 and curvatures of 10 gathered count
    half: 69.44 + 5 = 74.44, and 0.8 + 2 / 74.44 = 0.8269."""
    told = Surprise(0.5, 2.0, 5.0, (0.0, 1.0, 0.0))
    figures = usual("perception")
    for _ in range(2):
        figures = noting(figures, told, credit=1.0, chance=0.96)
    after = taken_up(figures, usual("perception"))
    assert after.family.fading == pytest.approx(0.8269, abs=1e-4)
    assert after.precisions[1] == pytest.approx(74.44, abs=0.01)
    assert after.family[0] == FAMILIES["perception"].first
    # What is known of a student's figures fades a little with each session.
    later = taken_up(after, usual("perception"))
    assert 69.44 < later.precisions[1] < after.precisions[1]
