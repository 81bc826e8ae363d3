"""Where matras, spans and words stand on a wheel, and what is lit when."""

from fractions import Fraction
from math import hypot, pi, tau

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quizzes.question import Choice, Question, Setting
from quizzes.talas import load_tala
from quizzes.wheel import Span, Turning, Wheel
from screens.wheel_places import (
    TOUCH_FROM,
    TOUCH_TO,
    angle_of,
    answered_on,
    apart,
    arc,
    lay,
    lit_at,
    matra_at,
    name_of,
    place_at,
    point_at,
    sizes_of,
    turns_of,
    words_inside,
)
from tests.window.written import CUE

MATRAS = st.integers(3, 28)
TINTAL, RUPAK = load_tala("tintal").form, load_tala("rupak").form


@given(MATRAS, st.data())
def test_a_touch_near_a_matra_finds_it(matras, data):
    matra = data.draw(st.integers(1, matras))
    aside = data.draw(st.floats(-0.49, 0.49))
    far = data.draw(st.floats(TOUCH_FROM + 0.01, TOUCH_TO - 0.01))
    x, y = point_at(angle_of(matra - 1 + aside, matras), far * 200.0)
    assert matra_at(x, y, matras, 200.0) == matra


@given(MATRAS, st.floats(0.0, tau), st.sampled_from((0.0, TOUCH_FROM - 0.01, TOUCH_TO + 0.01)))
def test_at_the_hub_and_far_outside_no_matra_is_meant(matras, angle, far):
    assert matra_at(*point_at(angle, far * 200.0), matras, 200.0) is None


def test_sam_is_at_the_top_and_the_wheel_is_read_clockwise():
    places = [point_at(angle_of(place, 16), 1.0) for place in (0, 4, 8, 12)]
    assert places == [pytest.approx(p, abs=1e-12) for p in ((0, 1), (1, 0), (0, -1), (-1, 0))]


@given(
    st.floats(120.0, 600.0),
    st.sampled_from((20.0, 28.0)),
    MATRAS,
    st.fractions(0, 3, max_denominator=8),
)
def test_from_outside_inwards_nothing_lies_over_the_next(half, text, matras, turns):
    sizes = sizes_of(half, text, matras, turns)
    assert 0 < sizes.words <= sizes.points - sizes.sam
    assert sizes.points + sizes.sam <= sizes.numbers
    assert sizes.numbers + 0.5 * text <= half
    assert 2 * sizes.sign < apart(sizes.points, matras)
    if turns:
        inmost = sizes.span_at(Fraction(0), Fraction(0), matras) - sizes.band / 2
        outmost = sizes.span_at(turns * matras, Fraction(0), matras) + sizes.band / 2
        assert sizes.words <= inmost + 1e-6
        assert outmost <= sizes.points - sizes.sam


@pytest.mark.parametrize(("matras", "half"), [(16, 280.0), (18, 280.0), (18, 210.0)])
def test_eighteen_matras_are_far_enough_apart_for_fingers(matras, half):
    # 48 dp either way is what Android's accessibility help asks of what is touched (from memory).
    sizes = sizes_of(half, 20.0, matras, Fraction(0))
    assert apart(sizes.points, matras) >= 48
    assert (1.0 - TOUCH_FROM) * sizes.points >= 48


SPANS = st.lists(
    st.tuples(
        st.fractions(0, 20, max_denominator=12).filter(lambda f: f > 0),
        st.fractions(0, 4, max_denominator=12),
    ),
    min_size=1,
    max_size=6,
)


@given(MATRAS, st.fractions(0, 27, max_denominator=12), SPANS)
def test_spans_follow_each_other_round_and_round(matras, start, pieces):
    """Spans that are told by their places in the cycle lie as long after each other as meant."""
    at, spans = start % matras, []
    for length, rest in pieces:
        spans.append(Span(at % matras, length))
        at += length + rest % matras
    laid = lay(spans, matras)
    expected = start % matras
    for each, (length, rest) in zip(laid, pieces, strict=True):
        assert (each.begins, each.ends) == (expected, expected + length)
        expected = each.ends + rest % matras
    assert turns_of(laid, matras) == (laid[-1].ends - laid[0].begins) / matras


