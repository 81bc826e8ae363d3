"""Fresh phrases to be written: a walk over a scale that the student knows, or a phrase of a raga.

From one seed come the swaras, what the left hand does, and then how they are set in time; what it
does has time to be heard.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from audio.line import Line, Tone
from audio.score import Drone
from audio.tuning import SWARAS, Swara
from quizzes.contours import HIGHEST, LOWEST, THATS
from quizzes.dictation.hands import ornamented, ornamented_in
from quizzes.dictation.rhythm import even, in_time
from quizzes.fresh import Fresh
from quizzes.met import letters_met
from quizzes.phrases import WIDEST_STEPS
from quizzes.question import Setting
from quizzes.ragas.choosing import shared_strings
from quizzes.ragas.movement import admits
from quizzes.ragas.pieces import shape_of, stock_of, swaras_at
from quizzes.ragas.raga import Raga
from quizzes.ragas.tradition import ragas

FIRST_MET = "S R G P m D N"
"""What a scale is filled up with while fewer are met (common practice in first lessons)."""
FEWEST_LETTERS, LETTERS_OF_LONG = 3, 5
"""A scale has so many at least, for a phrase as long or over the saptaks."""
RAGA_SHARE = 0.6
"""How often a phrase is one of a raga, where some are begun."""
TRIES = 200
"""How often a phrase of a raga is begun; few fail, but where no short way leads on."""
FEWEST_OF_RAGA = 3
"""Two swaras are a phrase of no raga."""
STEPS = {1: 3.0, 2: 2.0, 3: 0.7, 4: 0.3}
"""By how many swaras of the scale a walk goes on at once, and how likely that is."""
MIDDLE = range(12)
"""Semitones of the middle saptak."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What a phrase is to be: so many swaras, and what is to be written beside them."""

    count: int
    saptaks: bool = False
    lengths: int = 0
    """How many ways of dividing a matra it may use; 0 for one matra a swara."""
    ornaments: int = 0
    """How many at most."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase to be written."""

    line: Line
    letters: tuple[str, ...]
    """The swaras among which its own are found, from low to high."""
    drone: Drone
    raga: Raga | None = None


def fresh_phrase(fresh: Fresh, setting: Setting, wish: Wish) -> Phrase:
    """One that answers the wish: of a raga that the student has begun, now and then, or in a scale
    of swaras met so far."""
    known = ragas(setting.tradition)
    begun = [name for name in setting.ragas if name in known]
    if begun and wish.count >= FEWEST_OF_RAGA and fresh.between(0, 1) < RAGA_SHARE:
        found = _of_raga(fresh, known[fresh.one_of(begun)], wish)
        if found is not None:
            return found
    enough = LETTERS_OF_LONG if wish.saptaks else max(wish.count, FEWEST_LETTERS)
    letters = scale_met(fresh, setting, min(enough, LETTERS_OF_LONG))
    swaras = walk(fresh, ladder(letters, wish.saptaks), wish.count, saptaks=wish.saptaks)
    tones = ornamented(fresh, swaras, ladder(letters, wish.saptaks), wish.ornaments)
    return Phrase(_line(fresh, tones, wish), letters, Drone())


def _of_raga(fresh: Fresh, raga: Raga, wish: Wish) -> Phrase | None:
    """None where the raga has no phrase of so many swaras that answers the wish."""

    def fits(swaras: Sequence[Swara]) -> bool:
        outside = any(swara.octave for swara in swaras)
        within = all(LOWEST.steps <= swara.steps <= HIGHEST.steps for swara in swaras)
        return outside == wish.saptaks and within

    swaras = _of_its_turns(fresh, raga, wish.count, fits)
    if swaras is None:
        return None
    letters = tuple(letter for letter in SWARAS if letter in raga.own)
    reach = ladder(letters, wish.saptaks)
    tones = ornamented_in(fresh, raga, swaras, wish.ornaments, reach)
    if wish.ornaments and all(tone == Tone(tone.swara) for tone in tones):
        return None
    strings = shared_strings([raga])
    return Phrase(_line(fresh, tones, wish), letters, Drone(strings[0] if strings else "P"), raga)


