"""What is heard of a matra, whatever its bols are called.

Strokes that only a trained ear tells apart are one here: the closed ones of the dayan, and the flat
ones of the bayan (common practice: handbooks spell them now so, now so).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import product

from audio.theka import BAR, REST, read_theka
from audio.voices.tabla import SOUNDS, sound_of

Sound = tuple[tuple[Fraction, str, str], ...]
"""For each stroke when it comes in its matra, and what the dayan and the bayan do; () for a matra
in which nothing is struck."""

_CLOSED = ("ti", "ra", "tta")
_FLAT = ("ke", "kat")
_PRINTED = {"ta": ("tta",), "ti": ("tin",), "dhi": ("dhe",)}
"""What else a bol stands for in some thekas (common practice: dhamar is mostly printed ka dhi ta
dhi ta, with closed strokes; and the ti of some is tin)."""


@lru_cache(maxsize=1024)
def sound(word: str) -> Sound:
    """What is heard of one matra. Raises ThekaError for a word that is not made of bols."""
    if set(word) == {REST}:
        return ()
    (parts,) = read_theka(word).matras
    return tuple(
        (Fraction(at, len(parts)), *drums_heard(part))
        for at, part in enumerate(parts)
        if part != REST
    )


@lru_cache(maxsize=1024)
def printed(word: str) -> frozenset[Sound]:
    """All that a word may stand for in print: its sound, and that of its bols where they are used
    otherwise."""
    if set(word) == {REST}:
        return frozenset(((),))
    (parts,) = read_theka(word).matras
    ways = product(*((part, *_PRINTED.get(part, ())) for part in parts))
    return frozenset(
        tuple(
            (Fraction(at, len(way)), *drums_heard(part))
            for at, part in enumerate(way)
            if part != REST
        )
        for way in ways
    )


def may_be_one(some: Iterable[str], others: Iterable[str]) -> bool:
    """Whether one of these words and one of the others may stand for the same in print."""
    return any(printed(one) & printed(other) for one, other in product(some, others))


def sounds(words: Iterable[str]) -> tuple[Sound, ...]:
    """Of each word its sound."""
    return tuple(map(sound, words))


def drums_heard(bol: str) -> tuple[str, str]:
    """What is heard of the dayan and of the bayan, "" for a drum that is not struck."""
    dayan, bayan = SOUNDS[sound_of(bol)]
    return "ti" if dayan in _CLOSED else dayan, "ke" if bayan in _FLAT else bayan


def words_of(bols: str) -> tuple[str, ...]:
    """The words of a theka, one to a matra."""
    return tuple(bols.replace(BAR, " ").split())


def vibhags_of(bols: str) -> tuple[tuple[str, ...], ...]:
    """The same by vibhags."""
    return tuple(tuple(part.split()) for part in bols.strip(f" {BAR}").split(BAR))


def spellings(bols: str) -> dict[Sound, tuple[str, ...]]:
    """Each sound of a theka with the words that stand for it, both in the order of the cycle."""
    found: dict[Sound, list[str]] = {}
    for word in words_of(bols):
        found.setdefault(sound(word), []).append(word)
    return {each: tuple(dict.fromkeys(words)) for each, words in found.items()}


def are_near(one: Sound, other: Sound) -> bool:
    """Whether they have their strokes at the same times and differ in one hand of one stroke, as
    dha and dhin do, or dhin and tin."""
    if [at for at, *_ in one] != [at for at, *_ in other]:
        return False
    hands = [
        mine != others
        for left, right in zip(one, other, strict=True)
        for mine, others in zip(left[1:], right[1:], strict=True)
    ]
    return sum(hands) == 1


def near_words(to: Iterable[Sound], among: Sequence[str]) -> tuple[str, ...]:
    """Words of which the sound is near to one of these and is none of them; one for each sound."""
    here = set(to)
    found: dict[Sound, str] = {}
    for word in among:
        heard = sound(word)
        if heard not in here and any(are_near(heard, each) for each in here):
            found.setdefault(heard, word)
    return tuple(found.values())
