"""The order of stages in words: why one comes before another, in short sentences."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise

from quizzes.fresh import Fresh
from quizzes.names import capital, listed
from quizzes.stages.asking import stage_name
from quizzes.stages.order import STRENGTHS, Pair
from quizzes.stages.stage import Form

_PLURAL = re.compile(r"\w+[^s\W]s\b")
"""A name whose first word is in the plural: "Tans in the gat"."""


def is_plural(known: Form, stage: str) -> bool:
    return bool(_PLURAL.match(known.stages[stage].name))


def is_or_are(known: Form, stage: str) -> str:
    return "are" if is_plural(known, stage) else "is"


def pair_in_words(known: Form, pair: Pair, among: Sequence[str] = ()) -> str:
    """`Alap comes before jor: a pulse ...`; what follows is told by a stage that lies between,
    one of `among` where there is one."""
    return _sentence(known, _gathered([pair]), pair, _reason(known, pair, among))


def broken_in_words(known: Form, given: Sequence[str]) -> tuple[str, ...]:
    """Each pair that stands the wrong way round, and why it does not; pairs that hold for the same
    reason share a sentence, so that none is said twice."""
    right = next(known.order.orders(given))
    pairs = sorted(
        known.order.broken(given),
        key=lambda pair: (right.index(pair.first), right.index(pair.then)),
    )
    alike: dict[tuple[str, str], list[Pair]] = {}
    for pair in pairs:
        alike.setdefault((pair.strength, _why(known, pair, given)), []).append(pair)
    return tuple(
        _sentence(known, _gathered(some), some[0], _reason_of_all(known, some, given))
        for some in alike.values()
    )


def kept_in_words(fresh: Fresh, known: Form, order: Sequence[str], of: Sequence[str] = ()) -> str:
    """Why this order, by one of its pairs of neighbours: one of the stages `of` rather than others,
    and what is told of them rather than what follows."""
    neighbours = [pair for two in pairwise(order) if (pair := known.order.pair(*two))]
    pairs = neighbours or list(known.order.pairs(order))
    for wished in (_has_one(of), _is_told):
        pairs = [pair for pair in pairs if wished(pair)] or pairs
    return pair_in_words(known, fresh.one_of(pairs), order)


def _has_one(of: Sequence[str]) -> Callable[[Pair], bool]:
    return lambda pair: pair.first in of or pair.then in of


def _is_told(pair: Pair) -> bool:
    return not pair.via


Gathered = Sequence[tuple[Sequence[str], Sequence[str]]]
"""Stages, and those before all of which they come."""


def _gathered(pairs: Sequence[Pair]) -> Gathered:
    """The pairs, those together that have their first ones, or their second ones, in common."""
    thens: dict[str, tuple[str, ...]] = {}
    for pair in pairs:
        thens[pair.first] = (*thens.get(pair.first, ()), pair.then)
    firsts: dict[tuple[str, ...], list[str]] = {}
    for first, after in thens.items():
        firsts.setdefault(after, []).append(first)
    return [(before, after) for after, before in firsts.items()]


def _sentence(known: Form, gathered: Gathered, pair: Pair, reason: str) -> str:
    """`Alap comes before jor, and jor before drut gat: ...`; `pair` is one of them."""
    clauses: list[str] = []
    for firsts, thens in gathered:
        subject = listed([stage_name(known, one) for one in firsts])
        after = listed([stage_name(known, one) for one in thens])
        several = len(firsts) > 1 or is_plural(known, firsts[0])
        verb = "usually " if pair.strength == "usual" else ""
        verb += "come " if several else "comes "
        clauses.append(f"{subject} {'' if clauses else verb}before {after}")
    return f"{capital(', and '.join(clauses))}{reason}."


def _why(known: Form, pair: Pair, among: Sequence[str]) -> str:
    """Its reason, whether told of these two or of what they are parts of."""
    if not pair.via or pair.via == pair.of:
        return f": {pair.why}"
    return _reason(known, pair, among)


def _reason_of_all(known: Form, pairs: Sequence[Pair], among: Sequence[str]) -> str:
    """The reason of pairs that share one: with the wholes of which it is told, where they share
    those too."""
    reasons = {_reason(known, pair, among) for pair in pairs}
    return reasons.pop() if len(reasons) == 1 else _why(known, pairs[0], among)


def _reason(known: Form, pair: Pair, among: Sequence[str]) -> str:
    """What comes after "Alap comes before jor"."""
    if not pair.via:
        return f": {pair.why}"
    if pair.of is not None and pair.via == pair.of:
        return f", {_as_its_whole(known, pair)}: {pair.why}"
    between = _between(known, pair, among)
    lies = "lie" if is_plural(known, between) else "lies"
    return f": {stage_name(known, between)} {lies} between them"


def _as_its_whole(known: Form, pair: Pair) -> str:
    """What is told of a whole and so holds of its part."""
    assert pair.of is not None
    first, then = pair.of
    if then == pair.then:
        return f"as all of {stage_name(known, first)} does"
    if first == pair.first:
        return f"as it comes before all of {stage_name(known, then)}"
    return f"as all of {stage_name(known, first)} comes before {stage_name(known, then)}"


def _between(known: Form, pair: Pair, among: Iterable[str]) -> str:
    """A stage by which the pair follows, as strictly as it holds itself."""
    order, least = known.order, STRENGTHS.index(pair.strength)
    for one in (*among, *pair.via):
        steps = (order.pair(pair.first, one), order.pair(one, pair.then))
        if all(step and STRENGTHS.index(step.strength) >= least for step in steps):
            return one
    return pair.via[0]