def _of_its_turns(
    fresh: Fresh, raga: Raga, count: int, fits: Callable[[Sequence[Swara]], bool]
) -> tuple[Swara, ...] | None:
    """So many swaras that the raga admits, each step of which stands in its own phrases or ways.
    Those that grow to a rest come back too often to be heard afresh."""
    shapes = stock_of(raga, frozenset()).shapes
    rungs = [at for at in range(LOWEST.steps, HIGHEST.steps + 1) if Swara.at(at).letter in raga.own]
    for _ in range(TRIES):
        steps = [fresh.one_of(rungs)]
        while len(steps) < count:
            ways = [to for to in rungs if shape_of((steps[-1], to)) in shapes and to != steps[-1]]
            is_swinging = len(steps) > 2 and steps[-1] == steps[-3]
            ways = [to for to in ways if not is_swinging or to != steps[-2]]
            ways = [to for to in ways if admits(raga, swaras_at((*steps, to)))]
            if not ways:
                break
            steps.append(fresh.one_of(ways))
        swaras = swaras_at(steps)
        if len(steps) == count and fits(swaras):
            return swaras
    return None


def _line(fresh: Fresh, tones: Sequence[Tone], wish: Wish) -> Line:
    return in_time(fresh, tones, wish.lengths) if wish.lengths else even(tones)


def scale_met(fresh: Fresh, setting: Setting, enough: int) -> tuple[str, ...]:
    """The swaras met so far that one of the ten thats has, one form of each; from low to high. They
    are filled up until there are enough."""
    met = letters_met(setting)
    for letter in FIRST_MET.split():
        if len(met) < enough:
            met.add(letter)
    scales = [tuple(letter for letter in that.split() if letter in met) for that in THATS]
    most = max(map(len, scales))
    return fresh.one_of(list(dict.fromkeys(scale for scale in scales if len(scale) == most)))


def ladder(letters: Sequence[str], saptaks: bool) -> tuple[Swara, ...]:
    """The scale over the middle saptak, or as far as hands are at ease."""
    reach = range(LOWEST.steps, HIGHEST.steps + 1) if saptaks else MIDDLE
    return tuple(swara for swara in map(Swara.at, reach) if swara.letter in letters)


def walk(
    fresh: Fresh, rungs: Sequence[Swara], count: int, *, saptaks: bool = False
) -> tuple[Swara, ...]:
    """So many swaras by steps and small leaps; where saptaks are to be written, at least one
    outside the middle one."""
    outside = [at for at, swara in enumerate(rungs) if swara.octave]
    at = fresh.one_of(outside if saptaks else range(len(rungs)))
    place = fresh.one_of(range(count)) if saptaks else 0
    walked = [at]
    for _ in range(place):
        walked.append(_next(fresh, rungs, walked))
    walked.reverse()
    for _ in range(count - 1 - place):
        walked.append(_next(fresh, rungs, walked))
    return tuple(rungs[each] for each in walked)


def _next(fresh: Fresh, rungs: Sequence[Swara], walked: Sequence[int]) -> int:
    """A rung near to the last one, and another; it goes to and fro no longer than it must. Where
    those that are met lie far apart, the nearest is near."""
    at = walked[-1]
    near = [
        to
        for to in range(len(rungs))
        if abs(to - at) in STEPS and abs(rungs[to].steps - rungs[at].steps) <= WIDEST_STEPS
    ]
    if not near:
        others = (to for to in range(len(rungs)) if to != at)
        return min(others, key=lambda to: abs(rungs[to].steps - rungs[at].steps))
    is_swinging = len(walked) > 2 and walked[-1] == walked[-3]
    near = [to for to in near if not is_swinging or to != walked[-2]] or near
    (chosen,) = fresh.weighted(near, [STEPS[abs(to - at)] for to in near], 1)
    return chosen
