"""What the left hand does in a phrase that is to be written.

In a scale, ornaments are drawn; in a raga they are those that the raga wants there, or a meend
between two swaras that follow each other in it anyway.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from itertools import islice

from audio.line import Tone
from audio.ornaments import KRINTAN, MEEND_DOWN, MEEND_UP, SPARSH, ornaments
from audio.tuning import Swara
from quizzes.fresh import Fresh
from quizzes.left_hand import WIDEST_STEP
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import raga_line

TRIES = 8
"""How often a raga is asked for a line with ornaments, but not too many."""

Drawn = Callable[[Sequence[Swara], int, Sequence[Swara]], Tone | None]
"""The ornamented swara at a place of a phrase; None where the hand cannot do it there."""


def _meend(swaras: Sequence[Swara], place: int, rungs: Sequence[Swara]) -> Tone | None:
    rise = _rise(swaras, place)
    if not 0 < abs(rise) <= ornaments()["meend"].parameters["span"].most:
        return None
    return Tone(swaras[place], by=MEEND_UP if rise > 0 else MEEND_DOWN)


def _fingers(swaras: Sequence[Swara], place: int, rungs: Sequence[Swara]) -> Tone | None:
    rise = _rise(swaras, place)
    if not 0 < abs(rise) <= WIDEST_STEP:
        return None
    return Tone(swaras[place], by=SPARSH if rise > 0 else KRINTAN)


def _kan(swaras: Sequence[Swara], place: int, rungs: Sequence[Swara]) -> Tone | None:
    """Touched by its neighbour above in the scale, where that was not struck just before."""
    above = rungs.index(swaras[place]) + 1
    if above == len(rungs) or (place and swaras[place - 1] == rungs[above]):
        return None
    return Tone(swaras[place], touches=(rungs[above],))


def _gamak(swaras: Sequence[Swara], place: int, rungs: Sequence[Swara]) -> Tone | None:
    return Tone(swaras[place], sway="gamak")


def _andolan(swaras: Sequence[Swara], place: int, rungs: Sequence[Swara]) -> Tone | None:
    return Tone(swaras[place], sway="andolan")


HANDS: Mapping[str, Drawn] = {
    "meend": _meend,
    "kan": _kan,
    "gamak": _gamak,
    "andolan": _andolan,
    "fingers": _fingers,
}
"""In the order in which they are met in phrases that are written."""
UNMOVED = "SP"
"""What does not swing."""
WAYS = {1: 2, 2: 4, 3: 5}
"""By how many ornaments a phrase has at most, how many of these it may use."""


def _rise(swaras: Sequence[Swara], place: int) -> int:
    return swaras[place].steps - swaras[place - 1].steps if place else 0


def ornamented(
    fresh: Fresh, swaras: Sequence[Swara], rungs: Sequence[Swara], most: int
) -> tuple[Tone, ...]:
    """The swaras with one to `most` ornaments, none beside another; plain where that is 0."""
    tones = [Tone(swara) for swara in swaras]
    if not most:
        return tuple(tones)
    wished = 1 + fresh.one_of(range(most))
    ways = list(islice(HANDS.items(), WAYS[most]))
    places: list[int] = []
    for place in fresh.shuffled(range(len(swaras))):
        if len(places) == wished or any(abs(place - other) == 1 for other in places):
            continue
        for name, way in fresh.shuffled(ways):
            swings = name in ("gamak", "andolan") and swaras[place].letter in UNMOVED
            if not swings and (tone := way(swaras, place, rungs)) is not None:
                tones[place] = tone
                places.append(place)
                break
    return tuple(tones)


def ornamented_in(
    fresh: Fresh, raga: Raga, swaras: Sequence[Swara], most: int, reach: Collection[Swara]
) -> tuple[Tone, ...]:
    """The swaras as the raga wants them, with one to `most` ornaments; plain where that is 0, or
    where the hand finds nothing to do. What is touched is within `reach`, too, or it could not be
    written."""
    plain = tuple(Tone(swara) for swara in swaras)
    if not most:
        return plain
    for _ in range(TRIES):
        line = raga_line(fresh, raga, swaras)
        tones = tuple(note.tone for note in line.notes())
        done = [bool(tone.by) + bool(tone.touches) + bool(tone.sway) for tone in tones]
        within = all(swara in reach for tone in tones for swara in tone.swaras)
        if within and max(done) == 1 and sum(done) <= most:
            return tones
    for place in fresh.shuffled(range(1, len(swaras))):
        if (tone := _meend(swaras, place, ())) is not None:
            return (*plain[:place], tone, *plain[place + 1 :])
    return plain
