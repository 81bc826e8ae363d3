"""Words on talas: their form, their bols, where two of them part, where the bayan rests."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from audio.theka import BAR, REST
from audio.voices.tabla import SOUNDS, sound_of
from quizzes.names import ORDINALS, capital, counted, listed, number_word
from quizzes.talas.cycle import matra_at
from quizzes.talas.sounds import vibhags_of, words_of
from quizzes.talas.tala import Form, Tala, ThekaText

RINGING = "ge"
"""The stroke on the bayan that sings on."""
GESTURE = "a gesture of the hand"


def form_told(form: Form) -> str:
    """`14 matras in 3 + 4 + 3 + 4, tali on 1, 4 and 11, khali on 8`."""
    return f"{form.matras} matras in {_vibhags(form)}, {marks_told(form)}"


def _vibhags(form: Form) -> str:
    if len(set(form.vibhags)) == 1 and len(form.vibhags) > 4:
        return f"{counted(len(form.vibhags), 'vibhag')} of {form.vibhags[0]}"
    return " + ".join(map(str, form.vibhags))


def marks_told(form: Form) -> str:
    """`tali on 1, 5 and 13, khali on 9`."""
    told = []
    if form.tali:
        told.append(f"tali on {on_matras(form.tali)}")
    if form.khali:
        told.append(f"khali on {on_matras(form.khali)}")
    else:
        told.append("no khali")
    return ", ".join(told)


def on_matras(matras: Sequence[int], joint: str = "and") -> str:
    """`1, 5 and 13`."""
    return listed([str(one) for one in matras], joint)


def matras_told(matras: Sequence[int]) -> str:
    """`matra 9`, `matras 1, 5 and 13`."""
    return f"matra{'s' * (len(matras) > 1)} {on_matras(matras)}"


def at_place(place: Fraction) -> str:
    """`on matra 9`, `half way into matra 9`, `two thirds into matra 7`."""
    part, matra = place % 1, f"matra {matra_at(place)}"
    if not part:
        return f"on {matra}"
    if part == Fraction(1, 2):
        return f"half way into {matra}"
    name = "quarter" if part.denominator == 4 else ORDINALS[part.denominator - 1]
    many = f"a {name}" if part.numerator == 1 else f"{number_word(part.numerator)} {name}s"
    return f"{many} into {matra}"


def bols_told(theka: ThekaText) -> str:
    """The bols by vibhags, as they are written."""
    return f" {BAR} ".join(map(" ".join, vibhags_of(theka.words)))


def vibhag_told(theka: ThekaText, number: int) -> str:
    """The bols of one vibhag, counted from 0, from -1 backwards."""
    return " ".join(vibhags_of(theka.words)[number])


def bols_of(theka: ThekaText, matra: int) -> str:
    """What is said on a matra; a matra in which nothing is struck is called a rest."""
    word = _words(theka)[matra - 1]
    return "a rest" if word == REST else word


def _words(theka: ThekaText) -> list[str]:
    """What is said on each matra; however long a rest in it is, it is written once."""
    return [re.sub(f"{REST}+", REST, word) for word in words_of(theka.words)]


def parting_told(one: Tala, mine: ThekaText, other: Tala) -> str:
    """What tells a theka of the one from the usual one of the other, as a sentence: of talas of one
    length the first matra on which no theka of the other says the same, if there is one."""
    if one.matras != other.matras:
        return (
            f"{one.name} comes back to sam after {one.matras} matras, "
            f"{other.name} after {other.matras}."
        )
    told = f"Both have {one.matras} matras"
    if one.vibhags != other.vibhags:
        told += f", but {other.name} divides them {' + '.join(map(str, other.vibhags))}"
    for some in (other.thekas, other.thekas[:1]):
        for matra in range(1, one.matras + 1):
            if all(_heard(mine, matra) != _heard(each, matra) for each in some):
                return (
                    f"{told}; on matra {matra} {one.name} has {bols_of(mine, matra)}, "
                    f"{other.name} {bols_of(other.thekas[0], matra)}."
                )
    return f"{told}."


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
    said: dict[str, list[int]] = {}
    for khali in tala.khali:
        said.setdefault(_briefly(tala, theka, khali), []).append(khali)
    told = [f"on {on_matras(matras)} it {brief}" for brief, matras in said.items()]
    return capital("; ".join(told).replace(" it ", " the bayan ", 1)) + "."


def _briefly(tala: Tala, theka: ThekaText, khali: int) -> str:
    """What the bayan does in the vibhag of one wave."""
    bare, vibhag = bare_matras(theka), _vibhag(tala, khali)
    if bare.issuperset(vibhag):
        return "rests, and it sounds light there"
    if khali in bare:
        first = next(matra for matra in vibhag if matra not in bare)
        return f"rests for {counted(first - khali, 'matra')}"
    if len(vibhag) > 1 and bare.issuperset(vibhag[1:]):
        return "still sounds, then rests"
    return f"plays on, and the wave is only {GESTURE}"


def _wave_told(tala: Tala, theka: ThekaText, khali: int) -> str:
    bare, vibhag = bare_matras(theka), _vibhag(tala, khali)
    count = tala.matras
    if len(bare) == count:
        return "In this theka the bayan is not struck open at all: khali is found by counting."
    if khali in bare:
        stretch, back = _rest_round(bare, khali, count)
        if bare.issuperset(vibhag):
            return f"There the bayan rests {stretch}, so this part sounds light; {back}."
        return f"There the bayan rests {stretch}, but {back}."
    if len(vibhag) > 1 and bare.issuperset(vibhag[1:]):
        stretch, back = _rest_round(bare, khali + 1, count)
        return (
            f"Its {bols_of(theka, khali)} still has the bass; then the bayan rests {stretch}, and "
            f"{back}."
        )
    return (
        f"In this theka the bayan does not rest there: khali is {GESTURE}, found by counting from "
        "sam."
    )


def _vibhag(tala: Tala, khali: int) -> range:
    """The matras of the vibhag that is waved at `khali`."""
    return range(khali, khali + tala.vibhags[tala.form.starts.index(khali)])


def _rest_round(bare: frozenset[int], matra: int, count: int) -> tuple[str, str]:
    """How far the bayan rests before and after a matra on which it does, and when it is back."""
    first = last = matra
    while (first - 2) % count + 1 in bare:
        first = (first - 2) % count + 1
    while last % count + 1 in bare:
        last = last % count + 1
    return _stretch(first, last), f"the bass comes back on {last % count + 1}"


def _stretch(first: int, last: int) -> str:
    """`on matra 5`, `on matras 6 and 7`, `on matras 10 to 13`; round sam `from matra 9 round to
    matra 1`."""
    if first == last:
        return f"on matra {first}"
    if first > last:
        return f"from matra {first} round to matra {last}"
    return f"on matras {first} {'and' if last == first + 1 else 'to'} {last}"


def before_sam_told(theka: ThekaText) -> str:
    """The bols that lead to sam, as many as are heard nowhere else in the cycle; the last vibhag
    at least."""
    words = _words(theka)
    count = len(words)
    heard = [_heard(theka, matra) for matra in range(1, count + 1)]

    def leads_to(place: int, length: int) -> list[list[str]]:
        return [heard[(place - back) % count] for back in range(length, 0, -1)]

    length = len(vibhag_told(theka, -1).split())
    while length < count and any(
        leads_to(place, length) == leads_to(0, length) for place in range(1, count)
    ):
        length += 1
    return " ".join(words[-length:])
