"""Exponential and logarithm that are the same on every machine, to the last bit.

A memory is rebuilt from its log on tablets and desks whose C libraries round `exp` and `log` each
in their own way. These use only sums, products and quotients of doubles, and scaling by powers of
two, which IEEE 754 lays down exactly. Within four units in the last place of the true value.
"""

from __future__ import annotations

import math

_LN2_HIGH, _LN2_LOW = 6.93147180369123816490e-01, 1.90821492927058770002e-10
"""ln 2 in two parts, the first with trailing zeros, after FDLIBM's e_exp.c (Sun, 1993)."""
_PER_LN2 = 1.4426950408889634
_EXP_TERMS = tuple(1.0 / math.factorial(n) for n in range(13, -1, -1))
_LOG_TERMS = tuple(2.0 / n for n in range(21, 0, -2))
_ROOT_HALF = 0.7071067811865476
_LARGEST, _SMALLEST = 709.0, -745.0


def exp(x: float) -> float:
    """e to the power of x; 0 below -745. Raises OverflowError above 709, NaN among them."""
    if not x <= _LARGEST:
        raise OverflowError(f"exp({x!r}) does not fit into a double")
    if x < _SMALLEST:
        return 0.0
    power = math.floor(x * _PER_LN2 + 0.5)
    rest = (x - power * _LN2_HIGH) - power * _LN2_LOW
    total = 0.0
    for term in _EXP_TERMS:
        total = total * rest + term
    return math.ldexp(total, power)


def log(x: float) -> float:
    """The natural logarithm of x > 0, not infinite. Raises ValueError otherwise."""
    if not 0.0 < x < math.inf:
        raise ValueError(f"log({x!r}) is not a number")
    mantissa, power = math.frexp(x)
    if mantissa < _ROOT_HALF:
        mantissa, power = 2.0 * mantissa, power - 1
    ratio = (mantissa - 1.0) / (mantissa + 1.0)
    square, total = ratio * ratio, 0.0
    for term in _LOG_TERMS:
        total = total * square + term
    return power * _LN2_HIGH + (power * _LN2_LOW + ratio * total)


def sigmoid(x: float) -> float:
    """1 / (1 + e^-x), the chance whose log-odds are x."""
    if x < 0.0:
        power = exp(x)
        return power / (1.0 + power)
    return 1.0 / (1.0 + exp(-x))


def logit(chance: float) -> float:
    """The log-odds of a chance between 0 and 1, neither of them."""
    return log(chance / (1.0 - chance))
