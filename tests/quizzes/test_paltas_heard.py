"""Which way a palta goes, what its explanation marks and says, read back against what sounds."""

from collections import Counter, defaultdict
from itertools import permutations

import pytest

from audio.tuning import Swara
from quizzes import KINDS, Setting, make_question
from quizzes.kept import skills_of
from quizzes.paltas import group_from, paltas, run_in_scale
from quizzes.ragas import ragas
from tests.quizzes.palta_judges import cut, places, run_of
from tests.quizzes.raga_hearing import heard, swaras
from tests.quizzes.raga_oracle import line

SA_HZ = 138.59


def asked(way, count, *, met=True):
    """So many of each skill of a way of asking."""
    return [
        make_question(skill.id, seed=seed, setting=Setting(SA_HZ, met=(skill.id,) * met))
        for skill in skills_of(way.partition(":")[0])
        if skill.id.startswith(way)
        for seed in range(count)
    ]


def test_a_run_climbs_as_its_palta_does_or_goes_down_as_its_mirror():
    ways = Counter()
    for question in asked("palta:continue", 12):
        palta = paltas()[question.detail["palta"]]
        found, step = run_of(cut(swaras(heard(question.cue)), palta.swaras))
        ways[step > 0] += 1
        assert found == tuple(each if step > 0 else -each for each in palta.shape)
        why = KINDS["palta"].explain(question, question.right[0]).why
        assert ("higher" in why, "lower" in why) == (step > 0, step < 0)
    assert min(ways[True], ways[False]) > 5


def test_who_is_asked_for_the_first_time_hears_a_run_from_sa_or_beside_it():
    for question in asked("palta:continue", 3, met=False):
        assert -1 <= places(swaras(heard(question.cue)))[0] <= 1


def test_each_answer_comes_of_what_is_the_same_from_another_swara():
    found = Counter(question.right[0] for question in asked("palta:same", 8))
    # A quarter of some fifty each: fewer than four come once in some thousand draws.
    assert len(found) == 4
    assert min(found.values()) >= 4


def test_a_group_that_would_leave_the_string_below_is_none():
    lowest = next(
        Swara(step, -1) for step in range(12) if group_from((0,), "SRGmPDN", Swara(step, -1))
    )
    assert group_from((0, 1, 2), "SRGmPDN", lowest) is not None
    assert group_from((0, -1, 1), "SRGmPDN", lowest) is None
    assert group_from((0, 1, 2), "SRGmPDN", lowest, falling=True) is None


def test_a_run_goes_from_sa_to_tar_sa_and_back():
    for palta in paltas().values():
        run = run_in_scale(palta, "SRGmPDN")
        for way in (run.up, run.down):
            found = places([swara.steps for group in way for swara in group])
            assert (min(found), max(found)) == (0, 7)


# Prastara: what is told of an order is what it is.


def succession(some):
    """All orders, as the treatise has them (Sangitaratnakara 1.4): the last swara changes last,
    from the highest down, and so on before it."""
    return sorted(permutations(some), key=lambda order: [-each for each in reversed(order)])


@pytest.mark.parametrize("size", [3, 4])
def test_every_order_but_the_first_may_follow_and_every_block_is_asked_of(size):
    offered, numbers = set(), set()
    for question in asked(f"prastara:next:{size}", 60):
        rows = succession(swaras(heard(question.cue))[:size])
        offered |= {rows.index(line(choice.label)) for choice in question.choices}
    assert offered == set(range(1, len(rows)))
    block = len(rows) // size
    for question in asked(f"prastara:number:{size}", 30):
        numbers |= {(int(choice.id) - 1) // block for choice in question.choices}
    assert numbers == set(range(size))


def test_of_all_orders_each_may_be_left_out_and_all_of_it_is_marked():
    right = Counter()
    for question in asked("prastara:missing", 40):
        played = swaras(heard(question.cue))
        there = {played[at : at + 3] for at in range(0, len(played), 3)}
        rows = succession(sorted(played[:3]))
        (missing,) = set(rows) - there
        right[rows.index(missing)] += 1
        told = KINDS["prastara"].explain(question, question.right[0])
        marked = [
            note.swara
            for note, one in zip(heard(told.right_cue), told.drawn, strict=True)
            if one.deciding
        ]
        assert tuple(marked) == missing
    assert set(right) == set(range(6))


@pytest.mark.parametrize("size", [3, 4])
def test_swaras_of_a_prastara_lie_near_together(size):
    # So that each can be sung back: at most one of the scale is left out between them.
    for question in asked(f"prastara:next:{size}", 24):
        lowest, *_, highest = places(swaras(heard(question.cue))[:size])
        assert highest - lowest <= size


def test_a_palta_in_a_raga_is_explained_over_the_drone_of_that_raga():
    firsts = set()
    for number, skill in enumerate(skills_of("raga-palta")[::9]):
        question = make_question(skill.id, seed=number, setting=Setting(SA_HZ))
        told = KINDS["raga-palta"].explain(question, question.right[0])
        firsts.add(told.right_cue.drone.first)
        assert told.right_cue.drone.first == ragas()[skill.id.partition(":")[2]].drone
    assert len(firsts) > 1


def test_what_is_offered_in_one_raga_is_offered_in_another_of_which_another_run_is_right():
    # Else who reads the four runs could tell which raga's they are, or which is the odd one.
    right = defaultdict(set)
    skills = skills_of("raga-palta")
    for skill in skills:
        question = make_question(skill.id, seed=1, setting=Setting(SA_HZ))
        offered = frozenset(choice.label for choice in question.choices)
        right[offered].add(question.choice(question.right[0]).label)
    assert sum(len(each) for each in right.values() if len(each) == 2) > 0.8 * len(skills)


def test_in_a_written_group_the_second_wrong_swara_costs_as_much_as_the_first():
    judged = 0
    for question in asked("palta:third", 3):
        right, keys = question.right[0].split(), [choice.id for choice in question.choices]
        others = [key for key in keys if key not in right]
        if len(right) < 4 or len(others) < 2:
            continue
        once, twice = [others[0], *right[1:]], [others[0], *right[1:-1], others[1]]
        credits = [KINDS["palta"].mark(question, " ".join(each)).credit for each in (once, twice)]
        if credits[1] > 0.0:
            assert 1.0 - credits[0] == pytest.approx(credits[0] - credits[1])
            judged += 1
    assert judged > 3
