"""Which way a palta goes, what its explanation marks and says, read back against what sounds."""

import re
from collections import Counter
from itertools import pairwise, permutations

import pytest

from audio.tuning import Swara
from quizzes import KINDS, Setting, make_question
from quizzes.kept import skills_of
from quizzes.paltas import group_from, paltas, run_in_raga, run_in_scale
from quizzes.ragas import ragas
from tests.quizzes.palta_judges import cut, places, run_of, shape
from tests.quizzes.raga_hearing import heard, swaras
from tests.quizzes.raga_oracle import line

SA_HZ = 138.59


def asked(way, count, met=True):
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


@pytest.mark.parametrize("way", ["palta:continue", "palta:altered", "palta:name"])
def test_who_is_asked_for_the_first_time_hears_a_run_about_sa(way):
    for question in asked(way, 4, met=False):
        groups = cut(swaras(heard(question.cue)), paltas()[question.detail["palta"]].swaras)
        assert -1 <= groups[0][0] <= 3


def test_the_altered_group_is_marked_where_it_is_otherwise_and_heard_beside_another():
    for question in asked("palta:altered", 8):
        size = paltas()[question.detail["palta"]].swaras
        told = KINDS["palta"].explain(question, question.right[0])
        played = cut(swaras(heard(told.right_cue)), size)
        assert len(played) == 4  # as it was, and then mended
        differs = [
            at for at in range(2 * size) if sum(played[:2], ())[at] != sum(played[2:], ())[at]
        ]
        assert [at for at, marked in enumerate(told.drawn) if marked.deciding] == differs
        asked_of = cut(swaras(heard(question.cue)), size)
        assert asked_of[int(question.right[0]) - 1] in played[:2]
        assert shape(played[2]) == shape(played[3])


def test_each_answer_comes_of_what_is_the_same_from_another_swara():
    for skill in {question.skill for question in asked("palta:same", 1)}:
        found = Counter(
            make_question(skill, seed=seed, setting=Setting(SA_HZ, met=(skill,))).right[0]
            for seed in range(40)
        )
        # A quarter of them each: fewer than three in forty comes once in some 10,000 draws.
        assert len(found) == 4
        assert min(found.values()) >= 3


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
def test_the_number_of_an_order_is_counted_up_from_its_block(size):
    seen = Counter()
    for question in asked(f"prastara:number:{size}", 60):
        played = swaras(heard(question.cue))
        rows = succession(played[:size])
        order, number = played[size:], int(question.right[0])
        assert rows[number - 1] == order
        why = KINDS["prastara"].explain(question, question.right[0]).why
        first, last = map(int, re.search(r"numbers (\d+) (?:to|and) (\d+);", why).groups())
        block = [at for at, row in enumerate(rows, 1) if row[-1] == order[-1]]
        assert [first, last] == [block[0], block[-1]]
        ordinals = ["first", "second", "third", "fourth", "fifth", "sixth"]
        assert f"the {ordinals[number - first]}, number {number}" in why
        seen[(number - 1) // len(block)] += 1
    assert set(seen) == set(range(size))


@pytest.mark.parametrize("size", [3, 4])
def test_what_gives_its_place_in_an_order_is_told_rightly_and_every_order_may_follow(size):
    offered = set()
    for question in asked(f"prastara:next:{size}", 60):
        played = swaras(heard(question.cue))
        rows, before = succession(played[:size]), played[size:]
        after = rows[rows.index(before) + 1]
        offered |= {rows.index(line(choice.label)) for choice in question.choices}
        told = KINDS["prastara"].explain(question, question.right[0])
        moved = re.search(r"From the left, (\S+) is .* place to (\S+), the", told.why)
        gives, takes = moved.groups()
        changed = max(at for at in range(size) if before[at] != after[at])
        assert (line(gives), line(takes)) == ((before[changed],), (after[changed],))
        stays = re.search(r"and ([^:]+?) stays?\.", told.why)
        assert (line(stays[1]) if stays else ()) == before[changed + 1 :]
    assert offered == set(range(1, len(rows)))


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


# A palta in a raga.


def test_who_chose_the_other_pattern_is_told_so_and_nobody_else():
    for number, skill in enumerate(skills_of("raga-palta")):
        if number % 3:
            continue
        question = make_question(skill.id, seed=number, setting=Setting(SA_HZ, met=(skill.id,)))
        palta, other = (paltas()[question.detail[each]] for each in ("palta", "other"))
        way = question.detail["way"]
        sign = 1 if way == "up" else -1
        assert _ups(cut(swaras(heard(question.cue)), palta.swaras)[0]) == _ups(
            [sign * each for each in palta.shape]
        )
        raga = ragas()[skill.id.partition(":")[2]]
        otherwise = f"You chose “{other.name}”; it was “{palta.name}”"
        for one, words in ((palta, ""), (other, otherwise)):
            every = told_groups(getattr(run_in_raga(one, raga), way))
            (own,) = (each for each in question.choices if set(each.label.split(" | ")) <= every)
            assert (own.id in question.right) == (one is palta)
            told = KINDS["raga-palta"].explain(question, own.id)
            assert words in told.why
            assert ("You chose" in told.why) == bool(words)
            assert told.right_cue.drone.first == raga.drone


def told_groups(groups):
    return {" ".join(map(str, group)) for group in groups}


def _ups(group):
    return [after > before for before, after in pairwise(group)]
