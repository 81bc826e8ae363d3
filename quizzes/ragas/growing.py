"""A fresh phrase of a raga, grown from the phrases that it is known by.

A phrase begins as one of the raga's own and grows at both ends by pieces of its other phrases and
of its scales that fit on: a piece joins where it begins with the swara on which the phrase ends (or
ends with the one on which it begins), and only where the raga admits all that then stands there. It
ends on a rest of the raga. So every step has been taken in the raga before; nothing walks at random
over a scale.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from heapq import heapify, heappop, heappush

from audio.tuning import SWARAS, Swara
from quizzes.fresh import Fresh
from quizzes.ragas.movement import admits_steps
from quizzes.ragas.pieces import (
    HIGHEST_STEPS,
    LOWEST_STEPS,
    PIECE,
    Piece,
    Steps,
    Stock,
    in_reach,
    semitones_of,
    shape_of,
    steps_of,
    steps_to_end,
    stock_of,
    swaras_at,
)
from quizzes.ragas.pieces import within_reach as within_reach
from quizzes.ragas.raga import Raga

Swaras = tuple[Swara, ...]

SAPTAK_MIDDLES = {"mandra": -4, "madhya": 5, "tar": 12}
HIGHEST_BELOW_TAR = 16
SAPTAK_REACHES = {
    "mandra": (LOWEST_STEPS, 5),
    "madhya": (LOWEST_STEPS, HIGHEST_BELOW_TAR),
    "tar": (5, HIGHEST_STEPS),
}
"""From and to where a phrase grows, most often: in mandra up to Ma of the middle saptak, in madhya
to tar Ga, in tar around tar Sa, from the Ma below it. What it holds may lie beyond."""
FEWEST, MOST = 4, 11
"""How many swaras a phrase has unless asked otherwise."""
WIDEST = 14
"""Semitones that a phrase spans, unless the one that it holds is wider."""
A_STEP = 2
"""Semitones; what is wider is a leap."""
OFTEN_LONG = 0.6
"""Below 1: nearer to the most that was asked for than to the fewest, since short ones are few."""
TRIES, TRIES_WITHIN = 60, 40
"""How often a phrase is tried at most, and after how many tries it may leave its saptak's reach."""
LEAVES = 0.2
"""How often it may so at once."""
KEPT = 4096
"""How many wishes are remembered with what was reckoned for them."""
DRAWN = 4
"""How many pieces are tried at one joint."""
# Choices of ours: how likely a piece is made by where it joins.
KNOWN_JOINT = 2.5
"""Where the joint is a turn that stands in its phrases or scales."""
KNOWN_START = 1.5
"""Where the phrase then begins as one of its own does."""
HALVED_STEPS = 6.0
"""A piece is half as likely where it draws the phrase so far away from its saptak."""
SEED_HALVED_STEPS = 2.0
BY_TURN = {"grave": 1.4, "medium": 1.0, "fast": 0.5, "light": 1.2}
"""By gait, how much likelier a phrase is for every time that it turns: grave ones move to and fro
about their rests, fast ones run."""


def grow(
    fresh: Fresh,
    raga: Raga,
    *,
    fewest: int = FEWEST,
    most: int = MOST,
    saptak: str | None = None,
    ends_on: frozenset[str] | None = None,
    gait: str | None = None,
    holds: Sequence[Swara] | None = None,
    touching: frozenset[str] = frozenset(),
    away_from: frozenset[str] = frozenset(),
) -> Swaras:
    """A phrase that the raga admits, which holds one of its own phrases and ends on a rest.

    `saptak` is where it mostly lies and `gait` how it moves, one of the raga's own unless given;
    `ends_on` are the letters on which it may end, all rests of the raga unless given. `holds` is
    the phrase of the raga that it holds, in whichever saptak. The letters in `touching` are heard,
    those in `away_from` are not. Where all that it can hold is longer than `most`, or no rest is
    near enough, so is what grows from it; where what is wished leads to no rest but Sa, it ends
    there. Raises ValueError where no phrase answers the wishes.
    """
    saptak = saptak or fresh.one_of(raga.register.value)
    gait = gait or fresh.one_of(raga.gait.value)
    held = None if holds is None else tuple(holds)
    nyas, touched = frozenset(raga.nyas.value), semitones_of(touching)
    for ends in (nyas, nyas | {"S"}) if ends_on is None else (ends_on,):
        needs = _Needs(raga, semitones_of(ends - away_from), touched, away_from, held)
        if nearest := _nearest(needs):
            wish = _Wish(needs, fewest, most, saptak, gait)
            return swaras_at(_tried(fresh, wish) or nearest)
    raise ValueError(
        f"{raga.id}: no phrase of it ends on {_named(ends)}"
        + (f" with {_named(touching)}" if touching else "")
        + (f" without {_named(away_from)}" if away_from else "")
    )


