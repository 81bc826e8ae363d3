"""On which swaras a raga surely rests, on which surely not, and its phrases short of their end.

Where phrases rest is mostly known from memory. So a rest counts as sure only where the vadi or the
samvadi, which a source gives, is among the rests, or where the teacher has said so; and a swara of
the raga is surely none only where its way up or down leaves it out in every teaching known, nobody
gives it weight, and none of the raga's phrases stops on it or passes it that way. Light ragas take
liberties, so nothing is said of theirs.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from functools import cache

from audio.line import Beat, Line, Tone
from audio.tuning import SWARAS, Swara
from quizzes.choice_sets import wrong_weights
from quizzes.fresh import Fresh
from quizzes.ragas.evidence import REST_MATRAS
from quizzes.ragas.growing import SAPTAK_MIDDLES, grow
from quizzes.ragas.movement import Swaras, admits, never_passed, passed
from quizzes.ragas.raga import Raga
from quizzes.ragas.tradition import ragas
from quizzes.ragas.words import letter_name, shuddha_name
from words import say

FEWEST, MOST = 5, 10
"""How many swaras a phrase has that leads to a rest, this one with it."""
FEWEST_OWN = 3
RARELY = {"P": 0.05, "m": 0.05, "G": 0.4}
"""Rests of so many ragas are asked less often where a raga has others."""
NATURAL = "RGmPDN"
"""Most rests are of these: were none of them wrong, the right one would be known by its name."""
WRONG = 3
"""How many swaras are offered beside a rest."""


@cache
def sure_rests(raga: Raga) -> tuple[str, ...]:
    """Of these the letters on which it surely may rest."""
    rests = told_rests(raga)
    weighty = frozenset(rests) if raga.nyas.sure else _weighty(raga)
    return tuple(one for one in rests if one in weighty)


def told_rests(raga: Raga) -> tuple[str, ...]:
    """Letters on which it may rest as its file tells, but for Sa, on which every raga may."""
    return tuple(one for one in raga.nyas.value if one != "S" and known_ends(raga, one))


def _weighty(raga: Raga) -> frozenset[str]:
    """Letters to which a source or the teacher gives weight."""
    printed = [
        each.value for each in raga.variants if each.of == "vadi" and "memory" not in each.source
    ]
    letters = [*raga.vadi.value, *" ".join(printed).split()]
    return frozenset(letters) if raga.vadi.sure else frozenset()


@cache
def never_rests(raga: Raga) -> tuple[str, ...]:
    """Letters of its own on which it surely does not rest."""
    if "light" in raga.gait.value:
        return ()
    up, down = never_passed(raga)
    taken = {letter for pair in raga.pairs for letter in pair}
    taken |= {*raga.nyas.value, *raga.andolan.value, "S"}
    for swaras in (phrase.swaras for phrase in raga.phrases):
        taken.add(swaras[-1].letter)
        runs = ((swaras[place].letter, rising) for place, rising in passed(swaras))
        taken |= {letter for letter, rising in runs if letter in (up if rising else down)}
    return tuple(one for one in raga.notes.value if one in up | down and one not in taken)


@cache
def foreign(raga: Raga) -> tuple[str, ...]:
    """Letters that it has in nobody's teaching."""
    return tuple(letter for letter in SWARAS if letter not in raga.ever)


def drawn_rest(fresh: Fresh, rests: Sequence[str]) -> str:
    """One of these, what most ragas rest on seldom."""
    return fresh.weighted(rests, [RARELY.get(one, 1.0) for one in rests], 1)[0]


@cache
def foreign_weights() -> Mapping[str, float]:
    """How likely a foreign letter is to be offered beside a rest: those that are rests elsewhere
    come oftenest, lest Pa be always right."""
    able = [raga for raga in ragas().values() if sure_rests(raga) and foreign(raga)]
    cases = [(frozenset(sure_rests(raga)), frozenset(foreign(raga))) for raga in able]
    return {**dict.fromkeys(SWARAS, 1.0), **wrong_weights(cases, WRONG)}


@cache
def has_natural_wrong(raga: Raga) -> bool:
    """Whether a natural swara can be offered on which it surely does not rest."""
    return any(one in NATURAL for one in (*foreign(raga), *never_rests(raga)))


