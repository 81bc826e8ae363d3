"""The ornaments of the left hand: what each is, and one way of playing them.

`assets/ornaments.toml` says what each ornament is and within which ranges a hand plays it; `Hand`
is one way of playing within these. `audio.bending` makes pitch paths of them.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from audio.errors import OrnamentError

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
    "meend_softness": ("meend", "softness"),
    "andolan_hz": ("andolan", "rate"),
    "andolan_cents": ("andolan", "depth"),
    "andolan_dwell": ("andolan", "dwell"),
    "gamak_hz": ("gamak", "rate"),
    "gamak_cents": ("gamak", "depth"),
    "gamak_rise": ("gamak", "rise"),
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
    meend_softness: float = math.nan
    andolan_hz: float = math.nan
    andolan_cents: float = math.nan
    andolan_dwell: float = math.nan
    gamak_hz: float = math.nan
    gamak_cents: float = math.nan
    gamak_rise: float = math.nan
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
