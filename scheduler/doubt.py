"""Whether it is still the student who answers: a tablet is handed to a sibling, or lies unheard.

A hidden Markov model of two states, filtered forwards (Rabiner 1989): the student answers what is
known, somebody else is right hardly more often than by luck. While it is likelier that somebody
else answers, what is answered counts for as little as that.
"""

from __future__ import annotations

from typing import NamedTuple

from scheduler.evidence import chance_right

_HANDED_OVER, _HANDED_BACK = 0.004, 0.02  # chance at each answer
_STRANGER_KNOWS = 0.25  # of what the student has begun
_BAD_DAY = 0.8  # nobody knows all that was foretold, on a bad day


class Doubt(NamedTuple):
    """`stranger` is the chance that somebody else answers."""

    stranger: float = 0.0

    def after(self, credit: float, *, known: float, chance: float, begun: bool) -> Doubt:
        """After an answer to a skill known at this chance; one never begun tells nobody apart."""
        stranger = self.stranger * (1.0 - _HANDED_BACK) + (1.0 - self.stranger) * _HANDED_OVER
        if begun:
            own = chance_right(_BAD_DAY * known, chance)
            other = chance_right(min(_STRANGER_KNOWS, known), chance)
            by_own = credit * own + (1.0 - credit) * (1.0 - own)
            by_other = credit * other + (1.0 - credit) * (1.0 - other)
            whole = stranger * by_other + (1.0 - stranger) * by_own
            stranger = stranger * by_other / whole if whole > 0.0 else stranger
        return Doubt(stranger)

    @property
    def trust(self) -> float:
        """How much an answer counts: all, unless somebody else is likelier to have given it."""
        return 1.0 if self.stranger <= 0.5 else 1.0 - self.stranger