def _named(letters: Iterable[str]) -> str:
    return " or ".join(sorted(letters, key=SWARAS.index)) or "nothing"


def _tried(fresh: Fresh, wish: _Wish) -> Steps:
    """The first try of the wished length, else the one that comes nearest to it, if any. From some
    ragas' phrases no rest is near enough within their saptak: the last tries may leave it."""
    seeds, weights = _seeds(wish.needs, wish.fewest, wish.most, wish.saptak)
    best: Steps = ()
    for place in range(TRIES):
        leaves = place >= TRIES_WITHIN or fresh.between(0, 1) < LEAVES
        (seed,) = fresh.weighted(seeds, weights, 1)
        share = fresh.between(0, 1)
        grown = seed.alone if seed.is_enough else _grown(fresh, wish, seed, share, leaves)
        if grown and wish.fewest <= len(grown) <= wish.most:
            return grown
        if grown and (not best or abs(len(grown) - wish.most) < abs(len(best) - wish.most)):
            best = grown
    return best


@dataclass(frozen=True, slots=True)
class _Needs:
    """What a phrase has to be; swaras as semitones above any Sa."""

    raga: Raga
    rests: frozenset[int]
    touching: frozenset[int]
    away_from: frozenset[str]
    holds: Swaras | None

    def ends(self, steps: Steps) -> bool:
        """Whether it is on a rest, and leapt up to it only as the raga does."""
        return steps[-1] % 12 in self.rests and (
            steps[-1] - steps[-2] <= A_STEP or shape_of(steps[-3:]) in self.stock.shapes
        )

    def answers(self, steps: Steps) -> bool:
        """Whether it may stand as it is, however long it has become."""
        return self.ends(steps) and self.touched(steps) == self.touching

    def touched(self, steps: Steps) -> frozenset[int]:
        return self.touching & {step % 12 for step in steps}

    @property
    def stock(self) -> Stock:
        return stock_of(self.raga, self.away_from)

    @property
    def to_end(self) -> Mapping[int, int]:
        return steps_to_end(self.raga, self.away_from, self.rests)


@dataclass(frozen=True, slots=True)
class _Wish:
    """What a phrase needs, and what it is to be like if possible."""

    needs: _Needs
    fewest: int
    most: int
    saptak: str
    gait: str

    @property
    def middle(self) -> float:
        return SAPTAK_MIDDLES[self.saptak]

    def reach(self, leaves: bool) -> tuple[int, int]:
        """From and to where it may grow, out of its saptak or not."""
        low, high = SAPTAK_REACHES[self.saptak]
        return (LOWEST_STEPS, max(high, HIGHEST_BELOW_TAR)) if leaves else (low, high)


@dataclass(frozen=True, slots=True)
class _Seed:
    """A phrase of the raga from which one may grow, and what is asked of it at every try."""

    steps: Steps
    widest: int
    least: int
    """How many swaras what grows from it needs to come to a rest."""
    is_enough: bool
    """Whether it is at rest and grows no longer."""
    alone: Steps
    """What it is then; empty where it does not answer the wishes."""

    @classmethod
    def of(cls, needs: _Needs, fewest: int, most: int, steps: Steps) -> _Seed:
        least = max(fewest, len(steps) + needs.to_end[steps[-1] % 12])
        return cls(
            steps,
            max(WIDEST, max(steps) - min(steps)),
            least,
            len(steps) >= max(least, most) and needs.ends(steps),
            steps if needs.answers(steps) else (),
        )


