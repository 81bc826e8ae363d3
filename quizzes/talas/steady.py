"""Which talas and thekas let a laya be judged: counted in one way, or one stroke a matra."""

from __future__ import annotations

from collections.abc import Mapping

from audio.theka import REST
from quizzes.talas.asking import asked_talas
from quizzes.talas.tala import Tala, ThekaText


def is_counted_one_way(tala: Tala) -> bool:
    """Whether all teaching known counts its cycle in the same number of matras: where some count
    half as many, its tempo, and notes to a matra, are half as many or twice as many to them."""
    return all(form.matras == tala.matras for form in tala.forms)


def is_even(theka: ThekaText) -> bool:
    """Whether each of its matras is one stroke, so that nothing but the tempo is fast or slow."""
    return all(len(parts) == 1 and REST not in parts for parts in theka.theka.matras)


def even_talas(known: Mapping[str, Tala]) -> tuple[Tala, ...]:
    """Those that are asked and have an even theka."""
    asked = asked_talas(known).values()
    return tuple(tala for tala in asked if any(map(is_even, tala.thekas)))


def even_theka(tala: Tala) -> ThekaText:
    """The first even theka of one of `even_talas`."""
    return next(filter(is_even, tala.thekas))


def struck_places(theka: ThekaText, matras: int) -> tuple[int, ...]:
    """The matras, counted from 0, on which a stroke falls and again one after so many matras: a
    cue from there begins and ends with a stroke, and so lasts exactly as long as it is meant to."""
    cycle = theka.theka.matras
    struck = [parts[0] != REST for parts in cycle]
    both = (at for at in range(len(cycle)) if struck[at] and struck[(at + matras) % len(cycle)])
    return tuple(both) or (0,)
