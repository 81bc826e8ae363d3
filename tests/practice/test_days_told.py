"""Which palta a day draws: other orders for other students, each raga in its turn, and a tala in
which it comes home soon."""

import pytest

from practice.varying import vary
from quizzes.talas import talas
from tests.practice.test_varying import BEGUN, FIRST, Log

RAGAS = ("bhupali", "malkauns", "bhairav", "kirwani", "charukeshi", "durga")


def test_orders_are_drawn_and_do_not_come_in_their_succession():
    first = {
        vary([], begun=(), day=FIRST, student=name).index for name in ("a", "b", "c", "d", "e")
    }
    assert len(first) > 1
    days = [varied.index for varied in Log().live(6)]
    assert sorted(days) == list(range(6)) != days


@pytest.mark.parametrize("ragas", [RAGAS[at : at + 3] for at in range(len(RAGAS) - 2)])
def test_ragas_that_are_begun_take_turns(ragas):
    # In these, up and down on one scale, all orders of three run.
    days = Log({f"raga-that:{raga}" for raga in ragas}).live(3)
    assert {varied.raga for varied in days} == set(ragas)


def test_of_talas_begun_it_takes_that_in_which_it_comes_round_soonest():
    drawn = set()
    for varied in Log(BEGUN).live(12):
        first, *_, last = (note.onset for note in varied.line.notes())
        left = {tala: (first - last) % talas()[tala].matras for tala in ("jhaptal", "rupak")}
        assert left[varied.tala.id] == min(left.values())
        drawn.add(varied.tala.id)
    assert len(drawn) == 2