Seeds = tuple[Sequence[_Seed], Sequence[float]]
"""Phrases of the raga from which one may grow, and how likely each is."""


def _grown(fresh: Fresh, wish: _Wish, seed: _Seed, share: float, leaves: bool) -> Steps:
    """One try; empty where it found no end."""
    phrase, needs = seed.steps, wish.needs
    room = max(wish.most, seed.least) + 1 - seed.least
    wished = seed.least + int(room * share**OFTEN_LONG)
    joints = _Joints(wish, wish.reach(leaves), seed.widest)
    while len(phrase) < wished or not needs.ends(phrase):
        if len(phrase) > wish.most + PIECE:
            return ()
        before = fresh.between(0, 1) < (0.5 if needs.ends(phrase) else 0.25)
        grown = _longer(fresh, joints, phrase, before) or _longer(fresh, joints, phrase, not before)
        if not grown:
            break
        phrase = grown
    return phrase if needs.answers(phrase) else ()


@dataclass(frozen=True, slots=True)
class _Joints:
    """Where and how wide a phrase may grow at one try."""

    wish: _Wish
    reach: tuple[int, int]
    widest: int


def _longer(fresh: Fresh, joints: _Joints, phrase: Steps, before: bool) -> Steps:
    """The phrase with a piece at one end; empty where none of those drawn fits."""
    wish = joints.wish
    stock, raga = wish.needs.stock, wish.needs.raga
    joined, weights = [], []
    for piece, whole in _joined(joints, phrase, before):
        at = len(whole) - len(phrase) if before else len(phrase) - 1
        weight = piece.weight * _by_gait(whole, wish.gait)
        weight *= _nearness(whole, wish.middle, HALVED_STEPS)
        weight *= KNOWN_JOINT if shape_of(whole[at - 1 : at + 2]) in stock.shapes else 1.0
        weight *= KNOWN_START if before and whole[0] % 12 in stock.starts else 1.0
        joined.append(whole)
        weights.append(weight)
    for whole in fresh.weighted(joined, weights, DRAWN):
        if not _goes_in_circles(stock, whole) and admits_steps(raga, whole):
            return whole
    return ()


def _joined(joints: _Joints, phrase: Steps, before: bool) -> Iterator[tuple[Piece, Steps]]:
    """Every piece for which there is room at one end of the phrase, and the two together."""
    needs, widest, (lowest, highest) = joints.wish.needs, joints.widest, joints.reach
    stock, to_end = needs.stock, needs.to_end
    room = max(joints.wish.most - len(phrase), to_end.get(phrase[-1] % 12, 0))
    joint = phrase[0] if before else phrase[-1]
    bottom, top = min(phrase), max(phrase)
    low = max(min(lowest, bottom), top - widest)
    high = min(max(highest, top), bottom + widest)
    for piece in (stock.before if before else stock.onward).get(joint % 12, ()):
        last = phrase[-1] if before else piece.steps[-1]
        if len(piece.steps) - 1 + to_end.get(last % 12, room + 1) > room:
            continue
        lift = joint - piece.steps[-1 if before else 0]
        least, most = piece.lowest + lift, piece.highest + lift
        if low <= least and most <= high and most - least <= widest:
            moved = [step + lift for step in piece.steps]
            yield piece, (*moved[:-1], *phrase) if before else (*phrase, *moved[1:])


def _by_gait(steps: Steps, gait: str) -> float:
    if BY_TURN[gait] == 1.0:
        return 1.0
    turns = sum((a < b) != (b < c) for a, b, c in zip(steps, steps[1:], steps[2:], strict=False))
    return float(BY_TURN[gait] ** turns)


