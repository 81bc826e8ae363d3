"""Phrases of a raga that follow one another along a path through the saptaks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache

from audio.tuning import Swara
from quizzes.fresh import Fresh
from quizzes.ragas.growing import MOST, grow
from quizzes.ragas.movement import admits
from quizzes.ragas.raga import Raga
from quizzes.stages.joining import MOST_BETWEEN, between, joins, leaps
from quizzes.stages.saptaks import LEAST_IN_SAPTAK, reached, share_in

Swaras = tuple[Swara, ...]

DRAWN, ROUNDS = 6, 4
"""So many phrases are drawn at each place, and so often while none of them lies well."""
FEWEST = 3
OUTSIDE, ENDS_OUTSIDE = 20.0, 6.0
"""What a phrase is marked down by for lying outside its saptak altogether, and for ending there."""
WELL = 8.0
"""A phrase that is marked down by less is taken."""
NEAR_STEPS = 5
"""Semitones from the end of a phrase to the beginning of the next, if possible."""
UNJOINED = 3.0
"""What a phrase is marked down by that cannot follow at once."""
TRIED, MOSTLY = 4, 3
"""So many passages tell whether a raga goes through a register: if most do, one of a few will."""


def path_of(register: Sequence[str], count: int) -> tuple[str, ...]:
    """The saptaks of so many phrases that go through a register in order; of one, that which tells
    the register from others."""
    if count == 1 < len(register):
        return (next(saptak for saptak in TELLING if saptak in register),)
    return tuple(register[number * len(register) // count] for number in range(count))


TELLING = ("tar", "mandra", "madhya")


@cache
def goes_through(raga: Raga, register: tuple[str, ...]) -> bool:
    """Whether phrases of the raga lie where they are wished: of one saptak for most of their time
    and at their end, of several at least into mandra and tar."""
    fresh = Fresh(f"{raga.id} {register}", 0)
    path = register if len(register) > 1 else 2 * register
    kept = 0
    for _ in range(TRIED):
        found = phrases(fresh, raga, path, swaras=FEWEST * len(path) + FEWEST, gait="grave")
        steps = [swara.steps for phrase in found for swara in phrase]
        share = sum(share_in(register[0], step) for step in steps) / len(steps)
        stays = share >= LEAST_IN_SAPTAK and share_in(register[0], steps[-1]) > 0
        kept += stays if len(register) == 1 else reached(steps, register)
    return kept >= MOSTLY


def next_phrase(
    fresh: Fresh,
    raga: Raga,
    before: Sequence[Swara],
    *,
    saptak: str,
    fewest: int,
    most: int,
    ends_on: frozenset[str] | None = None,
    gait: str | None = None,
) -> Swaras:
    """The best of a few grown phrases, or of pieces of them that end on a rest: it lies in its
    saptak, is as long as wished and begins near what stands before it. Where the raga does not go
    on so at once, it is led up to by the raga's own steps."""
    ends = ends_on or frozenset({"S", *raga.nyas.value})

    def fault(swaras: Swaras) -> float:
        inside = sum(share_in(saptak, swara.steps) for swara in swaras) / len(swaras)
        far = abs(swaras[0].steps - before[-1].steps) if before else 0
        return (
            OUTSIDE * (1 - inside)
            + ENDS_OUTSIDE * (not share_in(saptak, swaras[-1].steps))
            + max(fewest - len(swaras), len(swaras) - most, 0)
            + max(0, far - NEAR_STEPS)
            + UNJOINED * (not joins(raga, before, swaras))
        )

    best: Swaras = ()
    for _ in range(ROUNDS):
        drawn: list[Swaras] = []
        for _ in range(DRAWN):
            grown = grow(
                fresh, raga, fewest=fewest, most=most, saptak=saptak, ends_on=ends, gait=gait
            )
            drawn += [grown, *_pieces(raga, grown, saptak, ends)]
        best = min([best, *drawn] if best else drawn, key=fault)
        if fault(best) < WELL:
            break
    return (*(between(raga, before, best) or ()), *best)


