"""The partial order of stages: what it allows, what of it an answer keeps, and what follows."""

from itertools import permutations

from hypothesis import given
from hypothesis import strategies as st

from quizzes.stages.order import Order, Pair

THINGS = "abcde"


def order_of(*pairs, parents=None):
    told = [Pair(p[0], p[1], p[2] if len(p) > 2 else "fixed", "", "", "C") for p in pairs]
    return Order(tuple(told), parents or {})


def by_force(pairs, things):
    """All permutations in which every told pair stands as told: what an order must allow."""
    return {
        order
        for order in permutations(things)
        if all(order.index(one) < order.index(other) for one, other in pairs)
    }


@st.composite
def acyclic(draw):
    """Pairs along a hidden order, so that no circle can be among them."""
    hidden = draw(st.permutations(THINGS))
    pairs = [(a, b) for at, a in enumerate(hidden) for b in hidden[at + 1 :]]
    return draw(st.lists(st.sampled_from(pairs), unique=True, max_size=7))


@given(acyclic())
def test_what_is_allowed_is_what_brute_force_finds(pairs):
    order = order_of(*pairs)
    found = list(order.orders(THINGS))
    assert len(found) == len(set(found))
    assert set(found) == by_force(pairs, THINGS)
    assert {each for each in permutations(THINGS) if order.allows(each)} == set(found)


@given(acyclic(), st.permutations(THINGS))
def test_credit_is_whole_for_what_is_allowed_and_falls_with_each_pair_broken(pairs, given_order):
    order = order_of(*pairs)
    broken, told = len(order.broken(given_order)), len(order.pairs(THINGS))
    assert (order.share_kept(given_order) == 1) == order.allows(given_order)
    if told:
        assert order.share_kept(given_order) * told == told - broken


def test_a_pair_that_follows_is_as_strong_as_the_weakest_from_which_it_follows():
    order = order_of(("a", "b", "fixed"), ("b", "c", "usual"))
    assert order.pair("a", "c").strength == "usual"
    assert order.pair("a", "c").via == ("b",)
    assert (
        order_of(("a", "b", "fixed"), ("b", "c", "usual"), ("a", "c", "fixed"))
        .pair("a", "c")
        .strength
        == "fixed"
    )


def test_what_is_told_to_be_free_does_not_follow():
    order = order_of(("a", "b"), ("b", "c"), ("c", "a", "free"))
    assert order.pair("a", "c") is None
    assert order.allows("ca")


def test_what_holds_of_a_stage_holds_of_its_parts():
    order = order_of(("a", "b"), ("x", "y"), parents={"x": "a", "y": "a"})
    assert order.pair("y", "b").strength == "fixed"
    assert set(order.orders("bxy")) == {("x", "y", "b")}


def test_a_circle_is_found():
    assert not order_of(("a", "b"), ("b", "c")).circle()
    assert set(order_of(("a", "b"), ("b", "c"), ("c", "a")).circle()) == set("abc")
