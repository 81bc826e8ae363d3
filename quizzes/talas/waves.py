"""Words on khali: where the bayan rests, and where the hand only waves."""

from __future__ import annotations

from audio.theka import REST
from audio.voices.tabla import SOUNDS, sound_of
from quizzes.names import counted
from quizzes.talas.tala import Tala, ThekaText
from quizzes.talas.wording import bols_of, on_matras
from words import say

RINGING = "ge"
"""The stroke on the bayan that sings on."""


def bare_matras(theka: ThekaText) -> frozenset[int]:
    """The matras in which the bayan is not struck open."""
    return frozenset(
        matra
        for matra, parts in enumerate(theka.theka.matras, 1)
        if all(part == REST or SOUNDS[sound_of(part)][1] != RINGING for part in parts)
    )


def waves_told(tala: Tala, theka: ThekaText) -> str:
    """Whether the bayan rests where this theka is waved, as a sentence that is true of each wave;
    of a single one with the matras on which it rests."""
    if len(tala.khali) == 1:
        return _wave_told(tala, theka, tala.khali[0])
    said: dict[tuple[str, int], list[int]] = {}
    for khali in tala.khali:
        said.setdefault(_rest_on(tala, theka, khali), []).append(khali)
    (does, first), *others = ((does, on_matras(matras)) for does, matras in said.items())
    told = _first_waves(*does, first)
    for (rests, long), matras in others:
        told = say("{waves}; {others}", waves=told, others=_other_waves(rests, long, matras))
    return say("{waves}.", waves=told)


RESTS, RESTS_FOR, RESTS_LATER, PLAYS_ON = "rests", "rests for", "rests later", "plays on"


def _rest_on(tala: Tala, theka: ThekaText, khali: int) -> tuple[str, int]:
    """What the bayan does in the vibhag of one wave, and for how many matras it rests where that is
    to be told."""
    bare, vibhag = bare_matras(theka), _vibhag(tala, khali)
    if bare.issuperset(vibhag):
        return RESTS, 0
    if khali in bare:
        return RESTS_FOR, next(matra for matra in vibhag if matra not in bare) - khali
    if len(vibhag) > 1 and bare.issuperset(vibhag[1:]):
        return RESTS_LATER, 0
    return PLAYS_ON, 0


def _first_waves(does: str, long: int, matras: str) -> str:
    if does == RESTS:
        return say("On {matras} the bayan rests, and it sounds light there", matras=matras)
    if does == RESTS_FOR:
        return say("On {matras} the bayan rests for {long}", matras=matras, long=_matras(long))
    if does == RESTS_LATER:
        return say("On {matras} the bayan still sounds, then rests", matras=matras)
    return say(
        "On {matras} the bayan plays on, and the wave is only a gesture of the hand", matras=matras
    )


def _other_waves(does: str, long: int, matras: str) -> str:
    if does == RESTS:
        return say("on {matras} it rests, and it sounds light there", matras=matras)
    if does == RESTS_FOR:
        return say("on {matras} it rests for {long}", matras=matras, long=_matras(long))
    if does == RESTS_LATER:
        return say("on {matras} it still sounds, then rests", matras=matras)
    return say("on {matras} it plays on, and the wave is only a gesture of the hand", matras=matras)


def _matras(count: int) -> str:
    """`three matras`."""
    return counted(count, "{number} matra", "{number} matras")


def _wave_told(tala: Tala, theka: ThekaText, khali: int) -> str:
    bare, vibhag = bare_matras(theka), _vibhag(tala, khali)
    count = tala.matras
    if len(bare) == count:
        return say("In this theka the bayan is not struck open at all: khali is found by counting.")
    if khali in bare:
        stretch, back = _rest_round(bare, khali, count)
        if bare.issuperset(vibhag):
            return say(
                "There the bayan rests {stretch}, so this part sounds light; the bass comes back "
                "on {matra}.",
                stretch=stretch,
                matra=back,
            )
        return say(
            "There the bayan rests {stretch}, but the bass comes back on {matra}.",
            stretch=stretch,
            matra=back,
        )
    if len(vibhag) > 1 and bare.issuperset(vibhag[1:]):
        stretch, back = _rest_round(bare, khali + 1, count)
        return say(
            "Its {bols} still has the bass; then the bayan rests {stretch}, and the bass comes "
            "back on {matra}.",
            bols=bols_of(theka, khali),
            stretch=stretch,
            matra=back,
        )
    return say(
        "In this theka the bayan does not rest there: khali is a gesture of the hand, found by "
        "counting from sam."
    )


def _vibhag(tala: Tala, khali: int) -> range:
    """The matras of the vibhag that is waved at `khali`."""
    return range(khali, khali + tala.vibhags[tala.form.starts.index(khali)])


def _rest_round(bare: frozenset[int], matra: int, count: int) -> tuple[str, int]:
    """How far the bayan rests before and after a matra on which it does, and on which it is
    back."""
    first = last = matra
    while (first - 2) % count + 1 in bare:
        first = (first - 2) % count + 1
    while last % count + 1 in bare:
        last = last % count + 1
    return _stretch(first, last), last % count + 1


def _stretch(first: int, last: int) -> str:
    """`on matra 5`, `on matras 6 and 7`, `on matras 10 to 13`; round sam `from matra 9 round to
    matra 1`."""
    if first == last:
        return say("on matra {matra}", matra=first)
    if first > last:
        return say("from matra {first} round to matra {last}", first=first, last=last)
    if last == first + 1:
        return say("on matras {first} and {last}", first=first, last=last)
    return say("on matras {first} to {last}", first=first, last=last)