def _pieces(raga: Raga, phrase: Swaras, saptak: str, ends: frozenset[str]) -> Iterator[Swaras]:
    """What of a phrase lies in the saptak and ends on a rest, where not all of it does."""
    inside = [share_in(saptak, swara.steps) > 0 for swara in phrase]
    if all(inside):
        return
    for end in range(len(phrase), FEWEST - 1, -1):
        begin = end
        while begin and inside[begin - 1]:
            begin -= 1
        piece = phrase[begin:end]
        if len(piece) >= FEWEST and piece[-1].letter in ends and admits(raga, piece):
            yield piece


def phrases(
    fresh: Fresh,
    raga: Raga,
    path: Sequence[str],
    *,
    swaras: int,
    ends_on: frozenset[str] | None = None,
    gait: str | None = None,
) -> tuple[Swaras, ...]:
    """A phrase in each saptak of the path, or more where one is not enough, of about so many swaras
    in all."""
    found: list[Swaras] = []
    for number, saptak in enumerate(path, 1):
        while len(found) < number or _short(found, swaras * number / len(path)):
            left = swaras * number / len(path) - sum(map(len, found))
            wished = min(max(round(left), FEWEST), MOST)
            found.append(
                next_phrase(
                    fresh,
                    raga,
                    [swara for phrase in found for swara in phrase],
                    saptak=saptak,
                    fewest=max(wished - 1, FEWEST),
                    most=wished,
                    ends_on=ends_on,
                    gait=gait,
                )
            )
    return tuple(found)


def _short(found: Sequence[Swaras], swaras: float) -> bool:
    """Whether another phrase finds room in so many swaras."""
    return swaras - sum(map(len, found)) >= FEWEST - 0.5


def exactly(
    fresh: Fresh,
    raga: Raga,
    count: int,
    *,
    before: Sequence[Swara] = (),
    register: Sequence[str],
    ends_on: frozenset[str] | None = None,
    gait: str | None = None,
) -> Swaras:
    """So many swaras of the raga, phrase after phrase through the register, the last one a rest."""
    best: Swaras = ()
    for _ in range(ROUNDS):
        best = _at_least(fresh, raga, count, before, register, ends_on, gait)[-count:]
        if admits(raga, (*before, *best)) and not leaps(raga, (*before, *best)):
            break
    return best


def returning(
    fresh: Fresh,
    raga: Raga,
    count: int,
    *,
    before: Sequence[Swara],
    to: Sequence[Swara],
    register: Sequence[str],
    gait: str | None = None,
) -> Swaras:
    """So many swaras of the raga from what stands before them, that lead back to others."""
    best: Swaras = ()
    for _ in range(ROUNDS):
        best = _at_least(fresh, raga, count, before, register, None, gait)[:count]
        for back in range(min(count, MOST_BETWEEN) + 1):
            head = best[: count - back]
            if (way := between(raga, (*before, *head), to, count=back)) is not None:
                return (*head, *way)
    return best


def _at_least(
    fresh: Fresh,
    raga: Raga,
    count: int,
    before: Sequence[Swara],
    register: Sequence[str],
    ends_on: frozenset[str] | None,
    gait: str | None,
) -> Swaras:
    """Phrase after phrase through the register, until there are so many swaras."""
    found: Swaras = ()
    path = path_of(register, max(1, min(len(register), count // FEWEST), -(-count // MOST)))
    for number, saptak in enumerate(path, 1):
        while len(found) < count * number // len(path):
            left = min(max(count * number // len(path) - len(found), FEWEST), MOST)
            found += next_phrase(
                fresh,
                raga,
                (*before, *found),
                saptak=saptak,
                fewest=left,
                most=min(left + 3, MOST),
                ends_on=ends_on,
                gait=gait,
            )
    return found
