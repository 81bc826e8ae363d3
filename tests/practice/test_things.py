"""In a matrix things stand in the order in which a musician tells them, and drills ask what was
mistaken."""

from dataclasses import replace
from datetime import UTC, datetime
from itertools import groupby
from random import Random

import pytest

from practice.pair_words import count_words
from practice.pairs import matrix
from practice.things import SUBJECTS
from tests import taken

NOW = datetime(2026, 11, 29, 18, tzinfo=UTC)


@pytest.mark.parametrize(
    ("subject", "order"),
    [
        ("swaras", "S r R g G m M P d D n N"),  # as they rise
        # What the hand does as it is learnt, how far a meend went, from where something came.
        ("ornaments", "meend kan gamak sparsh span:2 span:3 side:kan:above"),
        # As a performance unfolds.
        ("stages", "prelude alap jor alap-jhala vilambit-gat drut-gat closing-jhala tihai"),
    ],
)
def test_things_stand_in_an_order_of_their_own(subject, order):
    things = order.split()
    for seed in range(5):
        assert SUBJECTS[subject].in_turn(Random(seed).sample(things, len(things))) == things


def test_what_is_told_no_more_stands_last():
    assert SUBJECTS["swaras"].in_turn(["x", "N", "S"]) == ["S", "N", "x"]
    assert SUBJECTS["stages"].in_turn(["an-old-one", "drut-gat", "alap"])[-1] == "an-old-one"


def rows_of(*answers):
    """(skill, right, given), each asked once in these minutes."""
    return [taken.row(*one, at=NOW, number=number) for number, one in enumerate(answers)]


def test_gaps_of_one_way_stand_together(tmp_path):
    """Of these ways that come first in which most is confused; only they are offered together."""
    asked = [("gap:R-P:up", "R-P", "R-m")] * 9 + [("gap:S-P:down", "S-P", "S-m")] * 3
    asked += [("gap:S-G:up", "S-G", "S-g")] * 2 + [("gap:R-P:down", "R-P", "R-P")]
    with taken.standing_of(tmp_path / "log", rows_of(*asked), now=NOW) as standing:
        things = matrix(standing, "gaps").things
    assert [things[0].id, things[1].id] == ["R-P:up", "R-m:up"]
    ways = [way for way, _ in groupby(thing.id.rpartition(":")[2] for thing in things)]
    assert ways == ["up", "down"]


def test_two_ragas_are_drilled_by_what_asks_of_these_two_and_of_no_third(tmp_path):
    skill = "raga-from-phrase:rest:{}-{}"
    two, other = skill.format("bhupali", "deshkar"), "raga-from-phrase:rest:desh-khamaj"
    rows = rows_of(
        *[(two, "bhupali", "deshkar")] * 3,
        *[("raga-from-phrase:note:bhupali", "bhupali", "deshkar")] * 3,
        *[(other, "bhupali", "khamaj")],  # of an older log: it asked of others then
    )
    with taken.standing_of(
        tmp_path / "log", rows, now=NOW, skills=[two, other, "raga-from-phrase:note:bhupali"]
    ) as standing:
        pair = matrix(standing, "ragas").pair("bhupali", "deshkar")
    assert set(pair.skills) == {two, "raga-from-phrase:note:bhupali"}


def test_what_was_right_is_told_as_right(tmp_path):
    rows = rows_of(*[("swara:r", "r", "r")] * 20, *[("swara:r", "r", "R")] * 5)
    with taken.standing_of(tmp_path / "log", rows, now=NOW) as standing:
        shown = matrix(standing, "swaras")
        right, wrong, none = (shown.pair(*cell) for cell in ("rr", "rR", "SP"))
    assert count_words(right).startswith("right 20 of 25 times, ")
    assert count_words(wrong).startswith("5 of 25 times, ")
    assert count_words(none) == "not asked in the last four weeks"
    assert count_words(replace(none, is_lately=False)) == "not asked yet"


def test_fewer_than_twenty_are_called_few(tmp_path):
    for asked in (19, 20):
        rows = rows_of(*[("swara:r", "r", "R")] * 5, *[("swara:r", "r", "r")] * (asked - 5))
        with taken.standing_of(tmp_path / f"{asked}", rows, now=NOW) as standing:
            told = count_words(matrix(standing, "swaras").pair("r", "R"))
        assert ("which is few" in told) == (asked < 20)


def test_what_was_never_asked_is_drilled_by_what_asks_it_most_plainly(tmp_path):
    asked = [
        f"raga-from-phrase:{by}:{raga}" for raga in ("yaman", "durga") for by in ("run", "note")
    ]
    with taken.standing_of(tmp_path / "log", [], now=NOW, skills=asked) as standing:
        pair = matrix(standing, "ragas").pair("yaman", "durga")
    assert pair.skills == ("raga-from-phrase:note:yaman", "raga-from-phrase:note:durga")
