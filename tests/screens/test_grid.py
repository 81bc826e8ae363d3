"""Rows are even, fit into their room, and are as few as they can be."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from screens.grid import columns_of, evenly, fitting


@pytest.mark.parametrize(
    ("count", "most", "columns"),
    [
        (16, 16, 16),
        (16, 7, 4),
        (16, 6, 4),
        (15, 4, 3),
        (12, 5, 4),
        (13, 7, 7),
        (4, 3, 2),
        (1, 9, 1),
    ],
)
def test_rows_of_one_length_are_taken_where_they_cost_one_row_at_most(count, most, columns):
    assert columns_of(count, most) == columns


@given(st.integers(1, 40), st.integers(1, 40))
def test_no_row_is_longer_than_fits_and_none_is_empty(count, most):
    for columns in (columns_of(count, most), evenly(count, most)):
        assert 1 <= columns <= min(count, most)


@given(st.integers(1, 40), st.integers(1, 40))
def test_evenly_takes_the_fewest_rows_there_are(count, most):
    assert -(-count // evenly(count, most)) == -(-count // most)


@given(st.floats(1, 3000), st.floats(1, 500), st.floats(0, 30))
def test_what_is_said_to_fit_does_fit_unless_it_is_the_only_one(room, least, gap):
    count = fitting(room, least, gap)
    assert count == 1 or count * least + (count - 1) * gap <= room + 1e-6
