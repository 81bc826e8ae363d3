"""What predictions are worth, held against published formulas, scipy and sums done by hand."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom, binomtest

from scheduler.reliability import FEW, SUREST, Foretold, reliability, told_in, wilson

forecasts = st.lists(
    st.builds(Foretold, st.just("swara"), st.floats(0, 1), st.booleans()), min_size=1, max_size=60
)


def told(*pairs):
    return [Foretold("swara", predicted, bool(right)) for predicted, right in pairs]


def test_scores_of_four_answers_are_those_worked_by_hand():
    # Predictions .8 .8 .6 .1, outcomes 1 0 1 0, of which the share is 1/2.
    found = reliability(told((0.8, 1), (0.8, 0), (0.6, 1), (0.1, 0)))
    assert found.log_loss == pytest.approx(-math.log(0.8 * 0.2 * 0.6 * 0.9) / 4, rel=1e-12)
    assert found.brier.score == pytest.approx((0.04 + 0.64 + 0.16 + 0.01) / 4, rel=1e-12)
    # Bands: .8 twice (share 1/2), .6 once (1), .1 once (0).
    assert found.brier.reliability == pytest.approx((2 * 0.09 + 0.16 + 0.01) / 4, rel=1e-12)
    assert found.brier.resolution == pytest.approx((0 + 0.25 + 0.25) / 4, rel=1e-12)
    assert found.brier.uncertainty == 0.25
    assert found.brier.within == pytest.approx(0, abs=1e-12)
    assert found.calibration_error == pytest.approx((2 * 0.3 + 0.4 + 0.1) / 4, rel=1e-12)
    assert found.constant_log_loss == pytest.approx(math.log(2), rel=1e-12)
    assert (found.count, found.share, found.fullest.low) == (4, 0.5, 0.8)
    assert found.predicted == pytest.approx(2.3 / 4, rel=1e-12)


# D. S. Wilks, Statistical Methods in the Atmospheric Sciences (1995), table 7.3: 12,402 forecasts
# of precipitation as issued, how often each was, and how often it rained then. As the manual of R's
# package `verification` prints it, with the two slips of a decimal place in the shares mended.
ISSUED = (0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0)
HOW_OFTEN = (0.4112, 0.0671, 0.1833, 0.0986, 0.0616, 0.0366, 0.0303, 0.0275, 0.0245, 0.022, 0.017,
             0.0203)  # fmt: skip
RAINED = (0.006, 0.019, 0.059, 0.15, 0.277, 0.377, 0.511, 0.587, 0.723, 0.779, 0.934, 0.933)


def test_a_published_table_of_forecasts_has_its_rain_and_its_parts():
    counts = [round(12_402 * often) for often in HOW_OFTEN]
    wet = [round(count * share) for count, share in zip(counts, RAINED, strict=True)]
    found = reliability(
        [
            Foretold("rain", predicted, turn < rained)
            for predicted, count, rained in zip(ISSUED, counts, wet, strict=True)
            for turn in range(count)
        ]
    )
    assert found.share == pytest.approx(0.162, abs=0.0005)  # the climate that the table states
    # Murphy's parts from the table's own rows; but the first band, which has two probabilities.
    issued, often, rained = map(np.array, (ISSUED, HOW_OFTEN, RAINED))
    climate = np.sum(often * rained)
    reliable = np.sum(often * (issued - rained) ** 2)
    resolved = np.sum(often * (rained - climate) ** 2)
    brier = found.brier
    assert brier.score == pytest.approx(reliable - resolved + climate * (1 - climate), abs=1e-4)
    assert brier.reliability == pytest.approx(reliable, abs=2e-4)
    assert brier.resolution == pytest.approx(resolved, abs=2e-4)
    for band, share in zip(found.bands[1:9], RAINED[2:10], strict=True):
        assert band.share == pytest.approx(share, abs=0.002)
    assert [band.count for band in found.bands[1:9]] == counts[2:10]


@given(forecasts)
def test_the_parts_of_a_brier_score_make_it_up(foretold):
    brier = reliability(foretold).brier
    whole = brier.reliability - brier.resolution + brier.uncertainty + brier.within
    assert whole == pytest.approx(brier.score, abs=1e-12)
    outcomes = np.array([each.right for each in foretold], float)
    predicted = np.array([each.predicted for each in foretold])
    assert brier.score == pytest.approx(np.mean((predicted - outcomes) ** 2), abs=1e-12)
    assert brier.uncertainty == pytest.approx(np.var(outcomes), abs=1e-12)


@given(forecasts)
def test_bands_losses_and_calibration_are_those_of_numpy(foretold):
    found = reliability(foretold)
    predicted = np.array([each.predicted for each in foretold])
    right = np.array([each.right for each in foretold])
    counts, _ = np.histogram(predicted * 10, bins=np.arange(11))
    assert [band.count for band in found.bands] == counts.tolist()
    given_to_it = np.clip(np.where(right, predicted, 1 - predicted), SUREST, 1)
    assert found.log_loss == pytest.approx(-np.mean(np.log(given_to_it)), abs=1e-12)
    band_of = np.minimum((predicted * 10).astype(int), 9)
    off = [abs(np.sum((predicted - right)[band_of == band])) for band in range(10)]
    assert found.calibration_error == pytest.approx(np.sum(off) / len(foretold), abs=1e-12)
    share = np.mean(right)
    entropy = -sum(p * math.log(p) for p in (share, 1 - share) if p)
    assert found.constant_log_loss == pytest.approx(entropy, abs=1e-5)


@given(st.integers(1, 400).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_the_interval_of_a_share_is_that_of_scipy(right_of):
    right, count = right_of
    theirs = binomtest(right, count).proportion_ci(0.95, method="wilson")
    assert wilson(right, count) == pytest.approx((theirs.low, theirs.high), abs=1e-9)


def test_few_are_those_whose_interval_may_be_wider_than_two_fifths():
    widths = {count: max(np.ptp(wilson(n, count)) for n in range(count + 1)) for count in (19, 20)}
    assert FEW == 20
    assert widths[20] < 0.402 < widths[19]
    assert wilson(0, 0) == (0.0, 1.0)


@pytest.mark.parametrize(("chance", "count"), [(0.85, 40), (0.5, 100), (0.95, 300)])
def test_what_luck_adds_to_the_calibration_error_is_what_a_binomial_law_says(chance, count):
    found = reliability(told(*[(chance, turn % 2) for turn in range(count)]))
    rights = np.arange(count + 1)
    exact = np.sum(binom.pmf(rights, count, chance) * np.abs(rights / count - chance))
    assert found.calibration_luck == pytest.approx(exact, rel=0.03)


def test_certainty_that_fails_costs_much_but_not_everything():
    assert reliability(told((1.0, 0), (0.0, 1))).log_loss == pytest.approx(-math.log(1e-6))


def test_what_was_presented_or_is_too_old_is_left_out_and_part_credit_is_not_right(
    answer_to, start
):
    answers = [
        answer_to(day=0, predicted=0.9, chance=0.25),
        answer_to(day=1, predicted=1.0, chance=1.0),
        answer_to(day=2, predicted=0.7, chance=0.1, credit=0.5, kind="order"),
        answer_to(day=3, predicted=0.6, chance=0.5, credit=0.0),
    ]
    told = told_in(answers)
    assert (told.presented, told.in_part) == (1, 1)
    assert told.foretold == (
        Foretold("swara", 0.9, True),
        Foretold("order", 0.7, False),
        Foretold("swara", 0.6, False),
    )
    assert {kind: len(each) for kind, each in told.by_kind().items()} == {"swara": 2, "order": 1}
    lately = told_in(answers, since=answers[2].utc)
    assert (len(lately.foretold), lately.presented) == (2, 0)


def test_nothing_foretold_is_refused():
    with pytest.raises(ValueError, match="give at least one prediction"):
        reliability([])
