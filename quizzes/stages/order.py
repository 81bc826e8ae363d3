"""The partial order in which stages come: what is fixed, what is usual, what is free, and why.

A pair of stages is told outright, or it follows from others: what comes before jor comes before all
that follows jor, and what holds of a stage holds of its parts. A pair that follows is as strong as
the weakest of those from which it follows. Where a pair is told to be free, nothing follows for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from itertools import combinations

STRENGTHS = ("free", "usual", "fixed")
"""From the weakest; of a pair that is free either may come first."""

FROM_MEMORY = "C"
"""The confidence of what no source tells: nothing is asked by it unless a teacher has said so."""


@dataclass(frozen=True, slots=True)
class Pair:
    """One stage before another: how strictly, and why.

    `via` are the stages from which it follows, () where it is told outright; `of` are the two of
    which it is told where these are parts of them.
    """

    first: str
    then: str
    strength: str
    why: str
    source: str
    confidence: str
    via: tuple[str, ...] = ()
    of: tuple[str, str] | None = None


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

    def surely(self, first: str, then: str) -> bool:
        """Whether no tradition known here has these two the other way round: a pair that is fixed,
        and known from more than memory."""
        pair = self.pair(first, then)
        return pair is not None and pair.strength == "fixed" and pair.confidence != FROM_MEMORY

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
        """Every pair that holds, told or following: by the strongest way that there is to it.

        What follows is inherited too, and something may follow from what is inherited again."""
        told = {(pair.first, pair.then): pair for pair in self.told}
        return self._with_what_follows(self._inherited(self._with_what_follows(told)))

    def _with_what_follows(
        self, steps: Mapping[tuple[str, str], Pair]
    ) -> dict[tuple[str, str], Pair]:
        free = {frozenset(pair) for pair, step in steps.items() if step.strength == "free"}
        closed = {pair: step for pair, step in steps.items() if step.strength != "free"}
        stages = dict.fromkeys(stage for pair in closed for stage in pair)
        for between in stages:
            after = [then for then in stages if (between, then) in closed]
            for first in stages:
                if (first, between) not in closed:
                    continue
                for then in after:
                    if frozenset((first, then)) in free:
                        continue
                    if first != then and self.are_kin(first, then):
                        continue
                    follows = _following(closed[first, between], closed[between, then])
                    known = closed.get((first, then))
                    if known is None or _rank(follows) > _rank(known):
                        closed[first, then] = follows
        return closed

    def _inherited(self, known: Mapping[tuple[str, str], Pair]) -> Mapping[tuple[str, str], Pair]:
        """What is told, and what follows, for the parts of these stages too.

        Of two words on a pair of parts that one stands which is told of stages nearer to them; all
        that is told stands above what follows."""
        found: dict[tuple[str, str], tuple[int, Pair]] = {}
        nearest: dict[frozenset[str], int] = {}
        following = [pair for pair in known.values() if pair.via]
        for pair in (*self.told, *following):
            for first, up in self._and_parts(pair.first):
                for then, up_too in self._and_parts(pair.then):
                    parts, two = up + up_too, frozenset((first, then))
                    far = parts + (_FAR if pair.via else 0)
                    if parts and self.are_kin(first, then):
                        continue
                    if far < nearest.get(two, 2 * _FAR) or (
                        far == nearest[two] and (first, then) not in found
                    ):
                        nearest[two] = far
                        found[first, then] = far, _of(pair, first, then) if parts else pair
        return {two: pair for two, (far, pair) in found.items() if far == nearest[frozenset(two)]}

    def are_kin(self, one: str, other: str) -> bool:
        """Whether the one is the other or a part of it, however deep: then neither comes first."""
        return one in self._and_wholes(other) or other in self._and_wholes(one)

    def _and_wholes(self, stage: str) -> Iterator[str]:
        yield stage
        while stage in self.parents:
            stage = self.parents[stage]
            yield stage

    def _and_parts(self, stage: str, up: int = 0) -> Iterator[tuple[str, int]]:
        """A stage and its parts, each with how far the stage lies above it."""
        yield stage, up
        for part, whole in self.parents.items():
            if whole == stage:
                yield from self._and_parts(part, up + 1)


def nearest(given: Sequence[str], orders: Sequence[Sequence[str]]) -> Sequence[str]:
    """That one of these orders of the same things with which most pairs stand the same way; of
    several, the one with most things in the same place."""
    at = {thing: place for place, thing in enumerate(given)}

    def likeness(order: Sequence[str]) -> tuple[int, int]:
        given_ones = [thing for thing in order if thing in at]
        kept = sum(at[one] < at[other] for one, other in combinations(given_ones, 2))
        return kept, sum(map(str.__eq__, order, given))

    return max(orders, key=likeness)


_FAR = 100
"""Further than any whole lies above its parts."""


def _of(pair: Pair, first: str, then: str) -> Pair:
    """A pair of wholes, for these parts of them."""
    via = (pair.first, *pair.via, pair.then)
    return replace(pair, first=first, then=then, via=via, of=(pair.first, pair.then))


def _following(one: Pair, other: Pair) -> Pair:
    """The pair that two make: as strong as the weaker and as sure as the less sure of them."""
    weaker = min(one, other, key=_rank)
    return replace(
        weaker,
        first=one.first,
        then=other.then,
        confidence=max(one.confidence, other.confidence),
        via=(*one.via, one.then, *other.via),
        of=None,
    )


def _rank(pair: Pair) -> int:
    return STRENGTHS.index(pair.strength)
