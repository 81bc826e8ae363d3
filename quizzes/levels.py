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
    whom nothing is known; all in `unit`. `chance` is that of a lucky guess.
    """

    unit: str
    finest: float
    coarsest: float
    typical: float
    fair: Callable[[float], float] = _as_asked

    def __post_init__(self) -> None:
        if not 0.0 < self.finest < self.typical < self.coarsest:
            raise ValueError(
                "a level needs 0 < finest < typical < coarsest: "
                f"given {self.finest!r}, {self.typical!r}, {self.coarsest!r}"
            )
