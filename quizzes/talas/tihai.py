"""A tihai, exactly: a phrase three times with equal gaps, whose last stroke is to fall on sam.

A phrase of p matras ends with its last stroke, which counts for one matra whatever sounds in it. So
with gaps of g matras a tihai takes 3p + 2g from where it begins to sam, that of sam included, and
its last stroke falls 3p + 2g - 1 after its beginning (common practice; p and g may be any
fractions). Without a gap it is bedam, "without breath", else damdar (a public page on tihais; what
is shorter than half a matra some call bedam, too). A whole tihai three times over is a chakradar:
again a phrase three times, of 3p + 2g matras. Places are as in `quizzes.talas.cycle`.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from quizzes.talas.cycle import place_in

TIMES = 3
LAST = Fraction(1)
"""For how much of a phrase its last stroke counts."""


@dataclass(frozen=True, slots=True)
class Tihai:
    """A phrase of so many matras, and the gap between its end and its next beginning.

    Raises ValueError where the phrase has no room for its last stroke, or the gap is below 0.
    """

    phrase: Fraction
    gap: Fraction = Fraction(0)

    def __post_init__(self) -> None:
        if self.phrase < LAST or self.gap < 0:
            raise ValueError(
                f"a tihai needs a phrase of at least {LAST} matra and a gap of at least 0: "
                f"given {self.phrase} and {self.gap}"
            )

    @property
    def matras(self) -> Fraction:
        """From its beginning to its end, that is with the whole of its last matra."""
        return TIMES * self.phrase + (TIMES - 1) * self.gap

    @property
    def begins(self) -> tuple[Fraction, ...]:
        """Where its phrases begin, in matras after the first."""
        return tuple(time * (self.phrase + self.gap) for time in range(TIMES))

    @property
    def ends(self) -> tuple[Fraction, ...]:
        """Where the last strokes of its phrases fall, in matras after its beginning."""
        return tuple(begin + self.phrase - LAST for begin in self.begins)

    @property
    def is_bedam(self) -> bool:
        return self.gap == 0

    def falls(self, start: Fraction | int, cycle: int) -> Fraction:
        """The place at which its last stroke falls when it begins at `start`."""
        return place_in(start + self.ends[-1], cycle)

    def lands(self, start: Fraction | int, cycle: int) -> bool:
        return self.falls(start, cycle) == 0

    def after_sam(self, start: Fraction | int, cycle: int) -> Fraction:
        """How many matras after the nearest sam its last stroke falls, below 0 before it."""
        falls = self.falls(start, cycle)
        return falls if 2 * falls <= cycle else falls - cycle

    def start_for(self, falls: Fraction | int, cycle: int) -> Fraction:
        """The place at which it begins when its last stroke falls at a place, on sam at 0."""
        return place_in(falls - self.ends[-1], cycle)

    def thrice(self, gap: Fraction | int) -> Tihai:
        """Itself as the phrase of a chakradar, with so many matras between."""
        return Tihai(self.matras, Fraction(gap))


def matras_of_tihai(phrase: Fraction | int, gap: Fraction | int) -> Fraction:
    """How many matras it takes, that of sam included."""
    return Tihai(Fraction(phrase), Fraction(gap)).matras