def _nearness(steps: Steps, middle: float, halved: float) -> float:
    return float(2.0 ** (-abs(sum(steps) / len(steps) - middle) / halved))


def _goes_in_circles(stock: Stock, steps: Steps) -> bool:
    """Whether a swara stands three times running, three in succession come again, or two do at once
    where they do not in the raga's own phrases."""
    threes = list(zip(steps, steps[1:], steps[2:], strict=False))
    if len(set(threes)) < len(threes) or any(a == b == c for a, b, c in threes):
        return True
    return any(
        steps[at] == steps[at + 2]
        and steps[at + 1] == steps[at + 3]
        and shape_of(steps[at : at + 4]) not in stock.shapes
        for at in range(len(steps) - 3)
    )


@lru_cache(KEPT)
def _seeds(needs: _Needs, fewest: int, most: int, saptak: str) -> Seeds:
    """Phrases to grow from, the likelier the nearer to the middle of the saptak and the less beyond
    its reach; those from which the wishes can be met, if there are any."""
    found = _own(needs)
    middle, (low, high) = SAPTAK_MIDDLES[saptak], SAPTAK_REACHES[saptak]
    for fits in (
        lambda steps: max(steps) <= max(high, HIGHEST_BELOW_TAR),
        lambda steps: len(steps) + needs.to_end[steps[-1] % 12] <= most,
        lambda steps: needs.touched(steps) == needs.touching,
    ):
        found = tuple(filter(fits, found)) or found

    def likely(steps: Steps) -> float:
        beyond = max(0, low - min(steps)) + max(0, max(steps) - high)
        nearness = _nearness(steps, middle, SEED_HALVED_STEPS)
        return nearness * float(2.0 ** (-beyond / SEED_HALVED_STEPS))

    seeds = tuple(_Seed.of(needs, fewest, most, steps) for steps in found)
    return seeds, tuple(map(likely, found))


@lru_cache(KEPT)
def _own(needs: _Needs) -> tuple[Steps, ...]:
    """The raga's own phrases in every saptak within reach, that may lead to a rest."""
    held = (
        [phrase.swaras for phrase in needs.raga.phrases] if needs.holds is None else [needs.holds]
    )
    return tuple(
        steps
        for swaras in held
        if not needs.away_from & {swara.letter for swara in swaras}
        for steps in in_reach(steps_of(swaras))
        if steps[-1] % 12 in needs.to_end and admits_steps(needs.raga, steps)
    )


@lru_cache(KEPT)
def _nearest(needs: _Needs) -> Steps:
    """A phrase of the raga with the fewest swaras around it that meets the needs; empty where none
    does."""
    queue = [(len(steps), place, steps) for place, steps in enumerate(_own(needs))]
    heapify(queue)
    seen = set[tuple[Steps, Steps, frozenset[int]]]()
    while queue:
        _, _, steps = heappop(queue)
        if needs.answers(steps):
            return steps
        for longer in _extended(needs, steps):
            known = longer[:3], longer[-3:], needs.touched(longer)
            if known in seen or min(longer) < LOWEST_STEPS or max(longer) > HIGHEST_STEPS:
                continue
            if admits_steps(needs.raga, longer):
                seen.add(known)
                heappush(queue, (len(longer), len(seen), longer))
    return ()


def _extended(needs: _Needs, steps: Steps) -> Iterator[Steps]:
    """The phrase with each piece that joins at its end, or before it while a swara is missing. Some
    turns stand only whole, so one swara at a time would not do."""
    for piece in needs.stock.onward.get(steps[-1] % 12, ()):
        yield (*steps, *(step + steps[-1] - piece.steps[0] for step in piece.steps[1:]))
    if needs.touched(steps) == needs.touching:
        return
    for piece in needs.stock.before.get(steps[0] % 12, ()):
        yield (*(step + steps[0] - piece.steps[-1] for step in piece.steps[:-1]), *steps)
