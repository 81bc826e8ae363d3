"""Prastara: the succession of the treatises, against itertools and against their own rule."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quizzes.paltas import prastara

SWARAS = "SRGMPDN"


def next_row(things, row):
    """The row below, by the rule as the commentary Sudhakara words it (Sangitaratnakara 1.4,
    Adyar edition, volume 1, page 132): below a swara stands the one that is before it in the
    first row, or, where that one stands to the right, the one before that; where there is none, the
    next swara is tried. To the right all stays as above; to the left goes what is left over, in the
    order of the first row."""
    for place, swara in enumerate(row):
        earlier = things[: things.index(swara)]
        free = [each for each in earlier if each not in row[place + 1 :]]
        if free:
            right = (free[-1], *row[place + 1 :])
            return (*(each for each in things if each not in right), *right)
    return None


def test_three_swaras_succeed_as_the_treatise_has_them():
    # Sangitaratnakara 1.4: the prastara of three.
    found = ["".join(order) for order in prastara.orders("SRG")]
    assert found == ["SRG", "RSG", "SGR", "GSR", "RGS", "GRS"]


@pytest.mark.parametrize("n", range(7))
def test_each_row_follows_from_the_one_above_by_the_rule(n):
    rows = list(prastara.orders(SWARAS[:n]))
    assert [next_row(SWARAS[:n], row) for row in rows] == [*rows[1:], None]


@pytest.mark.parametrize("n", range(8))
def test_the_orders_are_those_of_itertools_by_their_last_swaras_first(n):
    things = SWARAS[:n]
    backwards = permutations(reversed(things))
    assert list(prastara.orders(things)) == [order[::-1] for order in backwards]


@pytest.mark.parametrize("n", range(1, 7))
def test_place_and_order_are_each_others_inverse(n):
    things = SWARAS[:n]
    for index, order in enumerate(prastara.orders(things)):
        assert prastara.index_of(things, order) == index
        assert prastara.order_at(things, index) == order
    assert index + 1 == prastara.count(n)


@given(st.integers(0, prastara.count(7) - 1))
def test_what_follows_stands_one_place_on(index):
    order = prastara.order_at(SWARAS, index)
    assert prastara.following(SWARAS, order) == next_row(SWARAS, order)
    assert prastara.index_of(SWARAS, order) == index


def test_seven_swaras_have_5040_orders():
    # Sangitaratnakara 1.4: the krama and kuta tanas of seven swaras.
    assert prastara.count(7) == 5040


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: prastara.order_at("SRG", 6), "place 6 is not among the 6 orders of 3"),
        (lambda: prastara.order_at("SRG", -1), "place -1"),
    ],
)
def test_a_place_that_is_none_is_told(call, said):
    with pytest.raises(IndexError, match=said):
        call()


@pytest.mark.parametrize(
    ("things", "order", "said"),
    [("SRG", "SRR", "'R' is one more"), ("SRG", "SR", "lacks"), ("SRS", "SRS", "twice")],
)
def test_what_is_no_order_is_told(things, order, said):
    with pytest.raises(ValueError, match=said):
        prastara.index_of(things, order)
