"""The made-up students that judge planning: their worlds are as published, their answers fair."""

import itertools
import math

import numpy as np
import pytest

from tests.benchmarks.simulated.course import choices_of, course
from tests.benchmarks.simulated.measures import calibration_error, measured
from tests.benchmarks.simulated.ours import WAYS
from tests.benchmarks.simulated.peers import WAYS as PEERS
from tests.benchmarks.simulated.practice import Asked, Counted, Mixed, Terms, practise
from tests.benchmarks.simulated.student import Student
from tests.benchmarks.simulated.worlds import (
    WORLDS,
    Activation,
    HalfLife,
    Multiscale,
    PowerLaw,
    Traits,
    TwoScales,
)

ITEMS = course()


def traits(many=1):
    return Traits(
        families=("perception",) * many,
        kinds=("gap",) * many,
        ease=np.zeros(many),
        before=np.zeros(many, dtype=bool),
        rng=np.random.default_rng(1),
    )


def test_the_course_has_150_skills_in_clusters_that_can_fill_a_question():
    sizes = {c: sum(i.cluster == c for i in ITEMS) for c in {i.cluster for i in ITEMS}}
    assert len({item.skill for item in ITEMS}) == 150
    assert all(2 <= choices_of(item) <= min(8, sizes[item.cluster]) for item in ITEMS)


@pytest.mark.parametrize("world", WORLDS)
def test_knowledge_falls_with_time_and_rises_with_a_meeting(world):
    student = Student(ITEMS, world, 3)
    now = 0.75
    for skill in (0, 1, 0, 5, 1, 0):
        student.world.wake(now)
        before = student.world.known_of(skill, now)
        student.world.meet(skill, now, before > 0.5)
        assert student.world.known_of(skill, now + 1e-4) > before - 0.02
        student.world.sleep(now + 0.01)
        now += 1.0
    days = now + np.array([0.0, 0.1, 1.0, 7.0, 60.0, 600.0])
    curves = np.array([student.world.known(day) for day in days])
    assert (np.diff(curves, axis=0) <= 1e-12).all()
    assert curves.min() >= 0.0
    assert curves.max() <= 1.0
    one_by_one = [student.world.known_of(i, days[2]) for i in range(len(ITEMS))]
    assert curves[2] == pytest.approx(one_by_one)


def test_power_law():
    # K = λ(1 + βt)^−ψ (Wixted & Carpenter 2007): .9 · (1 + 20·4)^−.5 = .9 / 9.
    world = PowerLaw(traits())
    world.beta[:], world.psi[:] = 20.0, 0.5
    world.meet(0, 2.0, recalled=False)
    assert world.known_of(0, 6.0) == pytest.approx(0.1)


def test_half_life_regression():
    # p = 2^(−Δ/h) (Settles & Meeder 2016): three half-lives leave an eighth.
    world = HalfLife(traits())
    world.half_new[:], world.growth[:] = 2.0, 1.0
    world.meet(0, 0.0, recalled=False)
    assert world.known_of(0, 6.0) == pytest.approx(1 / 8)
    world.meet(0, 2.0, recalled=True)  # half was left: h grows by 1 + 1·(1 − .5), to 3 days
    assert world.known_of(0, 5.0) == pytest.approx(1 / 2)


def test_activation():
    # m = ln Σ t^−d, d = c·e^m + a (Pavlik & Anderson 2005): a first trace with d = .5 has after
    # 16 s e^m = 1/4, so the second has d = .45/4 + .5 = .6125. Another 48 s on:
    # e^m = 64^−.5 + 48^−.6125 = .125 + .09338 = .21838; p = 1/(1 + e^((−.704 + 1.5215)/.255)).
    world = Activation(traits())
    world.offset[:], world.decay_floor[:] = 0.0, 0.5
    second = 1 / 86_400
    world.wake(1.0)
    world.meet(0, 1.0, recalled=False)
    world.meet(0, 1.0 + 16 * second, recalled=True)
    assert world.traces(0, 1.0 + 64 * second) == pytest.approx(0.21838, abs=1e-4)
    assert world.known_of(0, 1.0 + 64 * second) == pytest.approx(0.0389, abs=2e-4)
    began = world.seconds(1.0)
    world.sleep(1.0 + 64 * second)  # a day outside practice counts for .025 of it: 2,160 seconds
    assert world.seconds(2.0 + 64 * second) - began == pytest.approx(64 + 2160)


