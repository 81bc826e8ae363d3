"""Which parts of a course are shown where not all have room: those that want most attention."""

import pytest

from practice.pages.states import Part, States, most_wanting, parts_in, states_of
from tests.practice.pages.stood import SWARAS, some_of, stood


@pytest.mark.parametrize(
    ("more", "less"),
    [
        (States(9, 0, 3), States(0, 0, 2)),  # more shaky skills
        (States(2, 0, 2), States(9, 0, 2)),  # as many, of fewer
        (States(0, 3), States(3, 2)),  # less that is firm
    ],
)
def test_the_shakiest_part_is_shown_before_others(more, less):
    newest = Part("newest", States(9))
    for parts in (
        [Part("more", more), Part("less", less)],
        [Part("less", less), Part("more", more)],
    ):
        shown, left = most_wanting([*parts, newest], 2)
        assert [part.name for part in shown] == ["more", "newest"]
        assert [part.name for part in left] == ["less"]


def test_states_are_counted_each_by_its_name():
    standing = stood(some_of(firm=4, coming=3, shaky=2, unheard=1))
    assert states_of(standing, SWARAS[:10]) == (4, 3, 2, 1)
    (besides,) = parts_in(standing)  # no course names them
    assert besides.states == (4, 3, 2, 1)
