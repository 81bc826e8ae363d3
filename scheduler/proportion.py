"""A share of right answers, how far it can be trusted, and what is left without lucky guesses.

The interval is E. B. Wilson's at 95 % (`scheduler.reliability.wilson`). Who knows a thing with
chance k, and else guesses right with chance g, is right with chance k + (1 - k) g (J. P. Guilford,
"The determination of item difficulty when chance success is a factor", Psychometrika 1 (1936));
so k = (p - g) / (1 - g), and both ends of the interval are turned in the same way.
"""

from __future__ import annotations

from dataclasses import dataclass

from scheduler.reliability import FEW, wilson


@dataclass(frozen=True, slots=True)
class Proportion:
    """`right` of `asked` answers were right; `luck` is the sum of the chances of a lucky guess."""

    right: int
    asked: int
    luck: float = 0.0

    @property
    def share(self) -> float:
        """Of right answers; 0 where nothing was asked."""
        return self.right / self.asked if self.asked else 0.0

    @property
    def interval(self) -> tuple[float, float]:
        """Within which the true share lies in 19 cases of 20; 0 to 1 where nothing was asked."""
        return wilson(self.right, self.asked)

    @property
    def chance(self) -> float:
        """The mean chance of a lucky guess."""
        return self.luck / self.asked if self.asked else 0.0

    @property
    def known(self) -> float:
        """The share without lucky guesses, 0 to 1."""
        return self._known(self.share)

    @property
    def known_interval(self) -> tuple[float, float]:
        """The interval without lucky guesses, within 0 to 1."""
        low, high = self.interval
        return self._known(low), self._known(high)

    @property
    def is_few(self) -> bool:
        """Whether so few answers say little: the interval is wider than 0.4 at worst."""
        return self.asked < FEW

    def _known(self, share: float) -> float:
        if self.chance >= 1.0:
            return 0.0  # all was told, which shows nothing
        return min(1.0, max(0.0, (share - self.chance) / (1.0 - self.chance)))
