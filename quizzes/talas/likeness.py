"""Whether one theka could be taken for another: what is heard of both is the same.

What is heard are strokes, whatever they are called, and how their distances compare; not the tempo,
since a question's is its own. Strokes that only a trained ear tells apart count as one
(`quizzes.talas.sounds`). All else is exact.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import product
from math import lcm

from audio.theka import read_theka
from audio.voices.tabla import SOUNDS, sound_of
from quizzes.talas.sounds import drums_heard
from quizzes.talas.tala import Tala, ThekaText

_HEARD = {bol: drums_heard(bol) for bol in SOUNDS}
_LETTERS = {bol: chr(ord("a") + [*_HEARD.values()].index(heard)) for bol, heard in _HEARD.items()}


@dataclass(frozen=True, slots=True)
class _Strokes:
    """The strokes of a cycle: when each comes, in ticks of which `per_matra` go to a matra, and
    what is heard there, a letter each."""

    cycle: int
    per_matra: int
    at: tuple[int, ...]
    letters: str

    def since(self, first: int, later: int) -> int:
        """Ticks from one stroke to a later one, both counted on round the cycle."""
        rounds, index = divmod(later, len(self.at))
        return rounds * self.cycle + self.at[index] - self.at[first]

    def place(self, stroke: int) -> Fraction:
        return Fraction(self.at[stroke], self.per_matra)


@lru_cache(maxsize=512)
def _strokes(bols: str) -> _Strokes:
    theka = read_theka(bols)
    onsets = tuple(theka.onsets())
    per_matra = lcm(*(at.denominator for at, _ in onsets))
    letters = "".join(_LETTERS[sound_of(bol)] for _, bol in onsets)
    at = tuple(int(at * per_matra) for at, _ in onsets)
    return _Strokes(len(theka.matras) * per_matra, per_matra, at, letters)


def alike(
    one: str, start: int, matras: Fraction | int, other: str
) -> Iterator[tuple[Fraction, Fraction]]:
    """Where in `other` could begin what is heard of `one` from its stroke `start` on, counted from
    0, for so many matras and the stroke at their end: the place, and how many matras of `other` go
    to one of `one`. Both are bols as `read_theka` reads them."""
    mine, others = _strokes(one), _strokes(other)
    if not _begins_alike(mine, start, others):
        return
    times, heard = _run(one, start, matras)
    round_and_round = others.letters * (len(heard) // len(others.letters) + 2)
    for begin in range(len(others.letters)):
        if round_and_round.startswith(heard, begin):
            first = others.since(begin, begin + 1)
            if all(
                others.since(begin, begin + step) * times[1] == first * since
                for step, since in enumerate(times)
            ):
                scale = Fraction(first * mine.per_matra, times[1] * others.per_matra)
                yield others.place(begin), scale


def _begins_alike(mine: _Strokes, start: int, others: _Strokes) -> bool:
    """Whether the first few strokes of a run are found anywhere in `others`: most end here."""
    few = (mine.letters * _FEW)[start : start + _FEW]
    return few in others.letters * (_FEW + 1)


_FEW = 6


@lru_cache(maxsize=4096)
def _run(bols: str, start: int, matras: Fraction | int) -> tuple[tuple[int, ...], str]:
    """When strokes come after the first, in ticks, and their letters."""
    strokes = _strokes(bols)
    times: list[int] = []
    since = 0
    while since <= matras * strokes.per_matra:
        times.append(since)
        since = strokes.since(start, start + len(times))
    count = len(strokes.letters)
    heard = (strokes.letters * (len(times) // count + 2))[start : start + len(times)]
    return tuple(times), heard


@lru_cache(maxsize=4096)
def may_be_taken(one: str, other: str, *, anywhere: bool) -> bool:
    """Whether, for as long as the longer cycle lasts and its next stroke, the one sounds like the
    other: both from their first stroke on, or each from anywhere."""
    mine, others = _strokes(one), _strokes(other)
    lasts = max(strokes.cycle // strokes.per_matra for strokes in (mine, others))
    starts = range(len(mine.at) if anywhere else 1)
    first = others.place(0)
    found = (place for start in starts for place, _ in alike(one, start, lasts, other))
    return any(anywhere or place == first for place in found)


def may_stand_together(one: Tala, other: Tala, *, anywhere: bool) -> bool:
    """Whether no theka known of the one could be taken for one of the other, and no name is shared.

    Both may be heard from sam, or each from anywhere in its cycle."""
    if _names(one) & _names(other):
        return False
    return not any(
        may_be_taken(mine, others, anywhere=anywhere)
        or may_be_taken(others, mine, anywhere=anywhere)
        for mine, others in product(one.written(), other.written())
    )


def _names(tala: Tala) -> frozenset[str]:
    return frozenset(name.casefold() for name in (tala.name, *tala.also))


@lru_cache(maxsize=512)
def sure_starts(tala: Tala, theka: ThekaText, matras: Fraction | int) -> tuple[int, ...]:
    """The places, whole matras, from which a theka can begin so that who hears `matras` of it can
    know where sam is: something is struck there, and no line known of the tala sounds the same with
    its sam elsewhere."""
    strokes = _strokes(theka.bols)
    cycle = strokes.cycle // strokes.per_matra
    return tuple(
        at // strokes.per_matra
        for start, at in enumerate(strokes.at)
        if at % strokes.per_matra == 0
        and all(
            _sams(line, begun, scale, cycle) == {-strokes.place(start) % cycle}
            for line in tala.written()
            for begun, scale in alike(theka.bols, start, matras, line)
        )
    )


def _sams(line: str, begun: Fraction, scale: Fraction, cycle: int) -> set[Fraction]:
    """How many matras after the beginning sam comes, within a cycle of what is heard."""
    length = _strokes(line).cycle // _strokes(line).per_matra
    first, found = -begun % length / scale, set()
    while first < cycle:
        found.add(first)
        first += length / scale
    return found