def drawn_wrong(
    fresh: Fresh, letters: Sequence[str], weights: Sequence[float], count: int
) -> list[str]:
    """So many of these, a natural one among them where there is one."""
    weighed = dict(zip(letters, weights, strict=True))
    natural = [one for one in letters if one in NATURAL]
    first = fresh.weighted(natural, [weighed[one] for one in natural], 1)
    rest = [one for one in letters if one not in first]
    return first + fresh.weighted(rest, [weighed[one] for one in rest], count - len(first))


def phrase_to(fresh: Fresh, raga: Raga, letter: str) -> Swaras:
    """A phrase of the raga that ends on this letter, one of `known_ends`; as often as not in a
    saptak of the raga's own."""
    saptak = fresh.one_of((None, *SAPTAK_MIDDLES))
    try:
        return grow(
            fresh, raga, fewest=FEWEST, most=MOST, saptak=saptak, ends_on=frozenset((letter,))
        )
    except ValueError:  # nothing grown led there; what the raga is known by does
        return fresh.one_of(known_ends(raga, letter))


@cache
def known_ends(raga: Raga, letter: str) -> tuple[Swaras, ...]:
    """What its phrases and ways hold up to this letter."""
    scale = raga.scale.value
    lines = (*(phrase.swaras for phrase in raga.phrases), scale.aroha, scale.avaroha)
    found = (
        line[: place + 1]
        for line in lines
        for place, swara in enumerate(line)
        if swara.letter == letter and place + 1 >= FEWEST_OWN
    )
    return tuple(swaras for swaras in found if admits(raga, swaras))


def nearest_to(letter: str, swara: Swara) -> Swara:
    """This letter in the saptak in which it lies nearest."""
    semitone = SWARAS.index(letter)
    return min(
        (Swara(semitone, octave) for octave in (-1, 0, 1)),
        key=lambda each: abs(each.steps - swara.steps),
    )


def unfinished_line(swaras: Sequence[Swara]) -> Line:
    """Every swara for one matra: it rests nowhere, not even at its end."""
    return Line(tuple(Beat((Tone(swara),)) for swara in swaras))


def resting_line(swaras: Sequence[Swara]) -> Line:
    """Evenly to the last swara, on which it rests."""
    return Line((*unfinished_line(swaras[:-1]).items, Beat((Tone(swaras[-1]),), REST_MATRAS)))


def why_no_rest(raga: Raga, letter: str) -> str:
    """What speaks against a rest there, said of the raga: `has no komal Ga`."""
    swara = full_name(letter)
    if letter not in raga.own:
        return say("has no {swara}", swara=swara)
    up, down = never_passed(raga)
    if letter in up & down:
        return say("leaves {swara} out on the way up or down and does not stay on it", swara=swara)
    if letter in up:
        return say("leaves {swara} out on the way up and does not stay on it", swara=swara)
    return say("leaves {swara} out on the way down and does not stay on it", swara=swara)


def full_name(letter: str) -> str:
    """`shuddha Ga` of every natural swara that has another form. Among choices all are named so:
    were they only where the raga has the other form, the name would tell that this one is wrong."""
    return name_beside(letter, SWARAS)


def name_beside(letter: str, others: Collection[str]) -> str:
    """The name of a letter: `shuddha Ga` where komal Ga is among the others, else `Ga`."""
    return shuddha_name(letter) if letter.swapcase() in others else letter_name(letter)


def name_with_standing(raga: Raga, letter: str, name: str) -> str:
    """What a swara is called, and what it is to the raga: `Ga, its vadi`."""
    standing = standing_of(raga, letter)
    if not standing:
        return name
    if standing == "vadi":
        return say("{swara}, its vadi", swara=name)
    return say("{swara}, its samvadi", swara=name)


def standing_of(raga: Raga, letter: str) -> str:
    """`vadi` or `samvadi` of the raga, where that is sure and nobody teaches otherwise; else ""."""
    if not raga.vadi.sure or len(raga.pairs) > 1 or letter not in raga.vadi.value:
        return ""
    return "vadi" if letter == raga.vadi.value[0] else "samvadi"
