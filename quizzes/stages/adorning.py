"""What the left hand does to some of the swaras of a passage: to as large a share as is described.

What the raga itself swings or draws comes first, then chance. A swara is drawn from the one before
it, or touched from a neighbour, only by steps that the raga takes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from audio.line import Tone
from audio.ornaments import MEEND_DOWN, MEEND_UP, ornaments
from audio.tuning import Swara
from quizzes.fresh import Fresh
from quizzes.ragas.movement import admits
from quizzes.ragas.pieces import shape_of, steps_of, stock_of, within_reach
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import WIDEST_KAN, drawn_from

SWUNG_S = 0.9
"""A swara that the raga swings is held so long at least, to be heard swinging."""
DRAWN_S = 0.32
"""What is drawn, and what it is drawn from, lasts so long at least."""
STROKE_S = 3.5
"""After so long a string is hardly heard: no stroke bears more."""
TOUCHED_S = 0.2
"""A swara that is touched from another lasts so long at least."""
SHAKEN_S = 0.28
"""A swara that is shaken lasts so long at least: nearly two turns."""
SHAKEN_STEPS = 2
"""A gamak reaches a swara from the fret so many semitones below it."""
OFTEN_SHAKEN = 0.7
OFTEN_DRAWN = 0.7
"""How often a swara is drawn rather than touched, where both can be."""


def adorned(
    fresh: Fresh,
    raga: Raga,
    swaras: Sequence[Swara],
    lasts_s: Sequence[float],
    share: float,
    *,
    joined: bool = True,
    shaken: bool = False,
) -> tuple[Tone, ...]:
    """The swaras as tones, of which about this share is bent or touched, where they last so long.

    Where they are not `joined` each keeps a stroke of its own; where they are `shaken` most of the
    ornaments are gamaks.
    """
    tones = [Tone(swara) for swara in swaras]
    wished = round(share * len(swaras))
    wanted = [place for place, swara in enumerate(swaras) if _is_wanted(raga, swaras, place)]
    others = [place for place in range(len(swaras)) if place not in wanted]
    for place in (*wanted, *fresh.shuffled(others)):
        if wished <= 0:
            break
        shakes = shaken and fresh.between(0, 1) < OFTEN_SHAKEN and lasts_s[place] >= SHAKEN_S
        shakes = shakes and may_be_shaken(swaras[place])
        by_chance = fresh.between(0, 1) < OFTEN_DRAWN
        if shakes:
            tone = replace(tones[place], sway="gamak")
        else:
            tone = _bent(raga, tones, lasts_s, place, drawn=joined and by_chance)
        if tone != tones[place]:
            tones[place] = tone
            wished -= 1
    return tuple(tones)


def may_be_shaken(swara: Swara) -> bool:
    """Whether there is a fret below it from which a gamak pulls the string."""
    return within_reach((Swara.at(swara.steps - SHAKEN_STEPS),))


def _is_wanted(raga: Raga, swaras: Sequence[Swara], place: int) -> bool:
    letter = swaras[place].letter
    step = swaras[place].steps - swaras[place - 1].steps if place else 0
    return letter in raga.andolan.value or drawn_from(raga).get(letter, 0) * step > 0


def _bent(
    raga: Raga, tones: Sequence[Tone], lasts_s: Sequence[float], place: int, *, drawn: bool
) -> Tone:
    """The tone at a place with an ornament; as it is where none can be played on it."""
    tone = tones[place]
    if tone.swara.letter in raga.andolan.value and lasts_s[place] >= SWUNG_S:
        return replace(tone, sway="andolan")
    if drawn and _may_be_drawn(tones, lasts_s, place):
        rises = tone.swara.steps > tones[place - 1].swara.steps
        return replace(tone, by=MEEND_UP if rises else MEEND_DOWN)
    if lasts_s[place] >= TOUCHED_S:
        return replace(tone, touches=_touch(raga, [each.swara for each in tones], place))
    return tone


def _may_be_drawn(tones: Sequence[Tone], lasts_s: Sequence[float], place: int) -> bool:
    """Whether a hand can come to the swara on the stroke before it: near enough, with time, and
    while the string still sounds."""
    if not place or tones[place].swara == tones[place - 1].swara:
        return False
    first = last = place
    while first and (first == place or tones[first].by):
        first -= 1
    while last + 1 < len(tones) and tones[last + 1].by:
        last += 1
    pulled = [tone.swara.steps for tone in tones[first : last + 1]]
    return (
        max(pulled) - min(pulled) <= ornaments()["meend"].parameters["span"].most
        and min(lasts_s[place - 1 : place + 1]) >= DRAWN_S
        and sum(lasts_s[first : last + 1]) <= STROKE_S
    )


def _touch(raga: Raga, swaras: Sequence[Swara], place: int) -> tuple[Swara, ...]:
    """The nearest swara from which this one may be touched so that all steps are the raga's."""
    here, shapes = swaras[place], stock_of(raga, frozenset()).shapes
    for away in sorted(range(-WIDEST_KAN, WIDEST_KAN + 1), key=abs):
        touch = Swara.at(here.steps + away)
        steps = steps_of((*swaras[max(place - 1, 0) : place], touch, here))
        if (
            away
            and touch.letter in raga.own
            and within_reach((touch,))
            and all(shape_of(steps[at : at + 2]) in shapes for at in range(len(steps) - 1))
            and admits(raga, (*swaras[:place], touch, *swaras[place:]))
        ):
            return (touch,)
    return ()
