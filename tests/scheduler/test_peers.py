"""The peers in the benchmark of planning, as far as they run without the libraries among them.

`python -m tests.benchmarks.simulated.peers.search --check` holds the rest beside the libraries.
"""

import random
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from scheduler import Item, Meeting
from scheduler.answer import milliseconds_of
from tests.benchmarks.simulated.peers import WAYS, hindsight, ways
from tests.benchmarks.simulated.peers.boxes import Boxes
from tests.benchmarks.simulated.peers.chance import InTurn
from tests.benchmarks.simulated.peers.choosing import DAY_MS
from tests.benchmarks.simulated.peers.found import BUDGETS, FOUND, PACED
from tests.benchmarks.simulated.peers.recall import beta_curve, days_to, power_curve
from tests.benchmarks.simulated.peers.steps import FixedSteps
from tests.benchmarks.simulated.peers.table import PEERS
from tests.benchmarks.simulated.worlds import WORLDS

START = datetime(2026, 1, 1, 18, tzinfo=UTC)
NEED_NO_LIBRARY = [name for name, peer in PEERS.items() if not peer.library]


def course(skills=12):
    seconds = (9.0, 10.0, 16.0)
    return [Item(f"s{i}", "kind", "facts", "c", 0.25, seconds[i % 3]) for i in range(skills)]


def met(item, now, credit=1.0, chance=0.25):
    return Meeting(
        item.skill, "kind", credit, None, chance, 900, milliseconds_of(now), 0.0, "d", "s"
    )


def practise(way, day, seconds, rng):
    """What is asked on one day, in order; answers are right half of the time."""
    asked, left, now = [], seconds, START + timedelta(days=day)
    way.begin(now, seconds, None)
    while item := way.pick(now, left):
        yield item, left
        left -= item.seconds
        now += timedelta(seconds=item.seconds)
        asked.append(item)
        way.answered(met(item, now, float(rng.random() < 0.5)))


@pytest.mark.parametrize("name", NEED_NO_LIBRARY)
def test_no_skill_comes_twice_in_a_row_and_each_fits_the_time(name):
    way, rng, begun, last = WAYS[name](course(), 3), random.Random(4), set(), None
    for day in range(6):
        for item, left in practise(way, day, 300.0, rng):
            assert item.skill != last
            assert item.seconds * (1.0 if item.skill in begun else 1.5) <= left
            begun.add(item.skill)
            last = item.skill
    assert len(begun) > 1


@pytest.mark.parametrize("name", NEED_NO_LIBRARY)
def test_a_course_of_one_skill_is_asked_again_and_again(name):
    asked = list(practise(WAYS[name](course(1), 3), 0, 100.0, random.Random(4)))
    assert len(asked) > 5


def test_so_many_are_new_in_a_day_and_fractions_add_up():
    way, rng, begun, new = InTurn(course(), 3, new_a_day=2.5), random.Random(4), set(), []
    for day in range(4):
        before = len(begun)
        begun |= {item.skill for item, _ in practise(way, day, 300.0, rng)}
        new.append(len(begun) - before)
    assert new == [2, 3, 2, 3]


def test_fixed_steps_expand_by_their_factor_whatever_the_answers():
    way, item, now, waits = FixedSteps(course(2), 3, first=1.0, factor=2.3), course()[0], START, []
    for credit in (1.0, 0.0, 1.0, 0.0, 1.0):
        way.answered(met(item, now, credit))
        waits.append(way.due_at[0] - milliseconds_of(now) // DAY_MS)
        now += timedelta(days=waits[-1])
    assert waits == [1, 2, 5, 12, 28]  # 2.3 to the powers 0 to 4, rounded


@pytest.mark.parametrize(
    ("settings", "answers", "box"),
    [
        ({}, "rr", 2),
        ({}, "rrrrrr", 4),
        ({}, "rrw", 0),
        ({"one_down": True}, "rrw", 1),
        ({"boxes": 2}, "rrr", 1),
    ],
)
def test_boxes_rise_on_right_and_fall_on_wrong(settings, answers, box):
    way, item, now = Boxes(course(2), 3, first=1.0, factor=2.0, **settings), course()[0], START
    way.answered(met(item, now))
    for answer in answers:
        now = START + timedelta(days=float(way.due_at[0]) - milliseconds_of(START) // DAY_MS)
        way.answered(met(item, now, float(answer == "r")))
    assert way.due_at[0] - milliseconds_of(now) // DAY_MS == 2.0**box


@pytest.mark.parametrize(("early", "wait"), [(False, 1), (True, 2)])
def test_asked_before_it_is_due_a_skill_rises_only_where_it_may(early, wait):
    way = Boxes(course(2), 3, first=1.0, factor=2.0, early=early)
    for _ in range(2):
        way.answered(met(course()[0], START))
    assert way.due_at[0] - milliseconds_of(START) // DAY_MS == wait


@pytest.mark.parametrize("power", [0.1542, 0.5])
def test_the_power_curve_is_nine_tenths_where_it_says(power):
    lasting = np.array([0.2, 3.0, 80.0])
    assert power_curve(lasting, ninety=lasting, power=power) == pytest.approx(0.9)
    days = days_to(0.7, ninety=3.0, power=power)
    assert power_curve(np.array([days]), ninety=np.array([3.0]), power=power) == pytest.approx(0.7)


def test_recall_by_halves_has_the_moments_of_a_beta_distribution():
    alpha, beta = np.array([1.5, 3.0]), np.array([2.0, 3.0])
    days, moment = np.array([4.0, 4.0]), np.ones(2)
    for times in (1, 2, 3):  # E p^k = (a + k - 1) / (a + b + k - 1) E p^(k - 1), from memory
        moment = moment * (alpha + times - 1) / (alpha + beta + times - 1)
        recall = beta_curve(times * days, alpha=alpha, beta=beta, unit=days)
        assert recall == pytest.approx(moment)


def test_every_peer_has_settings_for_every_budget_and_world():
    assert {(row.peer, row.minutes, row.world) for row in FOUND} == {
        (peer, minutes, world)
        for peer in PEERS
        for minutes in BUDGETS
        for world in ("all", *WORLDS)
    }
    for row in FOUND:
        for name, value in row.settings.items():
            assert value in PEERS[row.peer].space[name], row
    assert set(ways(15.0)) == set(hindsight("A", 5.5)) >= set(PEERS)
    paced = set(ways(15.0)) - set(PEERS)
    assert paced == {peer + PACED for peer in PEERS if "new_a_day" in PEERS[peer].space}
