"""Prastara: all orders of a set of swaras in the succession of the treatises.

The rule of the Sangitaratnakara (1.4, with its commentary Sudhakara, which lays out four swaras as
its example: Adyar edition, volume 1, page 132) writes each row under the
one before it: below the first swara that has an earlier one to put there stands that earlier one,
to its right all stays, to its left stands what is left over, in order. So the first swaras change
fastest, and the last one last of all:

    S R G, R S G, S G R, G S R, R G S, G R S

The place of an order (uddishta) and the order at a place (nashta) are found as by the khandameru:
by multiples of factorials. Places are counted from 0; a treatise counts from 1.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import factorial
from typing import TypeVar

T = TypeVar("T")


def count(n: int) -> int:
    """How many orders n different swaras have. Raises ValueError below 0."""
    return factorial(n)


def orders(things: Sequence[T]) -> Iterator[tuple[T, ...]]:
    """All orders, the given one first, the reverse of it last. Raises ValueError for doubles."""
    _check(things)
    yield from _orders(tuple(things))


def order_at(things: Sequence[T], index: int) -> tuple[T, ...]:
    """The order at this place (nashta). Raises IndexError where there is none."""
    _check(things)
    if not 0 <= index < count(len(things)):
        raise IndexError(
            f"place {index} is not among the {count(len(things))} orders of {len(things)}"
        )
    left, found = list(things), []
    while left:
        passed, index = divmod(index, count(len(left) - 1))
        found.append(left.pop(len(left) - 1 - passed))
    return tuple(reversed(found))


def index_of(things: Sequence[T], order: Sequence[T]) -> int:
    """The place of an order (uddishta). Raises ValueError where it is no order of these."""
    _check(things)
    left, index = list(things), 0
    for thing in reversed(order):
        if thing not in left:
            raise ValueError(f"{list(order)} is no order of {list(things)}: {thing!r} is one more")
        index += (len(left) - 1 - left.index(thing)) * count(len(left) - 1)
        left.remove(thing)
    if left:
        raise ValueError(f"{list(order)} is no order of {list(things)}: it lacks {left}")
    return index


def following(things: Sequence[T], order: Sequence[T]) -> tuple[T, ...] | None:
    """What follows an order in the succession; None after the last."""
    index = index_of(things, order) + 1
    return order_at(things, index) if index < count(len(things)) else None


def _orders(things: tuple[T, ...]) -> Iterator[tuple[T, ...]]:
    if not things:
        yield ()
    for last in reversed(range(len(things))):
        for before in _orders(things[:last] + things[last + 1 :]):
            yield (*before, things[last])


def _check(things: Sequence[T]) -> None:
    if any(thing in things[:place] for place, thing in enumerate(things)):
        raise ValueError(f"{list(things)} holds one thing twice; a prastara is of different ones")
