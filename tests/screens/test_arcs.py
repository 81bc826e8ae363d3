"""Arcs over a string: their shape, what lies nearest, and the bands they are drawn as."""

from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.distance import cdist

from audio.tuning import JUST
from screens.arcs import SOFT, STEPS, arc, band, bands, distance, nearest
from screens.frets import frets_of

PLACES = [fret.place for fret in frets_of(JUST, 0)]
ALL = [arc(a, b, length=1.0, height=0.6) for a, b in combinations(PLACES, 2)]


def test_an_arc_is_half_an_ellipse_on_its_two_frets():
    # (x - middle)² / a² + y² / b² = 1: the standard equation of an ellipse, from memory.
    line = arc(100.0, 300.0, length=400.0, height=200.0)
    assert line[0] == pytest.approx((100.0, 0.0), abs=1e-9)
    assert line[-1] == pytest.approx((300.0, 0.0), abs=1e-9)
    half, rise = 100.0, line[:, 1].max()
    on_it = ((line[:, 0] - 200.0) / half) ** 2 + (line[:, 1] / rise) ** 2
    assert on_it == pytest.approx(np.ones(STEPS + 1))


def test_the_longer_of_two_gaps_rises_higher_and_no_two_arcs_are_one():
    spans = [b - a for a, b in combinations(PLACES, 2)]
    rises = [line[:, 1].max() for line in ALL]
    by_span = np.argsort(spans)
    assert np.all(np.diff(np.array(rises)[by_span]) >= 0)
    assert max(rises) == pytest.approx(0.6)
    tops = {(round(line[:, 0].mean(), 6), round(line[:, 1].max(), 6)) for line in ALL}
    assert len(tops) == len(ALL) == 78  # thirteen frets, two by two


@given(st.floats(-0.2, 1.2), st.floats(-0.2, 0.9), st.integers(0, 77))
def test_a_distance_is_that_to_the_nearest_of_many_points_on_the_arc(x, y, number):
    """Against scipy's distances to points sampled so densely that the error is below 1e-3."""
    line = ALL[number]
    dense = np.concatenate([np.linspace(a, b, 40) for a, b in pairwise(line)])
    assert distance((x, y), line) == pytest.approx(cdist([(x, y)], dense).min(), abs=1e-3)


def test_the_nearest_arc_is_found_and_none_beyond_reach():
    for number, line in enumerate(ALL):
        assert nearest(tuple(line[STEPS // 2]), ALL, within=0.01) == number
    assert nearest((0.5, 2.0), ALL, within=0.5) is None
    assert nearest((0.5, 0.5), [], within=9.0) is None
    lines = [np.array([[0.0, y], [1.0, y]]) for y in (1.0, 2.0)]
    assert [nearest((0.5, 1.4), lines, within=w, behind=[0.3, 0.0]) for w in (9.0, 0.5)] == [1, 0]


@given(st.floats(0.5, 12.0), st.floats(3.0, 60.0))
def test_a_band_keeps_its_breadth_all_along_and_whole_patterns(width, pattern):
    line = arc(10.0, 510.0, length=600.0, height=300.0)
    points = band(line, width=width, pattern=pattern).reshape(-1, 4, 4)
    inner = np.linalg.norm(points[:, 1, :2] - points[:, 2, :2], axis=1)
    outer = np.linalg.norm(points[:, 0, :2] - points[:, 3, :2], axis=1)
    assert inner == pytest.approx(np.full(STEPS + 1, width), rel=1e-3)
    assert outer == pytest.approx(inner + 2 * SOFT, rel=1e-3)
    along = points[:, 0, 3]
    assert along[0] == 0.0
    assert along[-1] == pytest.approx(round(along[-1]), abs=1e-3)
    assert np.all(np.diff(along) > 0)


def test_many_lines_are_one_mesh_within_what_a_mesh_can_count():
    vertices, indices = bands([(line * 600, 2.0) for line in ALL], pattern=9.0)
    assert vertices.shape == (78 * 4 * (STEPS + 1), 4)
    assert len(vertices) < 65_536  # OpenGL ES 2's indices are 16 bits wide
    assert len(indices) == 78 * STEPS * 18
    assert set(indices) == set(range(len(vertices)))
