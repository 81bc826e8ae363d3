"""What the left hand does on one stroke, as a pitch path.

Nothing here starts a new stroke: whatever the hand does, the string vibrates on without a break.
How far, how fast and in which shape is up to the `Hand` (`audio.ornaments`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from audio.ornaments import GHASEETS, KAN, MEENDS, SPARSH, Hand
from audio.score import Breakpoint

SWAYS = ("", "andolan", "gamak")

_PER_TURN = 24
"""Straight pieces to one swing: at 200 cents they stay within a cent of the curve."""
_PER_GLIDE = 24
_SHORTEST_PIECE_S = 0.002
_LONGEST_SHARE = 0.8
"""A glide takes at most so much of the swara that it leaves."""
_KAN_GLIDES = 0.4
"""Share of a kan in which the pitch moves on: softer than hammering, too short for a meend."""


@dataclass(frozen=True, slots=True)
class Held:
    """A pitch that is kept for `length_s`, swayed or still."""

    cents: float
    length_s: float
    sway: str = ""

    def __post_init__(self) -> None:
        if self.sway not in SWAYS:
            raise ValueError(f"sway is one of {SWAYS}: given {self.sway!r}")
        if not self.length_s > 0.0:
            raise ValueError(f"length_s is above 0: given {self.length_s!r}")


def path_of(
    held: Sequence[Held], joins: Sequence[str], *, hand: Hand, frets: Sequence[float] = ()
) -> tuple[Breakpoint, ...]:
    """The path of one stroke through the pitches `held`, each reached by its join.

    `joins` has one entry less than `held`. Every pitch is there at its time: a change is over when
    the next pitch begins. `frets` are the cents of all frets, rising, over which a ghaseet passes.
    """
    if len(joins) != len(held) - 1:
        raise ValueError(f"{len(held)} pitches need {len(held) - 1} joins: given {joins!r}")
    points: list[Breakpoint] = []
    start_s = 0.0
    for index, pitch in enumerate(held):
        end_s = start_s + pitch.length_s
        points += _sway(pitch, start_s, end_s, hand)
        if index < len(joins):
            target = held[index + 1]
            arrive = _start_cents(target, hand)
            leave_s = end_s - _change_s(joins[index], pitch, arrive, hand, frets)
            at = _cents_at(points, leave_s)
            points = [point for point in points if point[0] < leave_s]
            points += _change(joins[index], (leave_s, at), (end_s, arrive), hand, frets)
        start_s = end_s
    return _thinned(points)


def _sway(pitch: Held, start_s: float, end_s: float, hand: Hand) -> list[Breakpoint]:
    """A swing starts and ends wherever it is; a still pitch is its two ends."""
    if not pitch.sway:
        return [(start_s, pitch.cents), (end_s, pitch.cents)]
    rate_hz = hand.andolan_hz if pitch.sway == "andolan" else hand.gamak_hz
    count = max(2, math.ceil(pitch.length_s * rate_hz * _PER_TURN))
    times = [start_s + pitch.length_s * step / count for step in range(count + 1)]
    return [(time, _swung(pitch, time - start_s, rate_hz, hand)) for time in times]


def _swung(pitch: Held, since_s: float, rate_hz: float, hand: Hand) -> float:
    turn = rate_hz * since_s
    if pitch.sway == "andolan":
        swing = math.sin(2.0 * math.pi * turn)
        swing *= 1.0 + hand.andolan_dwell * (1.0 - swing**2)  # flatter at its ends, as deep
        return pitch.cents + 0.5 * hand.andolan_cents * swing
    turn %= 1.0
    rise = hand.gamak_rise
    half = 0.5 * turn / rise if turn < rise else 0.5 + 0.5 * (turn - rise) / (1.0 - rise)
    return pitch.cents - 0.5 * hand.gamak_cents * (1.0 + math.cos(2.0 * math.pi * half))


def _start_cents(pitch: Held, hand: Hand) -> float:
    return pitch.cents - hand.gamak_cents if pitch.sway == "gamak" else pitch.cents


def _change_s(
    join: str, pitch: Held, arrive_cents: float, hand: Hand, frets: Sequence[float]
) -> float:
    """How long the hand takes from one pitch to the next."""
    if join in MEENDS:
        wished = hand.meend_s
    elif join in GHASEETS:
        wished = hand.fret_s * (1 + len(_between(pitch.cents, arrive_cents, frets)))
    elif join == KAN:
        wished = _KAN_GLIDES * hand.kan_s
    else:
        wished = hand.sparsh_s if join == SPARSH else hand.krintan_s
    return min(wished, _LONGEST_SHARE * pitch.length_s)


def _between(first: float, last: float, frets: Sequence[float]) -> list[float]:
    """The frets that lie between two pitches, in the order in which a finger passes them."""
    low, high = sorted((first, last))
    passed = [fret for fret in frets if low + 1.0 < fret < high - 1.0]
    return passed if first < last else passed[::-1]


def _cents_at(points: Sequence[Breakpoint], at_s: float) -> float:
    for (from_s, before), (to_s, after) in pairwise(points):
        if from_s <= at_s <= to_s:
            return before + (after - before) * (at_s - from_s) / (to_s - from_s)
    return points[-1][1]


def _change(
    join: str, leave: Breakpoint, arrive: Breakpoint, hand: Hand, frets: Sequence[float]
) -> list[Breakpoint]:
    (leave_s, before), (arrive_s, after) = leave, arrive
    softness = hand.meend_softness if join in MEENDS else 1.0
    if join in GHASEETS:
        return _over_frets(leave, arrive, frets)
    pieces = min(_PER_GLIDE, max(2, round((arrive_s - leave_s) / _SHORTEST_PIECE_S)))
    shares = [piece / pieces for piece in range(pieces + 1)]
    return [
        (
            leave_s + (arrive_s - leave_s) * share,
            before + (after - before) * _gone(share, softness),
        )
        for share in shares
    ]


def _gone(share: float, softness: float) -> float:
    """How much of a glide is done after a share of its time: the softer, the slower at its ends."""
    soft = 0.5 * (1.0 - math.cos(math.pi * share))
    return share + softness * (soft - share)


_FRET_TAKES = 0.2
"""Share of the time on a fret in which the pitch changes to it."""


def _over_frets(leave: Breakpoint, arrive: Breakpoint, frets: Sequence[float]) -> list[Breakpoint]:
    """Steps: from each fret to the next in a short while, then a moment on it."""
    (leave_s, before), (arrive_s, after) = leave, arrive
    stops = [*_between(before, after, frets), after]
    each_s = (arrive_s - leave_s) / len(stops)
    points = [leave]
    for number, cents in enumerate(stops):
        begun_s = leave_s + number * each_s
        points.append((begun_s + _FRET_TAKES * each_s, cents))
        points.append((begun_s + each_s, cents))
    return points


def _thinned(points: Sequence[Breakpoint]) -> tuple[Breakpoint, ...]:
    """Without points at the same time, and without those on a level line."""
    rising: list[Breakpoint] = []
    for time, cents in points:
        if rising and time - rising[-1][0] < 1e-6:
            rising[-1] = (rising[-1][0], cents)
        else:
            rising.append((time, cents))
    kept = [
        point
        for before, point, after in zip(rising, rising[1:], rising[2:], strict=False)
        if not before[1] == point[1] == after[1]
    ]
    ends = rising[:1] + kept + (rising[-1:] if len(rising) > 1 else [])
    while len(ends) > 1 and ends[-1][1] == ends[-2][1]:
        ends.pop()
    return tuple((round(time, 6), cents) for time, cents in ends)
