"""What phrases of a raga are grown from: pieces of its phrases and of its scales, and their weight.

Swaras are semitones here. A piece of a phrase is likelier than one of a scale, and the likelier
the more of vadi, samvadi and rests it holds; one of swaras that the raga leaves out on one of its
ways, or only touches, is less so.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from audio.tuning import SWARAS, Swara
from quizzes.ragas.raga import Raga

Steps = tuple[int, ...]
"""A phrase in semitones above middle Sa."""

LOWEST_STEPS, HIGHEST_STEPS = -7, 17
"""From mandra Ma, the open string, to tar Ma: higher the string is hardly pulled or heard."""
PIECE = 4
"""A piece is so many swaras long at most, but for a whole phrase."""

# Choices of ours: how much likelier what has weight in the raga is than what has not.
VADI, SAMVADI, NYAS, PLAIN, WEAK, OCCASIONAL = 2.4, 1.6, 1.4, 1.0, 0.6, 0.3
FROM_PHRASE, WHOLE_PHRASE, FROM_SCALE = 2.0, 3.0, 0.5


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece from its first swara on, how low and high it goes, and how likely it is by what it
    holds."""

    steps: Steps
    lowest: int
    highest: int
    weight: float


@dataclass(frozen=True, slots=True)
class Stock:
    """Pieces of a raga by the swara on which they begin and by that on which they end, and the
    turns that it makes (`shape_of`)."""

    onward: Mapping[int, tuple[Piece, ...]]
    before: Mapping[int, tuple[Piece, ...]]
    shapes: frozenset[Steps]
    starts: frozenset[int]
    """Swaras on which its phrases and its way up begin."""


def shape_of(steps: Steps) -> Steps:
    """A succession in whichever saptak."""
    return (steps[0] % 12, *(step - steps[0] for step in steps[1:])) if steps else ()


def semitones_of(letters: Iterable[str]) -> frozenset[int]:
    """Letters as semitones above any Sa."""
    return frozenset(map(SWARAS.index, letters))


_AT = {step: Swara.at(step) for step in range(-48, 61)}


def swaras_at(steps: Iterable[int]) -> tuple[Swara, ...]:
    return tuple(map(_AT.__getitem__, steps))


def steps_of(swaras: Iterable[Swara]) -> Steps:
    return tuple(swara.steps for swara in swaras)


def within_reach(swaras: Sequence[Swara]) -> bool:
    return all(LOWEST_STEPS <= swara.steps <= HIGHEST_STEPS for swara in swaras)


def in_reach(steps: Steps) -> Iterator[Steps]:
    """The same in every saptak within reach."""
    for lift in (-12, 0, 12):
        if min(steps) + lift >= LOWEST_STEPS and max(steps) + lift <= HIGHEST_STEPS:
            yield tuple(step + lift for step in steps)


@cache
def stock_of(raga: Raga, away_from: frozenset[str]) -> Stock:
    """Without the pieces that hold one of these letters."""
    phrases = [steps_of(phrase.swaras) for phrase in raga.phrases]
    scales = [steps_of(raga.scale.value.aroha), steps_of(raga.scale.value.avaroha)]
    weights: dict[Steps, float] = {}
    for lines, likely in ((phrases, FROM_PHRASE), (scales, FROM_SCALE)):
        for line in lines:
            for piece in _parts(line, PIECE):
                piece = _grounded(piece)
                weights[piece] = max(likely, weights.get(piece, 0.0))
    for line in phrases:
        weights[_grounded(line)] = WHOLE_PHRASE
    banned, letter = semitones_of(away_from), letter_weights(raga)
    onward: dict[int, list[Piece]] = {}
    before: dict[int, list[Piece]] = {}
    for steps, weight in weights.items():
        if banned & {step % 12 for step in steps}:
            continue
        for way, joint, added in (
            (onward, steps[0], steps[1:]),
            (before, steps[-1], steps[:-1]),
        ):
            heard = sum(letter[step % 12] for step in added) / len(added)
            way.setdefault(joint % 12, []).append(
                Piece(steps, min(steps), max(steps), weight * heard)
            )
    return Stock(
        MappingProxyType({joint: tuple(pieces) for joint, pieces in onward.items()}),
        MappingProxyType({joint: tuple(pieces) for joint, pieces in before.items()}),
        frozenset(shape_of(part) for line in (*phrases, *scales) for part in _parts(line, PIECE)),
        frozenset(line[0] % 12 for line in (*phrases, scales[0])),
    )


def _parts(line: Steps, most: int) -> Iterator[Steps]:
    """Two to `most` swaras in succession."""
    for size in range(2, most + 1):
        for place in range(len(line) - size + 1):
            yield line[place : place + size]


def _grounded(steps: Steps) -> Steps:
    """The same, its lowest swara between Sa and Ni of the middle saptak."""
    lift = 12 * (min(steps) // 12)
    return tuple(step - lift for step in steps)


@cache
def letter_weights(raga: Raga) -> Mapping[int, float]:
    """How heavy each swara is in the raga, by its semitone."""
    weak = {*raga.omitted_up, *raga.omitted_down}
    weights = {letter: WEAK if letter in weak else PLAIN for letter in raga.own}
    weights.update(dict.fromkeys(raga.occasional.value, OCCASIONAL))
    weights.update(dict.fromkeys(raga.nyas.value, NYAS))
    vadi, samvadi = raga.vadi.value
    weights.update({samvadi: SAMVADI, vadi: VADI})
    return MappingProxyType(
        {semitone: weights.get(letter, WEAK) for semitone, letter in enumerate(SWARAS)}
    )


@cache
def steps_to_end(raga: Raga, away_from: frozenset[str], ends: frozenset[int]) -> Mapping[int, int]:
    """How many more swaras the raga needs at least from each swara to one of the ends."""
    far = dict.fromkeys(ends & semitones_of(raga.allowed), 0)
    queue = deque(far)
    while queue:
        end = queue.popleft()
        for piece in stock_of(raga, away_from).before.get(end, ()):
            if len(piece.steps) == 2 and (start := piece.steps[0] % 12) not in far:
                far[start] = far[end] + 1
                queue.append(start)
    return MappingProxyType(far)
