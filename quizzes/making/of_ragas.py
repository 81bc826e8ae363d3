"""What is wished of a phrase of a raga, each time with a phrase that keeps it.

Whether a wish can be kept in a raga is known from its stock of short lines alone; a question draws
a grown phrase where one fits, as `quizzes.ragas.stock` does.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from audio.line import Beat, Line, Tone
from audio.sargam import write
from quizzes.fresh import Fresh
from quizzes.making.keeping import LEAST_DIFFERENT
from quizzes.making.phrases import moved
from quizzes.making.resting import led_on, rests_in
from quizzes.making.shaping import graver, swung, with_meend
from quizzes.making.wish import Wish, wish_of
from quizzes.ragas.choosing import beside
from quizzes.ragas.evidence import REST_MATRAS, separates, tells_by_rest
from quizzes.ragas.growing import grow, within_reach
from quizzes.ragas.movement import makes, surely_breaks
from quizzes.ragas.raga import Raga
from quizzes.ragas.resting import resting_line
from quizzes.ragas.sounding import dwelling_line
from quizzes.ragas.stock import Swaras, stock

FEWEST, MOST = 4, 6
"""Swaras of a phrase that is wished."""
COUNTS = tuple(range(FEWEST, MOST + 1))
TAKEN_UP = OWN_IN_A_ROW = 3
GRAVER_SIGNS = 2
TRIES = 12
SA_SHARE = 0.25
"""How often a phrase is to end on Sa, where the raga has other rests."""


@dataclass(frozen=True, slots=True)
class Wished:
    """A wish, a line that keeps it, and what sounds beforehand."""

    wish: Wish
    example: Line
    sounding: Line


Fits = Callable[[Swaras], bool]


def is_asked(sort: str, raga: Raga, known: Mapping[str, Raga]) -> bool:
    """Whether this can be wished of the raga, whatever is drawn."""
    if sort == "apart":
        near = map(known.__getitem__, beside(raga.id, known))
        return any(_can_be_drawn(raga, _apart(raga, other)) for other in near)
    if sort == "answer":
        return any(True for _ in _answers_in_stock(raga))
    if sort == "reaches":
        return any(_can_be_drawn(raga, fits) for fits in REACHING.values())
    return _can_be_drawn(raga, _any)


def wished(
    fresh: Fresh, sort: str, raga: Raga, known: Mapping[str, Raga], begun: Sequence[str] = ()
) -> Wished:
    """A wish of this sort, fresh; of ragas from which the phrase is to be told apart those `begun`
    come first."""
    return _SORTS[sort](fresh, raga, known, begun)


# Phrases to begin from a swara that sounds.


def _ends_wish(fresh: Fresh, raga: Raga, known: Mapping[str, Raga], begun: Sequence[str]) -> Wished:
    return _from_first(_held(raga, _drawn(fresh, raga, _any)))


def _meend_wish(
    fresh: Fresh, raga: Raga, known: Mapping[str, Raga], begun: Sequence[str]
) -> Wished:
    swaras = _drawn(fresh, raga, _any)
    return _from_first(with_meend(fresh, _held(raga, swaras)), meend=1)


def _reaches_wish(
    fresh: Fresh, raga: Raga, known: Mapping[str, Raga], begun: Sequence[str]
) -> Wished:
    able = [saptak for saptak, fits in REACHING.items() if _can_be_drawn(raga, fits)]
    lived = [saptak for saptak in able if saptak in raga.register.value]
    saptak = fresh.one_of(lived or able)
    swaras = _drawn(fresh, raga, REACHING[saptak], saptak=saptak)
    return _from_first(_held(raga, swaras), reaches=saptak)


def _apart_wish(
    fresh: Fresh, raga: Raga, known: Mapping[str, Raga], begun: Sequence[str]
) -> Wished:
    near = fresh.shuffled(beside(raga.id, known))
    near.sort(key=lambda one: (_unlike(raga, known[one]), one not in begun))
    other = next(known[one] for one in near if _can_be_drawn(raga, _apart(raga, known[one])))
    swaras = _drawn(fresh, raga, _apart(raga, other))
    return _from_first(_telling_line(raga, other, swaras), apart=other.id)


def _unlike(raga: Raga, other: Raga) -> bool:
    """Whether nobody takes the one for the other, as more than a swara is different."""
    return len(set(raga.notes.value) ^ set(other.notes.value)) > len("gG")


def _from_first(line: Line, **more: str | int) -> Wished:
    """To begin on its first swara, to have as many, and to end where it ends."""
    notes = list(line.notes())
    wish = wish_of(
        begins=str(notes[0].swara),
        count=len(notes),
        ends=notes[-1].swara.letter,
        own=OWN_IN_A_ROW,
        **more,
    )
    return Wished(wish, line, Line((Beat((Tone(notes[0].swara),), REST_MATRAS),)))


def _held(raga: Raga, swaras: Swaras) -> Line:
    """Evenly to the rest at its end, as the raga has that."""
    return swung(raga, resting_line(swaras))


def _any(swaras: Swaras) -> bool:
    return True


def _is_phrase(swaras: Swaras) -> bool:
    """Whether as many swaras as are wished follow one another, none struck again at once and some
    of them different."""
    is_single = len(moved(swaras)) == len(swaras)
    different = {swara.letter for swara in swaras}
    return len(swaras) in COUNTS and is_single and len(different) >= LEAST_DIFFERENT


def _goes_low(swaras: Swaras) -> bool:
    return swaras[0].octave >= 0 and min(swara.steps for swara in swaras) < 0


def _goes_high(swaras: Swaras) -> bool:
    return swaras[0].octave <= 0 and max(swara.steps for swara in swaras) >= 12


REACHING: Mapping[str, Fits] = {"mandra": _goes_low, "tar": _goes_high}
"""A phrase that goes so far, and does not begin there."""


def _drawn(fresh: Fresh, raga: Raga, fits: Fits, *, saptak: str | None = None) -> Swaras:
    """A phrase of the raga that fits, ended on a rest: a grown one, else one of its stock."""
    ends = _by_end(raga, fits)
    letters = [letter for letter in ends if letter != "S"]
    on_sa = "S" in ends and (not letters or fresh.between(0, 1) < SA_SHARE)
    letter = "S" if on_sa else fresh.one_of(letters)
    for _ in range(TRIES):
        try:
            grown = grow(
                fresh, raga, fewest=FEWEST, most=MOST, saptak=saptak, ends_on=frozenset(letter)
            )
        except ValueError:  # nothing grows to this rest
            break
        if _is_phrase(grown) and fits(grown) and makes(raga, grown):
            return grown
    return fresh.one_of(ends[letter])


def _can_be_drawn(raga: Raga, fits: Fits) -> bool:
    return any(True for _ in _fitting(raga, fits))


def _fitting(raga: Raga, fits: Fits) -> Iterator[Swaras]:
    """What the stock has; its lines are joined of the raga's own, so that every step is its own."""
    rests = rests_in(raga)
    for count in COUNTS:
        for line in stock(raga, count):
            if line[-1].letter in rests and _is_phrase(line) and fits(line):
                yield line