def test_two_scales_need_enough_of_a_task_in_a_day():
    # Wright & Sabin 2007: below a critical number of trials a day nothing stays overnight, above it
    # more of them add nothing. Three, six and nine questions, critical six; slow .2 after a night.
    left = []
    for many in (3, 6, 9):
        world = TwoScales(traits(9))
        world.critical, world.step[:], world.slow_half[:] = {"gap": 6}, 0.2, 10.0
        world.wake(0.0)
        for skill in range(many):
            world.meet(skill, 0.0, recalled=True)
        world.sleep(0.0)
        left.append(world.known_of(0, 10.0))  # the fast trace is gone, half of the slow one left
    assert left == pytest.approx([0.0, 0.1, 0.1], abs=1e-6)


def test_multiscale_traces():
    # Mozer et al. 2009: two traces of weight 1/2, the second twice as slow. When the first is half
    # gone, s = (.5, (.5 + .7071)/2 = .6036); a miss adds 1 − s to each: x = (1, 1.1036).
    world = Multiscale(traits())
    world.gamma[:] = [0.5, 0.5, *[0.0] * (world.MANY - 2)]
    world.below = np.cumsum(world.gamma, axis=1)
    world.tau = np.array([1.0, 2.0, *[4.0] * (world.MANY - 2)])
    world.meet(0, 0.0, recalled=False)
    assert world.known_of(0, math.log(2)) == pytest.approx(0.6036, abs=1e-4)
    world.meet(0, math.log(2), recalled=False)
    assert world.x[0, :2] == pytest.approx([1.0, 1.1036], abs=1e-4)


def _share_right(student, skills, times):
    replies = [student.answer(i, 0.0, learns=False) for i in skills for _ in range(times)]
    right = sum(reply.right for reply in replies)
    return right, sum(reply.chance_right for reply in replies), len(replies)


def test_who_knows_nothing_guesses_and_who_knows_all_slips():
    student = Student(ITEMS, "A", 5)
    unknown = [i for i, item in enumerate(ITEMS) if item.family == "facts"]
    student.world.lam[:] = 0.0
    right, expected, many = _share_right(student, unknown, 40)
    by_chance = 40 * sum(ITEMS[i].chance for i in unknown)
    bound = 4 * math.sqrt(many * 0.25)  # four standard deviations of a binomial, at most
    assert abs(right - expected) < bound
    assert by_chance * 0.9 < expected < by_chance * 1.3
    student.world.lam[:], student.world.psi[:] = 1.0, 0.0
    right, expected, many = _share_right(student, unknown, 40)
    assert expected == pytest.approx(many * (1 - student.slip))
    assert abs(right - expected) < 4 * math.sqrt(many * student.slip)


def test_what_is_heard_instead_is_a_rival_of_the_cluster():
    student = Student(ITEMS, "A", 6)
    for i in range(0, len(ITEMS), 7):
        for _ in range(5):
            heard = student.answer(i, 0.0, learns=False).heard
            assert heard is None or (heard != i and ITEMS[heard].cluster == ITEMS[i].cluster)


def _events(seed, minutes=4.0):
    terms = Terms(minutes=minutes, days=9, bad_clocks=0.3, siblings=0.3)
    return list(practise(Mixed(ITEMS, seed), ITEMS, Student(ITEMS, "D", seed), terms, seed))


def test_the_same_seed_gives_the_same_run_and_a_day_ends_when_its_time_is_up():
    once, again, other = _events(1), _events(1), _events(2)
    asked = [event for event in once if isinstance(event, Asked)]
    assert asked == [event for event in again if isinstance(event, Asked)]
    assert asked != [event for event in other if isinstance(event, Asked)]
    assert [e.what for e in once if isinstance(e, Counted)].count("lesson") == 1
    seconds = {item.skill: item.seconds for item in ITEMS}
    for _, of_day in itertools.groupby(asked, key=lambda event: event.day):
        used = [seconds[e.meeting.skill] * (1.5 if e.is_new else 1.0) for e in of_day]
        assert sum(used[:-1]) < 240 <= sum(used)
    assert all(e.meeting.chance == e.meeting.credit == 1.0 for e in asked if e.is_new)


def test_calibration_error_by_hand():
    # Two answers foretold .5 each and both right, two foretold .9 and one right:
    # (|1 − 2| + |1.8 − 1|) / 4 = .45.
    assert calibration_error(np.array([[2, 1.0, 2], [2, 1.8, 1]])) == pytest.approx(0.45)


def test_our_plan_is_worth_more_than_chance_in_a_world_that_it_does_not_know():
    """Forty days at five and a half minutes, half-lives (world B), two students; by hand and at
    length in tests/benchmarks/students.py."""
    items = course()

    def worth(make):
        return [
            measured(
                practise(make(items, seed), items, Student(items, "B", seed), Terms(5.5, 40), seed)
            ).J
            for seed in (900, 901)
        ]

    for ours, by_chance in zip(worth(WAYS["ours"]), worth(PEERS["random"]), strict=True):
        assert ours > by_chance + 0.03
