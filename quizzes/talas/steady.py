"""Thekas by which a laya can be judged: counted in one way, even, heard from stroke to stroke."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from audio.theka import REST
from quizzes.fresh import Fresh
from quizzes.question import Setting
from quizzes.talas.asking import asked_talas
from quizzes.talas.cues import ThekaCue, theka_cue
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


def struck_cue(
    fresh: Fresh,
    setting: Setting,
    tala: Tala,
    theka: ThekaText,
    *,
    matras: int,
    matras_per_min: Fraction,
) -> ThekaCue:
    """A theka from anywhere, beginning and ending with a stroke: it lasts exactly as long as it is
    meant to."""
    return theka_cue(
        fresh,
        setting,
        tala,
        theka=theka,
        matras=matras,
        matras_per_min=matras_per_min,
        from_place=fresh.one_of(_struck_places(theka, matras)),
        lands=True,
    )


def _struck_places(theka: ThekaText, matras: int) -> tuple[int, ...]:
    """The matras, counted from 0, on which a stroke falls, and again one after so many matras."""
    cycle = theka.theka.matras
    struck = [parts[0] != REST for parts in cycle]
    both = (at for at in range(len(cycle)) if struck[at] and struck[(at + matras) % len(cycle)])
    return tuple(both) or (0,)