@cache
def _by_end(raga: Raga, fits: Fits) -> Mapping[str, tuple[Swaras, ...]]:
    """By the letter of the rest on which they end."""
    found: dict[str, list[Swaras]] = {}
    for line in _fitting(raga, fits):
        found.setdefault(line[-1].letter, []).append(line)
    return {letter: tuple(lines) for letter, lines in found.items()}


# What tells it from another.


@cache
def _apart(raga: Raga, other: Raga) -> Fits:
    """What tells the two apart, though what is given away, how it begins and ends, does not."""

    def fits(swaras: Swaras) -> bool:
        if not {swaras[0].letter, swaras[-1].letter} <= other.ever:
            return False
        if surely_breaks(other, swaras):
            return True
        line = _dwelling(raga, swaras) if tells_by_rest(raga, other) else None
        return line is not None and separates(line, raga, other, "rest") is not None

    return fits


def _telling_line(raga: Raga, other: Raga, swaras: Swaras) -> Line:
    """As plain as can be: dwelling on its vadi only where that alone tells the two apart."""
    return _held(raga, swaras) if surely_breaks(other, swaras) else _dwelling(raga, swaras)


def _dwelling(raga: Raga, swaras: Swaras) -> Line:
    return swung(raga, dwelling_line(swaras, frozenset(raga.vadi.value[:1])))


# Phrases that sound whole.


def _answer_wish(
    fresh: Fresh, raga: Raga, known: Mapping[str, Raga], begun: Sequence[str]
) -> Wished:
    for _ in range(TRIES):
        given = _drawn(fresh, raga, _is_open)
        answer = _grown_answer(fresh, raga, given)
        if answer:
            break
    else:
        given, answer = fresh.one_of(tuple(_answers_in_stock(raga)))
    fewest, most = _counts_of_answer(given)
    sounding = _held(raga, given)
    wish = wish_of(write(sounding), takes_up=TAKEN_UP, ends="S", count=f"{fewest}-{most}")
    return Wished(wish, _held(raga, answer), sounding)


def _counts_of_answer(given: Swaras) -> tuple[int, int]:
    count = len(moved(given))
    return count - 1, count + 3


def _is_open(swaras: Swaras) -> bool:
    """Whether it rests elsewhere than on Sa, so that an answer can bring it home."""
    return swaras[-1].letter != "S"


def _grown_answer(fresh: Fresh, raga: Raga, given: Swaras) -> Swaras:
    at = fresh.one_of(range(len(given) - TAKEN_UP + 1))
    try:
        grown = grow(
            fresh,
            raga,
            fewest=FEWEST,
            most=len(given) + 2,
            ends_on=frozenset("S"),
            holds=given[at : at + TAKEN_UP],
        )
    except ValueError:  # from there no rest on Sa is near
        return ()
    return grown if _answers(raga, given, grown) else ()


def _answers(raga: Raga, given: Swaras, answer: Swaras) -> bool:
    fewest, most = _counts_of_answer(given)
    return (
        fewest <= len(moved(answer)) <= most
        and len({swara.letter for swara in answer}) >= LEAST_DIFFERENT
        and answer[-1].letter == "S"
        and within_reach(answer)
        and makes(raga, answer)
    )


def _answers_in_stock(raga: Raga) -> Iterator[tuple[Swaras, Swaras]]:
    """Phrases of the stock that end away from Sa, each with its own end led home to Sa."""
    for given in _fitting(raga, _is_open):
        tail = given[-TAKEN_UP:]
        answer = (*tail, *led_on(raga, tail, to=("S",)))
        if _answers(raga, given, answer):
            yield given, answer


def _graver_wish(
    fresh: Fresh, raga: Raga, known: Mapping[str, Raga], begun: Sequence[str]
) -> Wished:
    given = _held(raga, _drawn(fresh, raga, _any))
    wish = wish_of(write(given), swaras="lower", graver=GRAVER_SIGNS)
    return Wished(wish, swung(raga, graver(fresh, given)), given)


_SORTS: Mapping[str, Callable[[Fresh, Raga, Mapping[str, Raga], Sequence[str]], Wished]] = {
    "ends": _ends_wish,
    "meend": _meend_wish,
    "reaches": _reaches_wish,
    "answer": _answer_wish,
    "graver": _graver_wish,
    "apart": _apart_wish,
}
SORTS = tuple(_SORTS)
"""All wishes, in the order in which they are usually met."""
