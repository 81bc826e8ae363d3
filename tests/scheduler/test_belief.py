"""Forgetting, evidence and learning of one skill."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.belief import Belief, expected_after, foretold, gap_days, knowledge, state
from scheduler.belief import met as meeting
from scheduler.evidence import chance_right
from scheduler.figures import FAMILIES

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


def met(before, at_s, family, **answer):
    return meeting(before, foretold(before, at_s, family), at_s, family, **answer).belief


def belief(strength=4.0, variance=1.0, **changes):
    values = {"at_s": 0.0, "met": 3, "right": 2, "missed": False, "recalled": 1, "was_firm": False}
    return Belief(strength=strength, variance=variance, **{**values, **changes})


@given(beliefs, families, st.floats(0, 1e9), st.floats(0, 1e9))
def test_time_never_makes_knowledge_grow(before, family, earlier, later):
    earlier, later = sorted((earlier, later))
    assert knowledge(before, later, family) <= knowledge(before, earlier, family)


@given(beliefs, families, st.floats(0, 60 * DAY), chances, quicknesses, st.floats(-2, 2))
def test_a_right_answer_never_lowers_what_is_known(before, family, at_s, chance, quickness, common):
    seen = foretold(before, at_s, family, common)
    told = {"credit": 1.0, "chance": chance, "quickness": quickness}
    after, shared, _ = meeting(before, seen, at_s, family, **told)
    assert shared >= -1e-9  # nor what it has in common with its kin
    known = knowledge(before, at_s, family, common)
    assert knowledge(after, at_s, family, common + shared) >= known - 1e-9


@given(beliefs, families, st.floats(0, 60 * DAY), chances, quicknesses, st.floats(0, 60 * DAY))
def test_a_wrong_answer_never_raises_belief(before, family, at_s, chance, quickness, later_s):
    """As evidence, less the teaching that follows it: the right answer is explained, which after a
    miss strengthens as after a right answer. What is believed of kin falls; of the skill itself
    less is believed than after a right answer, and it gains no more than that teaching gives."""
    seen = foretold(before, at_s, family)
    told = {"chance": chance, "quickness": quickness}
    wrong, shared, _ = meeting(before, seen, at_s, family, credit=0.0, **told)
    right, lent, _ = meeting(before, seen, at_s, family, credit=1.0, **told)
    assert shared <= 1e-9
    later_s += at_s
    assert wrong.strength <= before.strength + family.gain + 1e-9
    believed = knowledge(wrong, later_s, family, shared)
    assert believed <= knowledge(right, later_s, family, lent) + 1e-9
    words = [state(one, at_s, family) for one in (before, wrong)]
    assert "firm" not in words[1:]


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


def test_the_odds_fall_by_a_power_law():
    """Worked by hand: log-odds a - d ln(1 + t / 0.01 day); for a = 4, d = 0.8 after one day,
    4 - 0.8 ln 101 = 0.3079; variance 1 + 0.3 with its kin + (0.06 ln 101)^2 = 1.3767; over
    (1 + pi / 8 * 1.3767)^0.5 = 1.2411 that is 0.2481; 0.5617 known."""
    assert knowledge(belief(4.0, 1.0), DAY, FAMILY) == pytest.approx(0.5617, abs=1e-4)
    odds = []
    for days in (99.99, 999.99):  # ten times as long for 1 + t / 0.01
        known = knowledge(belief(4.0, 0.0), days * DAY, FAMILY)
        widening = math.sqrt(1 + math.pi / 8 * (0.3 + (0.06 * math.log1p(days / 0.01)) ** 2))
        odds.append(math.log(known / (1 - known)) * widening)
    assert odds[0] - odds[1] == pytest.approx(0.8 * math.log(10))


def test_a_clock_set_back_counts_as_one_day():
    assert gap_days(belief(at_s=9 * DAY), 2 * DAY) == 1.0
    assert knowledge(belief(at_s=9 * DAY), 0.0, FAMILY) == knowledge(belief(), DAY, FAMILY)


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


@given(beliefs, families, st.floats(0, 40 * DAY), chances)
def test_what_is_expected_of_a_meeting_is_the_mean_over_its_outcomes(before, family, at_s, chance):
    """Bayes' rule keeps the mean: right and wrong, weighed by their chances, average to it."""
    known = knowledge(before, at_s, family)
    right = chance_right(known, chance)
    after = [met(before, at_s, family, credit=c, chance=chance).strength for c in (1.0, 0.0)]
    mean = right * after[0] + (1 - right) * after[1]
    # The logistic-normal approximation and the guard after a right answer leave a little over.
    assert expected_after(before, at_s / DAY, family)[0] == pytest.approx(mean, abs=0.35)


@pytest.mark.parametrize(("hours", "recalled"), [(7.0, 0), (9.0, 1)])
def test_only_what_was_kept_for_eight_hours_counts_as_recalled(hours, recalled):
    first = met(None, 0.0, FAMILY, credit=1.0, chance=0.25)
    assert met(first, hours * 3600.0, FAMILY, credit=1.0, chance=0.25).recalled == recalled


def test_firm_is_what_will_last_three_days():
    """Strengths chosen so that knowledge is .7 on the second or the fourth day (by bisection)."""

    def lasting(days):
        low, high = 0.0, 20.0
        for _ in range(60):
            middle = (low + high) / 2.0
            known = knowledge(belief(middle, 0.3), days * DAY, FAMILY)
            low, high = (low, middle) if known >= 0.7 else (middle, high)
        return belief(high, 0.3)

    assert state(lasting(2.0), 0.0, FAMILY) != "firm"
    assert state(lasting(4.0), 0.0, FAMILY) == "firm"


def test_a_clock_behind_by_a_little_is_no_day():
    assert gap_days(belief(at_s=DAY), DAY - 2.0) == 0.0
    assert gap_days(belief(at_s=DAY), DAY - 7200.0) == 1.0


def test_what_was_told_is_no_answer_of_the_student_s():
    missed = met(
        met(None, 0.0, FAMILY, credit=1.0, chance=1.0), DAY, FAMILY, credit=0.0, chance=0.2
    )
    shown = met(missed, 2 * DAY, FAMILY, credit=1.0, chance=1.0)
    assert (shown.met, shown.told, shown.asked, shown.right) == (3, 2, 1, 0)
    assert shown.missed
    assert shown.recalled == 0
