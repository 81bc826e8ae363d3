"""What the left hand does on one stroke, as a pitch path.

`assets/ornaments.toml` says what each ornament is and within which ranges a hand plays it;
`Hand` is one way of playing within these; `path_of` makes the path. Nothing here starts a new
stroke: whatever the hand does, the string vibrates on without a break.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from functools import cache
from itertools import pairwise
from pathlib import Path
from types import MappingProxyType
from typing import Any

from audio.errors import OrnamentError
from audio.score import Breakpoint

FILE = Path(__file__).parent.parent / "assets" / "ornaments.toml"

MEEND_UP, MEEND_DOWN = "/", "\\"
GHASEET_UP, GHASEET_DOWN = "//", "\\\\"
SPARSH, KRINTAN = "<", ">"
KAN = "^"
"""From the swara that is touched to the one that is meant; never written, but meant by ( )."""
UPWARD = frozenset((MEEND_UP, GHASEET_UP, SPARSH))
DOWNWARD = frozenset((MEEND_DOWN, GHASEET_DOWN, KRINTAN))
JOINS = UPWARD | DOWNWARD
"""How a swara is reached from the one before it without a stroke of its own."""
MEENDS = frozenset((MEEND_UP, MEEND_DOWN))
GHASEETS = frozenset((GHASEET_UP, GHASEET_DOWN))
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
class Parameter:
    """What can be played harder or softer: its usual value and its bounds, in `unit`."""

    unit: str
    usual: float
    least: float
    most: float
    source: str


@dataclass(frozen=True, slots=True)
class Ornament:
    """What the hand does, in plain words, and in how many ways it may."""

    name: str
    about: str
    source: str
    parameters: Mapping[str, Parameter]


def load_ornaments(path: Path = FILE) -> Mapping[str, Ornament]:
    """Read a file of ornaments. Raises OrnamentError with file, ornament, field and remedy."""
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise OrnamentError(f"{path}: {error}; it should be a TOML file in UTF-8") from error
    return MappingProxyType({name: _ornament(path, name, table) for name, table in data.items()})


def _ornament(path: Path, name: str, table: Any) -> Ornament:
    if not isinstance(table, dict):
        raise OrnamentError(f"{path}: {name} should be a table such as [{name}]")
    words = {}
    for field in ("about", "source"):
        if not isinstance(table.get(field), str) or not table[field].strip():
            raise OrnamentError(f"{path}: [{name}] needs {field}, a text in quotes")
        words[field] = table[field]
    rest = {key: value for key, value in table.items() if key not in words}
    return Ornament(
        name,
        words["about"],
        words["source"],
        MappingProxyType({key: _parameter(path, f"{name}.{key}", rest[key]) for key in rest}),
    )


def _parameter(path: Path, where: str, table: Any) -> Parameter:
    try:
        parameter = Parameter(**table)
        numbers = [parameter.least, parameter.usual, parameter.most]
        if all(isinstance(number, int | float) for number in numbers) and numbers == sorted(
            numbers
        ):
            return parameter
    except TypeError:
        pass
    raise OrnamentError(
        f"{path}: [{where}] needs unit, usual, least, most and source, "
        f"with least <= usual <= most; given {table!r}"
    )


@cache
def ornaments() -> Mapping[str, Ornament]:
    """The ornaments by name, as shipped."""
    return load_ornaments()


def _of(ornament: str, parameter: str) -> Parameter:
    return ornaments()[ornament].parameters[parameter]


_FIELDS = {
    "meend_s": ("meend", "glide"),
    "andolan_hz": ("andolan", "rate"),
    "andolan_cents": ("andolan", "depth"),
    "gamak_hz": ("gamak", "rate"),
    "gamak_cents": ("gamak", "depth"),
    "kan_s": ("kan", "length"),
    "sparsh_s": ("sparsh", "length"),
    "krintan_s": ("krintan", "length"),
    "zamzama_hz": ("zamzama", "rate"),
    "murki_s": ("murki", "length"),
    "fret_s": ("ghaseet", "fret"),
}


@dataclass(frozen=True, slots=True)
class Hand:
    """One way of playing the ornaments; what is not given is as usual.

    Raises OrnamentError for a value out of the range that the data gives.
    """

    meend_s: float = math.nan
    andolan_hz: float = math.nan
    andolan_cents: float = math.nan
    gamak_hz: float = math.nan
    gamak_cents: float = math.nan
    kan_s: float = math.nan
    sparsh_s: float = math.nan
    krintan_s: float = math.nan
    zamzama_hz: float = math.nan
    murki_s: float = math.nan
    fret_s: float = math.nan

    def __post_init__(self) -> None:
        for field in fields(self):
            parameter = _of(*_FIELDS[field.name])
            value = getattr(self, field.name)
            if math.isnan(value):
                object.__setattr__(self, field.name, float(parameter.usual))
            elif not parameter.least <= value <= parameter.most:
                raise OrnamentError(
                    f"{field.name} is {value!r}; it lies from {parameter.least} to "
                    f"{parameter.most} {parameter.unit}"
                )


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
            points += _change(joins[index], (leave_s, at), (end_s, arrive), frets)
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
    turn = 2.0 * math.pi * rate_hz * since_s
    if pitch.sway == "andolan":
        return pitch.cents + 0.5 * hand.andolan_cents * math.sin(turn)
    return pitch.cents - 0.5 * hand.gamak_cents * (1.0 + math.cos(turn))


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
    join: str, leave: Breakpoint, arrive: Breakpoint, frets: Sequence[float]
) -> list[Breakpoint]:
    (leave_s, before), (arrive_s, after) = leave, arrive
    if join in GHASEETS:
        return _over_frets(leave, arrive, frets)
    pieces = min(_PER_GLIDE, max(2, round((arrive_s - leave_s) / _SHORTEST_PIECE_S)))
    shares = [piece / pieces for piece in range(pieces + 1)]
    return [
        (
            leave_s + (arrive_s - leave_s) * share,
            before + (after - before) * 0.5 * (1.0 - math.cos(math.pi * share)),
        )
        for share in shares
    ]


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
