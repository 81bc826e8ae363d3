"""A fresh phrase of a raga, grown from the phrases that it is known by.

A phrase begins as one of the raga's own and grows at both ends by pieces of its other phrases and
of its scales that fit on: a piece joins where it begins with the swara on which the phrase ends (or
ends with the one on which it begins), and only where the raga admits all that then stands there. It
ends on a rest of the raga. So every step has been taken in the raga before, in the company of the
swara before it; nothing walks at random over a scale.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from audio.tuning import Swara
from quizzes.fresh import Fresh
from quizzes.ragas.movement import admits
from quizzes.ragas.raga import Raga

Swaras = tuple[Swara, ...]

LOWEST_STEPS, HIGHEST_STEPS = -7, 19
"""From mandra Ma, the open string, to tar Pa."""
SAPTAK_MIDDLES = {"mandra": -4, "madhya": 5, "tar": 12}
FEWEST, MOST = 4, 9
"""How many swaras a phrase has unless asked otherwise."""
TRIES = 60
PIECE = 4
"""A piece is so many swaras long at most."""


def grow(
    fresh: Fresh,
    raga: Raga,
    *,
    fewest: int = FEWEST,
    most: int = MOST,
    saptak: str | None = None,
    ends_on: frozenset[str] | None = None,
) -> Swaras:
    """A phrase that the raga admits, which holds one of its own phrases and ends on a rest.

    `saptak` is where it mostly lies, one of the raga's own unless given; `ends_on` are the letters
    on which it may end, all rests of the raga unless given. Where a phrase of the raga is longer
    than `most`, so is what grows from it.
    """
    ends = frozenset(raga.nyas.value) if ends_on is None else ends_on
    middle = SAPTAK_MIDDLES[saptak or fresh.one_of(raga.register.value)]
    best: Swaras = ()
    for _ in range(TRIES):
        grown = _grown(fresh, raga, fewest, most, middle, ends)
        if grown and fewest <= len(grown) <= most:
            return grown
        if grown and (not best or abs(len(grown) - most) < abs(len(best) - most)):
            best = grown
    return best or _shortest(raga, ends)


def _grown(
    fresh: Fresh, raga: Raga, fewest: int, most: int, middle: float, ends: frozenset[str]
) -> Swaras:
    """One try; empty where it found no end."""
    starts = seeds_near(raga, middle)
    phrase = fresh.weighted([swaras for swaras, _ in starts], [weight for _, weight in starts], 1)[
        0
    ]
    wished = int(fresh.between(max(fewest, len(phrase)), most + 1))
    while len(phrase) < wished or phrase[-1].letter not in ends:
        if len(phrase) > most + PIECE:
            return ()
        ended = phrase[-1].letter in ends
        before = ended and (len(phrase) + 1 >= wished or fresh.between(0, 1) < 0.5)
        options = [
            joined
            for piece in pieces(raga)
            if (joined := _joined(phrase, piece, before)) and _fits(raga, joined)
        ]
        if not options:
            return phrase if ended else ()
        phrase = fresh.one_of(options)
    return phrase


def _joined(phrase: Swaras, piece: Swaras, before: bool) -> Swaras:
    """The piece at one end of the phrase, in the saptak that fits; empty where it does not join."""
    mine, theirs = (phrase[0], piece[-1]) if before else (phrase[-1], piece[0])
    lift = mine.steps - theirs.steps
    if lift % 12:
        return ()
    moved = tuple(Swara.at(swara.steps + lift) for swara in piece)
    return (*moved[:-1], *phrase) if before else (*phrase, *moved[1:])


def _fits(raga: Raga, swaras: Swaras) -> bool:
    return within_reach(swaras) and admits(raga, swaras)


def within_reach(swaras: Sequence[Swara]) -> bool:
    return all(LOWEST_STEPS <= swara.steps <= HIGHEST_STEPS for swara in swaras)


@cache
def seeds_near(raga: Raga, middle: float) -> tuple[tuple[Swaras, float], ...]:
    """The raga's own phrases in every saptak within reach, the likelier the nearer to `middle`."""
    found = []
    for phrase in raga.phrases:
        for lift in (-12, 0, 12):
            moved = tuple(Swara.at(swara.steps + lift) for swara in phrase.swaras)
            if within_reach(moved) and admits(raga, moved):
                away = abs(sum(swara.steps for swara in moved) / len(moved) - middle)
                found.append((moved, 2.0 ** (-away / 2.0)))
    return tuple(found)


@cache
def pieces(raga: Raga) -> tuple[Swaras, ...]:
    """Two to four swaras in succession from its phrases and scales, in any saptak."""
    lines = [phrase.swaras for phrase in raga.phrases]
    lines += [raga.scale.value.aroha, raga.scale.value.avaroha]
    found = {
        line[place : place + size]: None
        for line in lines
        for size in range(2, PIECE + 1)
        for place in range(len(line) - size + 1)
    }
    return tuple(found)


def _shortest(raga: Raga, ends: frozenset[str]) -> Swaras:
    """A phrase of the raga and the nearest way from it to a rest: where chance found none."""
    queue = [phrase.swaras for phrase in raga.phrases]
    for _ in range(PIECE * PIECE):
        for phrase in queue:
            if phrase[-1].letter in ends:
                return phrase
        queue = [
            joined
            for phrase in queue
            for piece in pieces(raga)
            if len(piece) == 2 and (joined := _joined(phrase, piece, False)) and _fits(raga, joined)
        ][:400]
    raise ValueError(f"{raga.id}: no phrase of it leads to {', '.join(sorted(ends))}")
