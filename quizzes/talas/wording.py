"""Words on talas: their form, their bols, where two of them part, what leads to sam."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from audio.theka import BAR, REST
from audio.voices.tabla import sound_of
from quizzes.bols import tabla_bols
from quizzes.names import listed, number_word
from quizzes.talas.cycle import matra_at, mixed
from quizzes.talas.sounds import vibhags_of, words_of
from quizzes.talas.tala import Form, Tala, ThekaText
from words import say, say_many


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
