"""Questions of a deck that ask for an order: right is what keeps the teacher's pairs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache, lru_cache
from itertools import islice, pairwise
from math import factorial

from quizzes.decks.deck import Asked, Before
from quizzes.decks.posed import Posed, ids_of
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.deck_form import (
    asked_in,
    entry_of,
    question_of,
    quoted,
    right_cue,
    slow_cue,
    told,
    why_of,
)
from quizzes.question import KEYS_APART, Choice, Mark, Question, Setting
from quizzes.stages.order import Order, Pair
from words import say, say_many

MOST_LISTED = 1000
"""So many right orders a question lists at most; others are right all the same."""
SECONDS = 8.0, 7.0
"""What an order takes, and what each thing in it takes besides."""
SHUFFLES = 20
"""So often the order in which things are offered is drawn again where it is right already."""
IN_A_ROW = 80
"""Things of so many letters are told in a row, others each in a line of its own."""
MOST_TOLD = 3
"""So many broken pairs are told."""


class PutInOrder:
    """Things to be put into an order."""

    def make(self, posed: Posed, skill: str, *, seed: int, setting: Setting) -> Question:
        entry, fresh = entry_of(posed), Fresh(skill, seed)
        order, names = order_of(entry), _names(entry)
        offered = fresh.shuffled(list(names))
        for _ in range(SHUFFLES):
            if not order.allows(offered):
                break
            offered = fresh.shuffled(offered)
        return question_of(
            entry,
            skill,
            fresh,
            seed=seed,
            setting=setting,
            choices=tuple(Choice(each, names[each]) for each in offered),
            right=tuple(KEYS_APART.join(each) for each in _listed(entry)),
            answer_on="order",
            luck=self.chance(entry),
            places=len(offered),
            fewest=len(offered),
        )

    def mark(self, question: Question, given: str) -> Mark:
        put = question.written(given)
        if sorted(put) != sorted(choice.id for choice in question.choices):
            raise KeyError(given)
        return Mark(float(order_of(asked_in(question)).share_kept(put)))

    def explain(self, question: Question, given: str) -> Explanation:
        entry, put = asked_in(question), question.written(given)
        names, order = _names(entry), order_of(entry)
        is_right = order.allows(put)
        right = nearest(order, put)
        return Explanation(
            right_label=in_turn(names[each] for each in right),
            given_label=in_turn(names[each] for each in put),
            why=why_of(entry, _broken(order, put, names)),
            right_cue=right_cue(question),
            given_cue=None,
            slow_cue=slow_cue(question),
            counted="" if is_right else _counted(order, put),
            nearest=KEYS_APART.join(right),
        )

    def introduce(self, question: Question) -> str:
        entry = asked_in(question)
        is_one, right = len(question.right) == 1, in_turn(entry.things)
        if len(right) <= IN_A_ROW and is_one:
            return told(entry, say("The order is: {things}", things=right))
        if len(right) <= IN_A_ROW:
            return told(entry, say("One right order is: {things}", things=right))
        below = (f"{number}. {thing}" for number, thing in enumerate(entry.things, 1))
        one = say("The order is:") if is_one else say("One right order is:")
        return "\n".join(filter(None, [f"{entry.prompt} {one}", *below, entry.why]))

    def chance(self, entry: Asked) -> float:
        return _chance(entry)

    def seconds(self, entry: Asked) -> float:
        return SECONDS[0] + SECONDS[1] * len(entry.things)


def _names(entry: Asked) -> dict[str, str]:
    """Each thing by its id, in the order of the file, which is right."""
    return dict(zip(ids_of(entry.things), entry.things, strict=True))


@lru_cache(maxsize=64)
def order_of(entry: Asked) -> Order:
    """The pairs that matter, closed over what follows from them; by ids."""
    ids = {name: each for each, name in _names(entry).items()}
    pairs = entry.before or tuple(Before(one, other) for one, other in pairwise(entry.things))
    return Order(
        tuple(
            Pair(ids[pair.first], ids[pair.then], "fixed", pair.why, source="", confidence="A")
            for pair in pairs
        ),
        parents={},
    )


@lru_cache(maxsize=64)
def _listed(entry: Asked) -> tuple[tuple[str, ...], ...]:
    return tuple(islice(order_of(entry).orders(tuple(_names(entry))), MOST_LISTED))


@lru_cache(maxsize=64)
def _chance(entry: Asked) -> float:
    """Of all orders but the one in which they are offered, where that is not right."""
    count = count_of(order_of(entry), tuple(_names(entry)))
    return count / max(count, factorial(len(entry.things)) - 1)


def nearest(order: Order, put: Sequence[str]) -> tuple[str, ...]:
    """That right order of these things in which the fewest pairs stand the other way round; of
    several, the one with most things in the same place."""
    above = [sum(1 << at for at, one in enumerate(put) if order.pair(one, other)) for other in put]

    @cache
    def rest(placed: int) -> tuple[int, int, tuple[str, ...]]:
        """What may follow these: how many pairs it turns, and how many things stand elsewhere."""
        if placed + 1 == 1 << len(put):
            return 0, 0, ()
        ways = []
        for at, before in enumerate(above):
            if not placed & 1 << at and before & placed == before:
                turned, moved, after = rest(placed | 1 << at)
                turned += (~placed & (1 << at) - 1).bit_count()
                ways.append((turned, moved + (placed.bit_count() != at), (put[at], *after)))
        return min(ways)

    return rest(0)[2]


def in_turn(texts: Iterable[str]) -> str:
    """One after the other; where a comma stands in one of them, they are parted otherwise."""
    told = list(texts)
    return ("; " if any("," in text for text in told) else ", ").join(told)


def count_of(order: Order, things: Sequence[str]) -> int:
    """How many orders of the things are right."""
    above = [
        sum(1 << at for at, one in enumerate(things) if order.pair(one, other)) for other in things
    ]

    @cache
    def ways(placed: int) -> int:
        if placed + 1 == 1 << len(things):
            return 1
        return sum(
            ways(placed | 1 << at)
            for at, before in enumerate(above)
            if not placed & 1 << at and before & placed == before
        )

    return ways(0)


def _counted(order: Order, put: Sequence[str]) -> str:
    whole = len(order.pairs(put))
    return say_many(
        "{right} of {count} pair in order",
        "{right} of {count} pairs in order",
        whole,
        right=whole - len(order.broken(put)),
    )


def _broken(order: Order, put: Sequence[str], names: dict[str, str]) -> list[str]:
    """Of the pairs that the teacher gave, those that stand the wrong way round, and why."""
    at = {each: place for place, each in enumerate(put)}
    found = [pair for pair in order.told if at[pair.first] > at[pair.then]]
    return [_told(pair, names) for pair in found[:MOST_TOLD]]


def _told(pair: Pair, names: dict[str, str]) -> str:
    parts = {"first": _begun(names[pair.first]), "then": quoted(names[pair.then])}
    if not pair.why:
        return say("{first} comes before {then}.", **parts)
    return say("{first} comes before {then}: {why}", why=pair.why, **parts)


def _begun(text: str) -> str:
    """A teacher's text at the head of a sentence, with no other letter than it has: r is not R."""
    return f"“{text}”" if text[:1].islower() else quoted(text)
