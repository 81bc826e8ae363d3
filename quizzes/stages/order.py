"""The partial order in which stages come: what is fixed, what is usual, what is free, and why.

A pair of stages is told outright, or it follows from others: what comes before jor comes before all
that follows jor, and what holds of a stage holds of its parts. A pair that follows is as strong as
the weakest of those from which it follows. Where a pair is told to be free, nothing follows for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import combinations

STRENGTHS = ("free", "usual", "fixed")
"""From the weakest; of a pair that is free either may come first."""


@dataclass(frozen=True, slots=True)
class Pair:
    """One stage before another: how strictly, and why; `via` are the stages from which it follows,
    () where it is told outright."""

    first: str
    then: str
    strength: str
    why: str
    source: str
    confidence: str
    via: tuple[str, ...] = ()


@dataclass(frozen=True)
class Order:
    """The pairs that are told, and which stage each stage is a part of, if any."""

    told: tuple[Pair, ...]
    parents: Mapping[str, str]

    def pair(self, first: str, then: str) -> Pair | None:
        """How `first` comes before `then`; None where it need not."""
        return self._closed.get((first, then))

    def pairs(self, stages: Sequence[str]) -> tuple[Pair, ...]:
        """All pairs among these stages of which one comes first."""
        found = []
        for one, other in combinations(stages, 2):
            pair = self.pair(one, other) or self.pair(other, one)
            if pair is not None:
                found.append(pair)
        return tuple(found)

    def broken(self, order: Sequence[str]) -> tuple[Pair, ...]:
        """The pairs that stand the wrong way round."""
        found = (self.pair(later, earlier) for earlier, later in combinations(order, 2))
        return tuple(pair for pair in found if pair is not None)

    def allows(self, order: Sequence[str]) -> bool:
        return not self.broken(order)

    def share_kept(self, order: Sequence[str]) -> Fraction:
        """The share of fixed and usual pairs that an order keeps; 1 where there are none."""
        pairs = len(self.pairs(order))
        return 1 - Fraction(len(self.broken(order)), pairs) if pairs else Fraction(1)

    def orders(self, stages: Sequence[str]) -> Iterator[tuple[str, ...]]:
        """Every order of these stages that is allowed, each once."""
        if not stages:
            yield ()
        for one in stages:
            rest = [each for each in stages if each != one]
            if not any(self.pair(each, one) for each in rest):
                for after in self.orders(rest):
                    yield (one, *after)

    def circle(self) -> tuple[str, ...]:
        """Stages each of which would come before the next and the last before the first, if any:
        then the pairs that are told contradict each other."""
        for (first, then), pair in self._closed.items():
            if first == then:
                return (first, *pair.via)
        return ()

    @cached_property
    def _closed(self) -> Mapping[tuple[str, str], Pair]:
        """Every pair that holds, told or following: by the strongest way that there is to it."""
        steps = dict(self._inherited)
        free = {frozenset(pair) for pair, step in steps.items() if step.strength == "free"}
        closed = {pair: step for pair, step in steps.items() if step.strength != "free"}
        stages = dict.fromkeys(stage for pair in closed for stage in pair)
        for between in stages:
            for first in stages:
                for then in stages:
                    one, other = closed.get((first, between)), closed.get((between, then))
                    if one is None or other is None or frozenset((first, then)) in free:
                        continue
                    follows = _following(one, other)
                    known = closed.get((first, then))
                    if known is None or _rank(follows) > _rank(known):
                        closed[first, then] = follows
        return closed

    @cached_property
    def _inherited(self) -> Mapping[tuple[str, str], Pair]:
        """The pairs that are told, for the parts of their stages too; what is told of the parts
        themselves stands above that."""
        found: dict[tuple[str, str], Pair] = {}
        for pair in self.told:
            for first in self._and_parts(pair.first):
                for then in self._and_parts(pair.then):
                    outright = (first, then) == (pair.first, pair.then)
                    if outright or (first, then) not in found:
                        via = () if outright else (pair.first, pair.then)
                        found[first, then] = Pair(
                            first, then, pair.strength, pair.why, pair.source, pair.confidence, via
                        )
        return found

    def _and_parts(self, stage: str) -> Iterator[str]:
        yield stage
        for part, whole in self.parents.items():
            if whole == stage:
                yield from self._and_parts(part)


def _following(one: Pair, other: Pair) -> Pair:
    weaker = min(one, other, key=_rank)
    between = (*one.via, one.then, *other.via)
    return Pair(
        one.first,
        other.then,
        weaker.strength,
        weaker.why,
        weaker.source,
        weaker.confidence,
        tuple(dict.fromkeys(each for each in between if each not in (one.first, other.then))),
    )


def _rank(pair: Pair) -> int:
    return STRENGTHS.index(pair.strength)
