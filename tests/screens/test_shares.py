"""A whole that is shared out stays whole, and nothing is left without its least."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quizzes.stages.sharing import evenly_shared
from screens.shares import LEAST, borders, with_border, with_more

SHARES = st.lists(st.integers(LEAST, 30), min_size=2, max_size=9).map(tuple)


@given(SHARES, st.integers(0, 8), st.integers(-10, 300), st.sampled_from((-7, -1, 1, 7)))
def test_whatever_is_moved_nothing_is_lost_and_each_keeps_its_least(shares, at, place, more):
    at %= len(shares)
    results = [with_more(shares, at, more)]
    if at < len(shares) - 1:
        results.append(with_border(shares, at, place))
    for moved in results:
        assert sum(moved) == sum(shares)
        assert len(moved) == len(shares)
        assert min(moved) >= LEAST


@given(SHARES, st.integers(0, 8))
def test_one_more_is_had_while_anything_has_more_than_its_least(shares, at):
    at %= len(shares)
    spare = sum(shares) - shares[at] - LEAST * (len(shares) - 1)
    assert with_more(shares, at, 1)[at] == shares[at] + min(1, spare)
    assert with_more(shares, at, -1)[at] == max(LEAST, shares[at] - 1)


@given(SHARES, st.data())
def test_a_border_goes_where_it_is_dragged_and_leaves_what_is_far_alone(shares, data):
    at = data.draw(st.integers(0, len(shares) - 2))
    least, most = (at + 1) * LEAST, sum(shares) - (len(shares) - 1 - at) * LEAST
    place = data.draw(st.integers(least, most))
    moved = with_border(shares, at, place)
    assert borders(moved)[at] == place
    # Borders give way only to be pushed: those on the other side stay where they were.
    before = borders(shares)[at]
    others = slice(0, at) if place >= before else slice(at + 1, None)
    assert borders(moved)[others] == borders(shares)[others]


@pytest.mark.parametrize(
    ("shares", "at", "more", "moved"),
    [
        ((10, 5, 5), 0, 1, (11, 4, 5)),
        ((10, 5, 5), 1, -1, (10, 4, 6)),
        ((10, 5, 5), 2, 1, (10, 4, 6)),
        ((10, 5, 5), 2, -1, (10, 6, 4)),
        ((10, 1, 5), 0, 1, (11, 1, 4)),
        ((10, 5, 1), 1, 1, (9, 6, 1)),
    ],
)
def test_minutes_come_from_the_next_thing_that_has_some_to_give(shares, at, more, moved):
    assert with_more(shares, at, more) == moved


@given(st.integers(1, 9), st.integers(9, 120))
def test_an_even_share_differs_by_one_at_most(count, whole):
    shares = evenly_shared(whole, count)
    assert sum(shares) == whole
    assert max(shares) - min(shares) <= 1
