"""The exponential and the logarithm that every machine agrees on."""

import ast
import math
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler import portable

EXACT = {"sqrt", "floor", "frexp", "ldexp", "pi", "inf", "factorial"}
"""What IEEE 754 or whole numbers settle; the constant is one double everywhere."""
OF_THE_MEMORY = ("portable", "evidence", "belief", "figures", "pace", "taking")


@given(st.floats(-700, 700))
def test_exp_is_that_of_the_c_library_but_for_the_last_places(x):
    assert abs(portable.exp(x) - math.exp(x)) <= 2 * math.ulp(math.exp(x))


@given(st.floats(1e-300, 1e300))
def test_log_is_that_of_the_c_library_but_for_the_last_places(x):
    assert abs(portable.log(x) - math.log(x)) <= 4 * math.ulp(math.log(x)) + 1e-16


def test_e_is_the_sum_of_its_series():
    """e = sum of 1 / n!, in whole fractions (Euler 1748)."""
    e = sum(Fraction(1, math.factorial(n)) for n in range(25))
    assert portable.exp(1.0) == pytest.approx(float(e), rel=3e-16)
    assert portable.log(float(e)) == pytest.approx(1.0, abs=3e-16)


@given(st.floats(1e-6, 1.0 - 1e-6))
def test_the_sigmoid_undoes_the_log_odds(chance):
    assert portable.sigmoid(portable.logit(chance)) == pytest.approx(chance, rel=1e-12)


def test_far_ends():
    assert portable.exp(-800.0) == 0.0
    assert portable.sigmoid(-800.0) == 0.0
    assert portable.sigmoid(800.0) == 1.0
    for wrong in (710.0, math.nan):
        with pytest.raises(OverflowError):
            portable.exp(wrong)
    for wrong in (0.0, -1.0, math.nan, math.inf):
        with pytest.raises(ValueError, match="log"):
            portable.log(wrong)


@pytest.mark.parametrize("name", OF_THE_MEMORY)
def test_what_memory_is_made_of_takes_nothing_else_from_the_c_library(name):
    source = Path(portable.__file__).with_name(f"{name}.py").read_text(encoding="utf-8")
    used = {
        node.attr
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Attribute)
        and isinstance(node.value, ast.Name)
        and node.value.id == "math"
    }
    assert used <= EXACT
    powers = [n for n in ast.walk(ast.parse(source)) if isinstance(n, ast.Pow)]
    assert not powers  # `**` of doubles is the C library's, too
    assert "numpy" not in source
