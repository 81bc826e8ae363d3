"""How large a difference is asked, where a kind asks it ever finer: its unit and its range."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


def _as_asked(level: float) -> float:
    return level


@dataclass(frozen=True, slots=True)
class Level:
    """What a staircase of one skill needs to know.

    `finest` and `coarsest` bound what is asked, `typical` is what is expected of a student of
    whom nothing is known, `first` is what is asked first, plain to hear; all in `unit`. `fair`
    gives the level nearest to the one wished for that can be asked.
    """

    unit: str
    finest: float
    coarsest: float
    typical: float
    first: float
    fair: Callable[[float], float] = _as_asked
    signal: tuple[str, ...] = ()
    """The right answers for which the level is what there is to hear; () for all of them. Other
    questions say nothing of how finely the student hears."""
    blank: tuple[str, ...] = ()
    """The right answers for which nothing of it is there: who then answers with one of `signal`
    guesses, and how often is learnt from them."""

    def __post_init__(self) -> None:
        if not 0.0 < self.finest < self.typical < self.first <= self.coarsest:
            raise ValueError(
                "a level needs 0 < finest < typical < first <= coarsest: given "
                f"{self.finest!r}, {self.typical!r}, {self.first!r}, {self.coarsest!r}"
            )
