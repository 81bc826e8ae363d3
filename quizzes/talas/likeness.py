"""Whether one theka could be taken for another: what is heard of both is the same.

What is heard are strokes, whatever they are called, and how their distances compare; not the tempo,
since a question's is its own. Strokes that only a trained ear tells apart count as one: the closed
ones of the dayan, and the flat ones of the bayan. All else is exact.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from itertools import product

from audio.theka import read_theka
from audio.voices.tabla import SOUNDS, sound_of
from quizzes.talas.tala import Tala, ThekaText

_ALIKE = {"ra": "ti", "tta": "ti", "kat": "ke"}
_HEARD = {sound: tuple(_ALIKE.get(each, each) for each in on) for sound, on in SOUNDS.items()}
_LETTERS = {
    sound: chr(ord("a") + [*_HEARD.values()].index(heard)) for sound, heard in _HEARD.items()
}


@lru_cache(maxsize=512)
def _strokes(bols: str) -> tuple[int, tuple[Fraction, ...], str]:
    """The matras of a theka, the place of each stroke, and what is heard there, a letter each."""
    theka = read_theka(bols)
    onsets = tuple(theka.onsets())
    letters = "".join(_LETTERS[sound_of(bol)] for _, bol in onsets)
    return len(theka.matras), tuple(at for at, _ in onsets), letters


def alike(
    one: str, start: int, matras: Fraction | int, other: str
) -> Iterator[tuple[Fraction, Fraction]]:
    """Where in `other` could begin what is heard of `one` from its stroke `start` on, counted from
    0, for so many matras and the stroke at their end: the place, and how many matras of `other` go
    to one of `one`. Both are bols as `read_theka` reads them."""
    if not _begins_alike(one, start, other):
        return
    times, heard = _run(one, start, matras)
    letters = _strokes(other)[2]
    round_and_round = letters * (len(heard) // len(letters) + 2)
    for begin in range(len(letters)):
        if round_and_round.startswith(heard, begin):
            place, scale = _in_step(times, other, begin)
            if scale:
                yield place, scale


def _begins_alike(one: str, start: int, other: str) -> bool:
    """Whether the first few strokes of a run are found anywhere in `other`: most end here."""
    return (_strokes(one)[2] * _FEW)[start : start + _FEW] in _strokes(other)[2] * (_FEW + 1)


_FEW = 6


@lru_cache(maxsize=4096)
def _run(bols: str, start: int, matras: Fraction | int) -> tuple[tuple[Fraction, ...], str]:
    """When strokes come after the first, in matras, and their letters."""
    cycle, places, letters = _strokes(bols)
    times: list[Fraction] = []
    heard, since, index = "", Fraction(0), start
    while since <= matras:
        times.append(since)
        heard += letters[index % len(places)]
        index += 1
        rounds, at = divmod(index, len(places))
        since = rounds * cycle + places[at] - places[start]
    return tuple(times), heard


def _in_step(times: tuple[Fraction, ...], other: str, begin: int) -> tuple[Fraction, Fraction]:
    """The place of a stroke of `other`, and the scale at which it goes on in step; 0 for none."""
    cycle, places, _ = _strokes(other)
    scale = Fraction(0)
    for step, since in enumerate(times[1:], 1):
        rounds, at = divmod(begin + step, len(places))
        others = rounds * cycle + places[at] - places[begin]
        scale = scale or others / since
        if others != scale * since:
            return places[begin], Fraction(0)
    return places[begin], scale


@lru_cache(maxsize=4096)
def may_be_taken(one: str, other: str, *, anywhere: bool) -> bool:
    """Whether, for as long as the longer cycle lasts and its next stroke, the one sounds like the
    other: both from their first stroke on, or each from anywhere."""
    lasts = max(_strokes(one)[0], _strokes(other)[0])
    starts = range(len(_strokes(one)[1])) if anywhere else range(1)
    first = _strokes(other)[1][0]
    found = (place for start in starts for place, _ in alike(one, start, lasts, other))
    return any(anywhere or place == first for place in found)


@lru_cache(maxsize=2048)
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


def sure_starts(tala: Tala, theka: ThekaText, matras: Fraction | int) -> tuple[int, ...]:
    """The places, whole matras, from which a theka can begin so that who hears `matras` of it can
    know where sam is: something is struck there, and no line known of the tala sounds the same with
    its sam elsewhere."""
    cycle, places, _ = _strokes(theka.bols)
    return tuple(
        int(place)
        for start, place in enumerate(places)
        if place.denominator == 1
        and all(
            _sams(line, begun, scale, cycle) == {-place % cycle}
            for line in tala.written()
            for begun, scale in alike(theka.bols, start, matras, line)
        )
    )


def _sams(line: str, begun: Fraction, scale: Fraction, cycle: int) -> set[Fraction]:
    """How many matras after the beginning sam comes, within a cycle of what is heard."""
    length = _strokes(line)[0]
    first, found = -begun % length / scale, set()
    while first < cycle:
        found.add(first)
        first += length / scale
    return found
