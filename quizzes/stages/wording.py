"""The order of stages in words: why one comes before another, in short sentences."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from quizzes.fresh import Fresh
from quizzes.names import capital, listed
from quizzes.stages.asking import stage_name
from quizzes.stages.order import STRENGTHS, Pair
from quizzes.stages.stage import Form
from words import say, say_many

_PLURAL = re.compile(r"\w+[^s\W]s\b")
"""A name whose first word is in the plural: "Tans in the gat"."""


def is_plural(known: Form, stage: str) -> bool:
    return bool(_PLURAL.match(known.stages[stage].name))


def number_of(known: Form, stage: str) -> int:
    """One, or several of a name in the plural: for `say_many`."""
    return 2 if is_plural(known, stage) else 1


def about_in_words(known: Form, stage: str) -> str:
    """`Jor is the same free unfolding taken up with a steady pulse.`"""
    return say_many(
        "{stage} is {about}.",
        "{stage} are {about}.",
        number_of(known, stage),
        stage=stage_name(known, stage, begins=True),
        about=say(known.stages[stage].about),
    )


def purpose_in_words(known: Form, stage: str) -> str:
    """`Jor is there to bring in a pulse.`"""
    return say_many(
        "{stage} is there to {purpose}.",
        "{stage} are there to {purpose}.",
        number_of(known, stage),
        stage=stage_name(known, stage, begins=True),
        purpose=say(known.stages[stage].purpose),
    )


def pair_in_words(known: Form, pair: Pair, among: Sequence[str] = ()) -> str:
    """`Alap comes before jor: a pulse ...`; what follows is told by a stage that lies between,
    one of `among` where there is one."""
    return _sentence(known, _gathered([pair]), pair, pair, among)


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
        _sentence(known, _gathered(some), some[0], _one_for_all(known, some, given), given)
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


def _sentence(
    known: Form, gathered: Gathered, pair: Pair, reason: Pair, among: Sequence[str]
) -> str:
    """`Alap comes before jor, and jor before drut gat: ...`; `pair` is one of them, and `reason`
    has the reason of all."""
    order = ""
    for firsts, thens in gathered:
        stages = {
            "firsts": listed([stage_name(known, one) for one in firsts]),
            "thens": listed([stage_name(known, one) for one in thens]),
        }
        if order:
            order = say("{order}, and {firsts} before {thens}", order=order, **stages)
            continue
        number = max(len(firsts), number_of(known, firsts[0]))
        if pair.strength == "usual":
            order = say_many(
                "{firsts} usually comes before {thens}",
                "{firsts} usually come before {thens}",
                number,
                **stages,
            )
        else:
            order = say_many(
                "{firsts} comes before {thens}", "{firsts} come before {thens}", number, **stages
            )
    return _with_reason(known, capital(order), reason, among)


def _why(known: Form, pair: Pair, among: Sequence[str]) -> str:
    """Its reason, whether told of these two or of what they are parts of."""
    if not pair.via or pair.via == pair.of:
        return pair.why
    return _with_reason(known, "", pair, among)


def _one_for_all(known: Form, pairs: Sequence[Pair], among: Sequence[str]) -> Pair:
    """One of the pairs that share a reason: with the wholes of which it is told, where they share
    those too."""
    reasons = {_with_reason(known, "", pair, among) for pair in pairs}
    return pairs[0] if len(reasons) == 1 else replace(pairs[0], via=(), of=None)


def _with_reason(known: Form, order: str, pair: Pair, among: Sequence[str]) -> str:
    """`Alap comes before jor` with why it does."""
    if not pair.via:
        return say("{order}: {why}.", order=order, why=say(pair.why))
    if pair.of is not None and pair.via == pair.of:
        return _as_its_whole(known, order, pair, pair.of)
    between = _between(known, pair, among)
    return say_many(
        "{order}: {stage} lies between them.",
        "{order}: {stage} lie between them.",
        number_of(known, between),
        order=order,
        stage=stage_name(known, between),
    )


def _as_its_whole(known: Form, order: str, pair: Pair, of: tuple[str, str]) -> str:
    """What is told of a whole and so holds of its part."""
    first, then = (stage_name(known, whole) for whole in of)
    why = say(pair.why)
    if of[1] == pair.then:
        return say("{order}, as all of {first} does: {why}.", order=order, first=first, why=why)
    if of[0] == pair.first:
        return say(
            "{order}, as it comes before all of {then}: {why}.", order=order, then=then, why=why
        )
    return say(
        "{order}, as all of {first} comes before {then}: {why}.",
        order=order,
        first=first,
        then=then,
        why=why,
    )


def _between(known: Form, pair: Pair, among: Iterable[str]) -> str:
    """A stage by which the pair follows, as strictly as it holds itself."""
    order, least = known.order, STRENGTHS.index(pair.strength)
    for one in (*among, *pair.via):
        steps = (order.pair(pair.first, one), order.pair(one, pair.then))
        if all(step and STRENGTHS.index(step.strength) >= least for step in steps):
            return one
    return pair.via[0]
