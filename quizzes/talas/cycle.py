"""Places in a cycle, exactly: where something falls, and how far it is from there to sam.

A place is a Fraction of matras since sam, from 0 to below the length of the cycle. A matra is
counted from 1, as the trade counts.
"""

from __future__ import annotations

from fractions import Fraction

from words import say_many


def place_in(at: Fraction | int, matras: int) -> Fraction:
    """Where a moment falls that lies `at` matras after some sam, or before it if below 0."""
    return Fraction(at) % matras


def to_sam(place: Fraction | int, matras: int) -> Fraction:
    """How many matras from a place to the next sam; 0 at sam itself."""
    return -Fraction(place) % matras


def place_of(matra: int) -> Fraction:
    """Where a matra begins."""
    return Fraction(matra - 1)


def matra_at(place: Fraction | int) -> int:
    """The matra in which a place lies."""
    return int(Fraction(place)) + 1


def mixed(number: Fraction | int) -> str:
    """In figures as they are read: `6 2/3`, `1/2`, `4`, `-1 1/4`."""
    number = Fraction(number)
    whole, part = divmod(abs(number), 1)
    sign = "-" if number < 0 else ""
    if not part:
        return f"{sign}{whole}"
    return f"{sign}{whole} {part}" if whole else f"{sign}{part}"


def in_figures(matras: Fraction | int) -> str:
    """`5 matras`, `1 matra`, `1/2 matra`, `2 1/2 matras`."""
    several = 2 if matras > 1 else 1
    return say_many("{matras} matra", "{matras} matras", several, matras=mixed(matras))
