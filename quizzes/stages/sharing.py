"""How the time of a performance is shared out among its stages, and how near an answer comes.

A layout is read from `assets/stages/layout.toml`, and a teacher's word from the text of a tradition
(`quizzes.stages.layouts`). All is in whole minutes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb

from quizzes.stages.stage import from_to

GAITS = ("grave", "medium", "light")
"""Grave and nothing else, between, light and never grave."""


@dataclass(frozen=True, slots=True)
class Part:
    """A stage and how many minutes it usually has, from `least` to `most`, and why."""

    stage: str
    least: int
    most: int
    why: str
    confidence: str
    source: str

    def nearness(self, minutes: int) -> float:
        """1 within the range; outside by how many times too short or too long, to 0 for none."""
        if minutes < self.least:
            return minutes / self.least
        return self.most / minutes if minutes > self.most else 1.0

    @property
    def span(self) -> str:
        """`12 to 30`."""
        return from_to((self.least, self.most))


@dataclass(frozen=True, slots=True)
class Layout:
    """Stages in their order, among which `minutes` are shared out for ragas of one gait."""

    minutes: int
    gait: str
    parts: tuple[Part, ...]

    @property
    def even(self) -> tuple[int, ...]:
        """As a bar starts."""
        return evenly_shared(self.minutes, len(self.parts))

    @property
    def sensible(self) -> tuple[int, ...]:
        """Every stage as far up in its range as the others, to whole minutes."""
        room = [part.most - part.least for part in self.parts]
        left = self.minutes - sum(part.least for part in self.parts)
        exact = [left * each / max(1, sum(room)) for each in room]
        more = [int(each) for each in exact]
        largest = sorted(range(len(room)), key=lambda at: (more[at] - exact[at], at))
        for at in largest[: left - sum(more)]:
            more[at] += 1
        return tuple(part.least + each for part, each in zip(self.parts, more, strict=True))

    def missed(self, shares: Sequence[int]) -> list[tuple[Part, int]]:
        """Which stages have fewer or more minutes than usual, and how many."""
        given = zip(self.parts, shares, strict=True)
        return [(part, minutes) for part, minutes in given if part.nearness(minutes) < 1]

    def credit(self, shares: Sequence[int]) -> float:
        """1 where every stage lies in its range, 0 for a bar that is left as it starts or worse.

        Between them by the mean nearness of the stages: each counts the less the farther it lies
        outside, so that a near miss loses little.
        """
        if not self.missed(shares):
            return 1.0
        start = self._nearness(self.even)
        return max(0.0, (self._nearness(shares) - start) / (1 - start)) if start < 1 else 0.0

    def _nearness(self, shares: Sequence[int]) -> float:
        given = zip(self.parts, shares, strict=True)
        return sum(part.nearness(minutes) for part, minutes in given) / len(self.parts)

    @property
    def is_asked(self) -> bool:
        """Whether there is anything to say: a bar shared evenly, however it is rounded, is wrong
        in some stage."""
        if len(self.parts) < 2:
            return False
        each, over = divmod(self.minutes, len(self.parts))
        evens = {each, each + bool(over)}
        return any(all(part.nearness(even) < 1 for even in evens) for part in self.parts)

    @property
    def chance(self) -> float:
        """Of a division that is drawn blindly, all being equally likely, to lie in all ranges."""
        ranges = [(part.least, part.most) for part in self.parts]
        return within(ranges, self.minutes) / divisions(self.minutes, len(self.parts))


def evenly_shared(whole: int, count: int) -> tuple[int, ...]:
    """As even as can be; what does not divide goes to the first."""
    each, over = divmod(whole, count)
    return tuple(each + (at < over) for at in range(count))


def divisions(whole: int, count: int) -> int:
    """How many ways there are to share out a whole in so many parts, each at least 1, in order."""
    return comb(whole - 1, count - 1)


def within(ranges: Sequence[tuple[int, int]], whole: int) -> int:
    """How many of these have every part in its range, from and to."""
    ways = [1, *[0] * whole]  # of sharing out so much among the parts so far
    for least, most in ranges:
        ways = [
            sum(ways[total - part] for part in range(least, min(most, total) + 1))
            for total in range(whole + 1)
        ]
    return ways[whole]
