"""A theka: the bols of a tala's cycle in writing, and as strokes at any tempo.

One word is one matra; `|` may stand between vibhags. A word of several bols divides its matra
evenly: `dhage` is dha and ge, half a matra each, `tirakita` four strokes. `-` is a part in which
nothing is struck: `-dha` comes half a matra late. Positions are exact: matras from the start of
the cycle, counted from 0.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from itertools import accumulate, pairwise
from math import ceil, floor, lcm

from audio.errors import ThekaError
from audio.score import TablaStroke
from audio.voices.tabla import BOLS

REST = "-"
BAR = "|"
PHRASES: dict[str, tuple[str, ...]] = {
    "tirakita": ("ti", "ra", "ki", "tta"),
    "tirakit": ("ti", "ra", "ki", "tta"),
    "tirikita": ("ti", "ra", "ki", "tta"),
    "tirkita": ("ti", "ra", "ki", "tta"),
    "tirkit": ("ti", "ra", "ki", "tta"),
    "tirekite": ("ti", "re", "ki", "tta"),
    "terekite": ("te", "re", "ki", "tta"),
    "terekete": ("te", "re", "ke", "tta"),
    "trkt": ("ti", "ra", "ki", "tta"),
    "traka": ("ti", "ra", "ka"),
    "trak": ("ti", "ra", "ka"),
    "tak": ("ta", "ka"),
    "nak": ("na", "ka"),
    "kita": ("ki", "tta"),
    "kit": ("ki", "tta"),
    "tita": ("ti", "tta"),
    "teta": ("te", "tta"),
    "dhitita": ("dhit", "ti", "tta"),
    "kra": ("ke", "ra"),
    "kdha": ("ke", "dha"),
}
"""Words whose bols are not the syllables that they seem to be made of (common practice): the last
ta of tirakita, kita and tita is the closed one. That the flams kra and kdha take two even parts is
an assumption."""
MOST_MATRAS = 128
SLOWEST, FASTEST = 10.0, 700.0
"""Matras a minute that can be asked for."""


@dataclass(frozen=True, slots=True)
class Theka:
    """For each matra its parts, bols or REST; and before which matras a bar stands, from 0."""

    matras: tuple[tuple[str, ...], ...]
    bars: tuple[int, ...] = ()

    @property
    def vibhags(self) -> tuple[int, ...]:
        """Lengths between the bars."""
        edges = (0, *self.bars, len(self.matras))
        return tuple(end - start for start, end in pairwise(edges))

    def onsets(self) -> Iterator[tuple[Fraction, str]]:
        """Where each bol of one cycle stands."""
        for matra, parts in enumerate(self.matras):
            for part, bol in enumerate(parts):
                if bol != REST:
                    yield matra + Fraction(part, len(parts)), bol


def read_theka(text: str) -> Theka:
    """Read a theka. Raises ThekaError with the bad word, its matra and the mend."""
    groups = [group.split() for group in text.strip().strip(BAR).split(BAR)]
    words = [word for group in groups for word in group]
    if not 1 <= len(words) <= MOST_MATRAS:
        raise ThekaError(
            f"a theka has 1 to {MOST_MATRAS} matras; this has {len(words)}; "
            f"write one word for each matra"
        )
    for number, group in enumerate(groups[:-1]):
        if not group or not groups[number + 1]:
            raise ThekaError(f"two bars stand together in {text!r}; remove one")
    matras = tuple(_parts(word, number) for number, word in enumerate(words, 1))
    if all(part == REST for parts in matras for part in parts):
        raise ThekaError(f"nothing is struck in {text!r}; write at least one bol")
    return Theka(matras, tuple(accumulate(len(group) for group in groups))[:-1])


def _parts(word: str, matra: int) -> tuple[str, ...]:
    parts = _spelt(word.lower())
    if parts is None:
        raise ThekaError(
            f"matra {matra}: {word!r} is not made of known bols; "
            f"write bols together, such as dhage, from {', '.join(BOLS)}, "
            f"or {REST} where nothing is struck",
            matra=matra,
        )
    return parts


@cache
def _spelt(word: str) -> tuple[str, ...] | None:
    """The parts of a word, the longest first part tried first; None where there are none."""
    if not word:
        return ()
    for length in range(min(len(word), _LONGEST), 0, -1):
        first = _TOKENS.get(word[:length])
        rest = _spelt(word[length:]) if first else None
        if first and rest is not None:
            return (*first, *rest)
    return None


_TOKENS = {**{bol: (bol,) for bol in BOLS}, **PHRASES, REST: (REST,)}
_LONGEST = max(map(len, _TOKENS))


def theka_strokes(
    theka: Theka,
    *,
    matras_per_min: Fraction | float,
    matras: Fraction | int,
    from_matra: Fraction | int = 0,
    onset_s: float = 0.0,
    level_db: float = 0.0,
    lands: bool = False,
) -> tuple[TablaStroke, ...]:
    """The strokes of so many `matras`, the cycle running round as often as it must.

    It begins at `from_matra` of the cycle, which sounds at `onset_s`; a stroke at the very end is
    played only where it `lands`. Each onset is rounded once, from exact fractions. Raises
    ValueError for a tempo outside `SLOWEST` to `FASTEST`, a start outside the cycle, or no matras.
    """
    cycle = len(theka.matras)
    if not SLOWEST <= matras_per_min <= FASTEST:
        raise ValueError(
            f"matras_per_min lies from {SLOWEST:g} to {FASTEST:g}: given {matras_per_min!r}"
        )
    if not 0 <= from_matra < cycle:
        raise ValueError(f"from_matra lies from 0 to below {cycle}: given {from_matra!r}")
    if matras <= 0:
        raise ValueError(f"matras is above 0: given {matras!r}")
    # Counted in ticks, of which every onset has a whole number: whole numbers are exact, too, and
    # take a fraction of the time of fractions.
    ticks, onsets = _in_ticks(theka)
    begin, end = Fraction(from_matra), Fraction(from_matra) + Fraction(matras)
    tick_s = 60 / (Fraction(matras_per_min) * ticks)
    first_s = Fraction(onset_s) - begin * ticks * tick_s
    whole = lcm(tick_s.denominator, first_s.denominator)
    each, first = int(tick_s * whole), int(first_s * whole)
    start = ceil(begin * ticks)
    before = floor(end * ticks) + 1 if lands else ceil(end * ticks)
    return tuple(
        TablaStroke((first + at * each) / whole, bol, level_db)
        for sam in range(0, before, cycle * ticks)
        for at, bol in ((sam + onset, bol) for onset, bol in onsets)
        if start <= at < before
    )


@lru_cache(maxsize=64)
def _in_ticks(theka: Theka) -> tuple[int, tuple[tuple[int, str], ...]]:
    """How many ticks a matra has, and at which ticks of the cycle its bols stand."""
    ticks = lcm(*map(len, theka.matras))
    return ticks, tuple((int(at * ticks), bol) for at, bol in theka.onsets())