def test_a_tihai_of_five_and_a_half_ends_on_the_sam_after_the_next():
    # 3 × 5 1/2 + 2 × 1/2 = 17 1/2 matras: begun on 14 1/2 of 16 it ends 32 matras after sam.
    spans = [Span(Fraction(29, 2), Fraction(11, 2)), Span(Fraction(4), Fraction(1, 2), "gap")]
    spans += [Span(Fraction(9, 2), Fraction(11, 2)), Span(Fraction(10), Fraction(1, 2), "gap")]
    spans += [Span(Fraction(21, 2), Fraction(11, 2))]
    laid = lay(spans, 16)
    assert laid[-1].ends == 32
    assert turns_of(laid, 16) == Fraction(35, 32)


@given(st.floats(0, 10), st.floats(0.01, 20), st.floats(10, 200), st.floats(10, 200))
def test_an_arc_goes_from_one_end_to_the_other_in_small_steps(begins, long, first, last):
    points = arc(begins, begins + long, (first, last))
    assert points[0] == pytest.approx(point_at(begins, first))
    assert points[-1] == pytest.approx(point_at(begins + long, last))
    assert len(points) >= long * 90 / tau
    assert all(min(first, last) - 1e-6 <= hypot(*p) <= max(first, last) + 1e-6 for p in points)


def test_words_stand_inside_near_their_matra_or_not_at_all():
    (middle,) = words_inside([(0.0, 60.0, 16.0)], 100.0)
    assert middle[0] == 0.0
    assert 80 < middle[1] <= 100 - 8
    assert words_inside([(0.0, 60.0, 16.0), (0.2, 60.0, 16.0)], 100.0) is None
    assert words_inside([(0.0, 60.0, 16.0), (pi, 60.0, 16.0)], 100.0) is not None
    assert words_inside([(0.0, 260.0, 16.0)], 100.0) is None
    assert words_inside([(0.0, 60.0, 16.0)], 100.0, [((0.0, 85.0), 20.0, 20.0)]) is None


@given(
    st.fractions(0, 15, max_denominator=4),
    st.fractions(40, 260, max_denominator=10),
    st.integers(0, 40),
    st.booleans(),
)
def test_each_matra_is_lit_from_its_moment_until_the_next(start, per_min, count, blind):
    turning = Turning(0.3, start, Fraction(41), per_min)
    wheel = Wheel(TINTAL, blind=blind, turning=turning)
    step = 60.0 / float(per_min)
    middle = 0.3 + (count + 0.51) * step  # not where a matra may begin
    counted = count + Fraction(51, 100) + (0 if blind else start)
    assert lit_at(wheel, middle) == int(counted % 16) + 1
    at = place_at(wheel, 0.3 + count * step + 1e-6)
    assert abs((at - float(count + (0 if blind else start)) + 8) % 16 - 8) < 1e-4
    assert lit_at(wheel, 0.299) == lit_at(wheel, 0.3 + 41.001 * step) == 0
    assert lit_at(wheel.still(), middle) == 0


def asked(wheel, **more):
    choices = tuple(Choice(str(n), str(n)) for n in range(1, wheel.matras + 1))
    more = {"answer_on": "wheel", **more}
    return Question(
        "k", "k:s", 1, Setting(sa_hz=138.6), "?", choices, ("1",), CUE, "", wheel=wheel, **more
    )


def test_a_point_of_a_blind_wheel_is_a_matra_of_the_one_that_is_told():
    turning = Turning(0.3, Fraction(4), Fraction(32), Fraction(100))
    blind, told = Wheel(TINTAL, blind=True, turning=turning), Wheel(TINTAL)
    assert [answered_on(told, asked(blind), n) for n in ("1", "12", "13")] == [5, 16, 1]
    assert answered_on(told, asked(told), "13") == 13
    assert answered_on(blind.still(), asked(blind), "13") == 13
    assert answered_on(Wheel(RUPAK), asked(told), "3") == 0  # another cycle
    assert answered_on(told, asked(told, answer_on="choices"), "3") == 0


def test_matras_are_named_with_their_sign():
    wheel = Wheel(TINTAL)
    names = [name_of(wheel, matra) for matra in (1, 5, 6, 9, 13)]
    assert names == ["matra 1, sam", "matra 5, tali 2", "matra 6", "matra 9, khali",
                     "matra 13, tali 3"]  # fmt: skip
    assert name_of(Wheel(RUPAK), 1) == "matra 1, sam, khali"
    assert name_of(Wheel(RUPAK), 4) == "matra 4, tali 1"
    assert name_of(Wheel(TINTAL, blind=True), 1) == "point 1"
