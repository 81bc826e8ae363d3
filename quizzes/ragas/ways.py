"""A raga's way up and way down: as they are heard one after the other, and what they leave out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cache

from audio.line import BAR, REST, Beat, Line, Tone
from audio.tuning import SWARAS, Swara
from quizzes.ragas.movement import passed
from quizzes.ragas.raga import DEGREES, Raga
from quizzes.ragas.tradition import ragas

MATRAS = Fraction(3, 4)
LAST_MATRAS = Fraction(3, 2)
BREATH = Beat((REST,))
"""Between the two ways."""
NATURAL = dict(zip(DEGREES, "SRGmPDN", strict=True))
"""The form of a degree that stands for one that a raga has not."""


def ways_of(raga: Raga) -> Line:
    """Both ways as they are taught."""
    return ways_line(raga.scale.value.aroha, raga.scale.value.avaroha)


def ways_line(up: Sequence[Swara], down: Sequence[Swara]) -> Line:
    return Line((*way_beats(up), BREATH, BAR, *way_beats(down)))


def way_beats(way: Sequence[Swara]) -> tuple[Beat, ...]:
    """Evenly, and the last a little longer."""
    beats = [Beat((Tone(swara),), MATRAS) for swara in way]
    return (*beats[:-1], replace(beats[-1], matras=LAST_MATRAS))


def jati_of(raga: Raga) -> str:
    """`audav-sampurna`."""
    return "-".join(raga.jati)


def gaps_of(raga: Raga) -> dict[str, tuple[str, ...]]:
    """Degrees left out on the way up, on the way down, and altogether."""
    scale = raga.scale.value
    ways = {"up": scale.up, "down": scale.down, "both": raga.own}
    return {
        way: tuple(one for one in DEGREES if one not in _degrees(letters))
        for way, letters in ways.items()
    }


def _degrees(letters: Iterable[str]) -> frozenset[str]:
    return frozenset(letter.upper() for letter in letters if letter.upper() in DEGREES)


@cache
def is_agreed(raga: Raga) -> bool:
    """Whether all that is known of its ways gives one jati and the same gaps."""
    scale, gaps = raga.scale.value, gaps_of(raga)
    if not (raga.scale.sure and raga.notes.sure):
        return False
    for field, letters in (("aroha", scale.up), ("avaroha", scale.down), ("notes", raga.own)):
        degrees = _degrees(letters)
        if any(_degrees(text) != degrees for text in raga.others(field)):
            return False
        if field != "notes" and len(letters) != len(degrees):
            return False
    if not _degrees(raga.occasional.value) <= _degrees(raga.own):
        return False
    if "light" in raga.gait.value and any(gaps.values()):  # what it leaves out may slip in
        return False
    return not any(
        phrase.swaras[place].letter.upper() in gaps["up" if rising else "down"]
        for phrase in raga.phrases
        for place, rising in passed(phrase.swaras)
    )


@cache
def agreed_ragas() -> tuple[Raga, ...]:
    """All ragas of whose ways everybody says the same."""
    return tuple(raga for raga in ragas().values() if is_agreed(raga))


def changed_ways(raga: Raga, way: str, degree: str, *, added: bool) -> Line:
    """The ways with a degree put in or left out where it is asked."""
    scale = raga.scale.value
    change = _put_in if added else _taken_out
    up, down = scale.aroha, scale.avaroha
    form = next((letter for letter in raga.own if letter.upper() == degree), NATURAL[degree])
    return ways_line(
        change(up, form) if way != "down" else up,
        change(down[::-1], form)[::-1] if way != "up" else down,
    )


def _taken_out(rising: Sequence[Swara], letter: str) -> Sequence[Swara]:
    return [swara for swara in rising if swara.letter.upper() != letter.upper()]


def _put_in(rising: Sequence[Swara], letter: str) -> Sequence[Swara]:
    swara = Swara(SWARAS.index(letter), 0)
    place = next(place for place, other in enumerate(rising) if other.steps > swara.steps)
    return [*rising[:place], swara, *rising[place:]]
