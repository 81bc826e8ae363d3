"""Words on talas: their form, their bols, where two of them part, where the bayan rests."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from audio.theka import BAR, REST
from audio.voices.tabla import SOUNDS, sound_of
from quizzes.bols import tabla_bols
from quizzes.names import counted, listed, number_word
from quizzes.talas.cycle import matra_at, mixed
from quizzes.talas.sounds import vibhags_of, words_of
from quizzes.talas.tala import Form, Tala, ThekaText
from words import say, say_many

RINGING = "ge"
"""The stroke on the bayan that sings on."""


def form_told(form: Form) -> str:
    """`14 matras in 3 + 4 + 3 + 4, tali on 1, 4 and 11, khali on 8`."""
    return say(
        "{matras} matras in {vibhags}, {marks}",
        matras=form.matras,
        vibhags=_vibhags(form),
        marks=marks_told(form),
    )


def _vibhags(form: Form) -> str:
    count = len(form.vibhags)
    if len(set(form.vibhags)) == 1 and count > 4:
        return say_many(
            "{number} vibhag of {matras}",
            "{number} vibhags of {matras}",
            count,
            number=number_word(count),
            matras=form.vibhags[0],
        )
    return _sum(form.vibhags)


def marks_told(form: Form) -> str:
    """`tali on 1, 5 and 13, khali on 9`."""
    tali, khali = on_matras(form.tali), on_matras(form.khali)
    if not form.khali:
        return say("tali on {tali}, no khali", tali=tali)
    if not form.tali:
        return say("khali on {khali}", khali=khali)
    return say("tali on {tali}, khali on {khali}", tali=tali, khali=khali)


def on_matras(matras: Sequence[int], joint: str = "and") -> str:
    """`1, 5 and 13`."""
    return listed([str(one) for one in matras], joint)


def matras_told(matras: Sequence[int]) -> str:
    """`matra 9`, `matras 1, 5 and 13`."""
    return say_many("matra {matras}", "matras {matras}", len(matras), matras=on_matras(matras))


def at_place(place: Fraction) -> str:
    """`on matra 9`, `half way into matra 9`, `two thirds into matra 7`."""
    part, matra = place % 1, matra_at(place)
    if not part:
        return say("on matra {matra}", matra=matra)
    if part == Fraction(1, 2):
        return say("half way into matra {matra}", matra=matra)
    return _into(part, matra)


def _into(part: Fraction, matra: int) -> str:
    parts = part.numerator
    named = {"number": number_word(parts), "matra": matra}
    match part.denominator:
        case 3:
            return say_many(
                "a third into matra {matra}", "{number} thirds into matra {matra}", parts, **named
            )
        case 4:
            return say_many(
                "a quarter into matra {matra}",
                "{number} quarters into matra {matra}",
                parts,
                **named,
            )
        case 5:
            return say_many(
                "a fifth into matra {matra}", "{number} fifths into matra {matra}", parts, **named
            )
        case 7:
            return say_many(
                "a seventh into matra {matra}",
                "{number} sevenths into matra {matra}",
                parts,
                **named,
            )
    return say("{part} into matra {matra}", part=mixed(part), matra=matra)


def bols_told(theka: ThekaText) -> str:
    """The bols by vibhags, as they are read."""
    return tabla_bols(f" {BAR} ".join(map(" ".join, vibhags_of(theka.words))))


def bols_of(theka: ThekaText, matra: int) -> str:
    """What is said on a matra; a matra in which nothing is struck is called a rest."""
    word = _words(theka)[matra - 1]
    return say("a rest") if word == REST else tabla_bols(word)


def touched_told(theka: ThekaText, matra: int) -> str:
    """Which matra a point was that was touched, as a sentence."""
    return say(
        "The point touched is matra {matra}, {bols}.", matra=matra, bols=bols_of(theka, matra)
    )


def _words(theka: ThekaText) -> list[str]:
    """What is said on each matra; however long a rest in it is, it is written once."""
    return [re.sub(f"{REST}+", REST, word) for word in words_of(theka.words)]


def parting_told(one: Tala, mine: ThekaText, other: Tala) -> str:
    """What tells a theka of the one from the usual one of the other, as a sentence: of talas of one
    length the first matra on which no theka of the other says the same, if there is one."""
    both = {"one": one.called, "other": other.called, "matras": one.matras}
    if one.matras != other.matras:
        return say(
            "{one} comes back to sam after {matras} matras, {other} after {others}.",
            **both,
            others=other.matras,
        )
    divided = {} if one.vibhags == other.vibhags else {"vibhags": _sum(other.vibhags)}
    matra = _parts_on(one, mine, other)
    if matra is None and not divided:
        return say("Both have {matras} matras.", **both)
    if matra is None:
        return say(
            "Both have {matras} matras, but {other} divides them {vibhags}.", **both, **divided
        )
    there = {
        "matra": matra,
        "bols": bols_of(mine, matra),
        "others": bols_of(other.thekas[0], matra),
    }
    if not divided:
        return say(
            "Both have {matras} matras; on matra {matra} {one} has {bols}, {other} {others}.",
            **both,
            **there,
        )
    return say(
        "Both have {matras} matras, but {other} divides them {vibhags}; on matra {matra} {one} has "
        "{bols}, {other} {others}.",
        **both,
        **divided,
        **there,
    )


def _sum(vibhags: Sequence[int]) -> str:
    """`3 + 4 + 3 + 4`."""
    return " + ".join(map(str, vibhags))


def _parts_on(one: Tala, mine: ThekaText, other: Tala) -> int | None:
    """The first matra on which no theka of the other says the same, else the usual one does not;
    None where there is none."""
    for some in (other.thekas, other.thekas[:1]):
        for matra in range(1, one.matras + 1):
            if all(_heard(mine, matra) != _heard(each, matra) for each in some):
                return matra
    return None


def _heard(theka: ThekaText, matra: int) -> list[str]:
    parts = theka.theka.matras[matra - 1]
    return [part if part == REST else sound_of(part) for part in parts]


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


def before_sam_told(theka: ThekaText) -> str:
    """The bols that lead to sam, as many as are heard nowhere else in the cycle; the last vibhag
    at least."""
    words = _words(theka)
    count = len(words)
    heard = [_heard(theka, matra) for matra in range(1, count + 1)]

    def leads_to(place: int, length: int) -> list[list[str]]:
        return [heard[(place - back) % count] for back in range(length, 0, -1)]

    length = len(vibhags_of(theka.words)[-1])
    while length < count and any(
        leads_to(place, length) == leads_to(0, length) for place in range(1, count)
    ):
        length += 1
    return tabla_bols(" ".join(words[-length:]))
