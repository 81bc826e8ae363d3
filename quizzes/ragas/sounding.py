"""From the swaras of a phrase to its sound: how held and come to, how fast, over which drone.

A plain line treats all swaras alike, for questions in which treatment must not tell. A raga's line
is what the raga wants: it dwells on vadi and rests, passes over weak swaras, swings slowly what the
raga swings, draws or touches a swara by steps that the raga itself takes, and plays low what the
raga has low. (`quizzes.ragas.alap`
makes whole alaps of such lines.)
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from types import MappingProxyType

from audio.line import Beat, Line, Tone
from audio.ornaments import MEEND_DOWN, MEEND_UP, Hand, ornaments
from audio.playing import RING_S, score_of
from audio.score import Drone, Score
from audio.tuning import SWARAS, Swara, Tuning, load_tuning
from quizzes.fresh import LEVEL_SPREAD_DB, Fresh
from quizzes.ragas.evidence import REST_MATRAS
from quizzes.ragas.movement import admits
from quizzes.ragas.pieces import shape_of, steps_of, stock_of, within_reach
from quizzes.ragas.raga import Raga
from quizzes.shades import LOW_SHARE, shades

TEMPOS = {
    "grave": (58.0, 68.0),
    "medium": (72.0, 84.0),
    "fast": (92.0, 108.0),
    "light": (80.0, 94.0),
}
"""In matras a minute, from and to."""
PLAIN_TEMPO = 74.0, 88.0
"""Where the gait must not tell the raga."""
SLOWER = 0.6
"""How fast an explanation plays a phrase that is asked for slowly."""
LONGEST_S = 17.5
"""No question sounds longer: what is too long at its tempo is played as fast as it needs."""

SA_MOVES_SEMITONES = 3.0
BRIGHTNESS_SPREAD = 0.4
BRIGHTNESS_BESIDE_WRITTEN = 0.15
LEAD_S = 0.1, 0.4
LAST_MATRAS = Fraction(3, 2)
"""Less than a rest: every phrase ends a little longer."""


def plain_line(swaras: Sequence[Swara]) -> Line:
    """Every swara for one matra and the last a little longer: nothing dwells, nothing swings."""
    beats = [Beat((Tone(swara),)) for swara in swaras]
    return Line((*beats[:-1], replace(beats[-1], matras=LAST_MATRAS)))


def dwelling_line(swaras: Sequence[Swara], rests: frozenset[str], *, sway: str = "") -> Line:
    """The letters in `rests` are held for a rest wherever they stand, swung where `sway` says."""
    return Line(
        tuple(
            Beat((Tone(swara, sway=sway),), REST_MATRAS)
            if swara.letter in rests
            else Beat((Tone(swara),))
            for swara in swaras
        )
    )


# The line as the raga wants it. How often and how long are choices of ours, after common practice:
# grave ragas are dwelt on and drawn with meend, light ones touched, fast ones run.


@dataclass(frozen=True, slots=True)
class _Manner:
    """How a gait treats swaras: matras for a weak one, a plain one, one that is dwelt on and the
    last; how often a step is drawn or a swara touched; and the hand that does it."""

    weak: Fraction
    plain: Fraction
    dwelt: Fraction
    last: Fraction
    meend: float
    kan: float
    hand: Hand


_HALF, _ONE, _MORE, _TWO, _LONG = map(Fraction, ("1/2", "1", "3/2", "2", "5/2"))
_GRAVE_HAND = Hand(meend_s=0.45, andolan_hz=1.25, andolan_cents=85.0, kan_s=0.09)
MANNERS = {
    "grave": _Manner(_HALF, _ONE, _TWO, _LONG, meend=0.55, kan=0.1, hand=_GRAVE_HAND),
    "medium": _Manner(_HALF, _ONE, _MORE, _TWO, meend=0.25, kan=0.15, hand=Hand(meend_s=0.3)),
    "fast": _Manner(_HALF, _HALF, _ONE, _TWO, meend=0.1, kan=0.1, hand=Hand(meend_s=0.16)),
    "light": _Manner(_HALF, _ONE, _MORE, _MORE, meend=0.2, kan=0.35, hand=Hand(meend_s=0.2)),
}
SWUNG_MATRAS = Fraction(3, 2)
"""A swara that the raga swings is held so long at least, to be heard swinging."""
STROKE_MATRAS = Fraction(7, 2)
"""A stroke bears so much at most: after some 3.5 s, at a grave tempo, a string is hardly heard."""
DWELT_SHARE = 3
"""At most one swara of so many is dwelt on, beside the last."""
MOST_TOUCHED = 2
"""In one phrase."""
WIDEST_KAN = 5
"""Semitones between a swara and what touches it."""


def raga_line(
    fresh: Fresh, raga: Raga, swaras: Sequence[Swara], *, gait: str | None = None
) -> Line:
    """The swaras, none more and none less, as the raga wants them; see `MANNERS` for the gaits.

    Its gait is one of the raga's own unless given.
    """
    manner = MANNERS[gait or fresh.one_of(raga.gait.value)]
    lengths = lengths_of(raga, swaras, manner)
    tones: list[Tone] = []
    for place, swara in enumerate(swaras):
        swung = lengths[place] >= SWUNG_MATRAS and swara.letter in raga.andolan.value
        tone = Tone(swara, sway="andolan" if swung else "")
        if _may_be_drawn(tones, tone, lengths) and _is_drawn(fresh, raga, swaras, tones, manner):
            tone = replace(tone, by=MEEND_UP if _step(tones, swara) > 0 else MEEND_DOWN)
        elif lengths[place] >= 1:
            tone = replace(tone, touches=_touches(fresh, raga, swaras, tones, manner))
        tones.append(tone)
    return Line(tuple(Beat((tone,), long) for tone, long in zip(tones, lengths, strict=True)))


def lengths_of(raga: Raga, swaras: Sequence[Swara], manner: _Manner) -> list[Fraction]:
    """How many matras each swara is held: all that swings has its time; then the weightiest that
    stand apart are dwelt on."""
    before_last = range(len(swaras) - 1)
    dwelt = [place for place in before_last if _swings(raga, swaras, place)]
    lengths = [
        max(manner.dwelt, SWUNG_MATRAS)
        if place in dwelt
        else (manner.weak if _is_weak(raga, swaras, place) else manner.plain)
        for place in before_last
    ]
    weights = [_weight(raga, swaras, place) for place in before_last]
    for place in sorted(before_last, key=lambda place: -weights[place]):
        apart = all(abs(place - other) > 1 for other in dwelt)
        if weights[place] and apart and len(dwelt) < max(1, len(swaras) // DWELT_SHARE):
            dwelt.append(place)
            lengths[place] = manner.dwelt
    return [*lengths, manner.last]


def swung_in(raga: Raga, swaras: Sequence[Swara]) -> frozenset[str]:
    """Letters that a line of these swaras lets swing."""
    last = len(swaras) - 1
    return frozenset(
        swara.letter
        for place, swara in enumerate(swaras)
        if swara.letter in raga.andolan.value and (place == last or _swings(raga, swaras, place))
    )


def _swings(raga: Raga, swaras: Sequence[Swara], place: int) -> bool:
    """Whether a swara before the last is one that the raga swings, not passed in a run upwards; one
    that it draws up from the swara below swings even there."""
    letter, here, after = swaras[place].letter, swaras[place].steps, swaras[place + 1].steps
    passed = place > 0 and swaras[place - 1].steps < here < after
    return letter in raga.andolan.value and (not passed or drawn_from(raga).get(letter) == 1)


def _weight(raga: Raga, swaras: Sequence[Swara], place: int) -> float:
    """How much the raga wants to dwell here: on its vadi, and on rests at which the line turns."""
    letter = swaras[place].letter
    rises = swaras[place + 1].steps > swaras[place].steps
    turns = place > 0 and rises != (swaras[place].steps > swaras[place - 1].steps)
    weight = 2.0 if letter == raga.vadi.value[0] else 0.0
    if turns and letter in {*raga.nyas.value, raga.vadi.value[1]}:
        weight += 1.0
    return weight


def _is_weak(raga: Raga, swaras: Sequence[Swara], place: int) -> bool:
    """Whether it is only touched in this raga, or left out by its way in this direction."""
    letter = swaras[place].letter
    rises = swaras[place + 1].steps > swaras[place].steps
    omitted = raga.omitted_up if rises else raga.omitted_down
    rests = {*raga.nyas.value, *raga.vadi.value}
    return letter not in rests and letter in {*omitted, *raga.occasional.value}


def _step(tones: Sequence[Tone], swara: Swara) -> int:
    return swara.steps - tones[-1].swara.steps


def _may_be_drawn(tones: Sequence[Tone], tone: Tone, lengths: Sequence[Fraction]) -> bool:
    """Whether a hand can come to the swara on the stroke before it: near enough, with time, and
    while the string still sounds."""
    if not tones or _step(tones, tone.swara) == 0:
        return False
    first = max(place for place, before in enumerate(tones) if not before.by)
    pulled = [each.swara.steps for each in (*tones[first:], tone)]
    on_stroke = lengths[first : len(tones) + 1]
    far = max(pulled) - min(pulled) <= ornaments()["meend"].parameters["span"].most
    timed = bool(tone.sway) or min(on_stroke[-2:]) >= _ONE
    return far and timed and sum(on_stroke) <= STROKE_MATRAS


def _is_drawn(
    fresh: Fresh, raga: Raga, swaras: Sequence[Swara], tones: Sequence[Tone], manner: _Manner
) -> bool:
    """Whether the raga wants it so, or chance where it does not mind and the next swara, too, is
    not to be drawn on this stroke."""
    place = len(tones)
    wanted = _wants_drawn(raga, swaras, place)
    if wanted is None:
        by_chance = fresh.between(0, 1) < manner.meend
        return by_chance and not (place + 1 < len(swaras) and _wants_drawn(raga, swaras, place + 1))
    return wanted


def _wants_drawn(raga: Raga, swaras: Sequence[Swara], place: int) -> bool | None:
    """Whether the raga draws a swara from the one before it: as it is known to, else what it swings
    where the line falls to it; None where it does not mind."""
    step = swaras[place].steps - swaras[place - 1].steps
    if wanted := drawn_from(raga).get(swaras[place].letter):
        return step * wanted > 0
    return True if step < 0 and swaras[place].letter in raga.andolan.value else None


def _touches(
    fresh: Fresh, raga: Raga, swaras: Sequence[Swara], tones: Sequence[Tone], manner: _Manner
) -> tuple[Swara, ...]:
    """The swara, if any, that is touched before the next: the nearest with which, too, the phrase
    is the raga's and every step one of its own; where the raga wants the touch, the step after."""
    place, wanted = len(tones), drawn_from(raga).get(swaras[len(tones)].letter, 0)
    touched = sum(bool(tone.touches) for tone in tones)
    if not wanted and (touched >= MOST_TOUCHED or fresh.between(0, 1) >= manner.kan):
        return ()
    here, shapes = swaras[place], stock_of(raga, frozenset()).shapes
    for away in sorted(range(-WIDEST_KAN, WIDEST_KAN + 1), key=abs):
        touch = Swara.at(here.steps + away)
        before = () if wanted else swaras[max(place - 1, 0) : place]
        steps = steps_of((*before, touch, here))
        if (
            away
            and away * wanted <= 0
            and touch.letter in raga.own
            and within_reach((touch,))
            and all(shape_of(steps[at : at + 2]) in shapes for at in range(len(steps) - 1))
            and admits(raga, (*swaras[:place], touch, *swaras[place:]))
        ):
            return (touch,)
    return ()


@cache
def drawn_from(raga: Raga) -> Mapping[str, int]:
    """Letters that the raga takes from the swara below (1: the string rises to them) or from the
    one above (-1), as `assets/shades.toml` has it."""
    ways = {"low": 1, "above": -1}
    return MappingProxyType(
        {letter: ways[how] for letter, how in _treated(raga).items() if how in ways}
    )


@cache
def tuned_to(raga: Raga, tuning: Tuning) -> Tuning:
    """The same with the swaras that the raga has low tuned down towards the one below them."""
    cents = list(tuning.cents)
    for letter, how in _treated(raga).items():
        at = SWARAS.index(letter)
        if how == "low":
            under = (SWARAS.index(own) for own in raga.own)
            below = tuning.cents[max((step for step in under if step < at), default=0)]
            cents[at] -= LOW_SHARE * (cents[at] - below)
    return tuning if cents == list(tuning.cents) else Tuning(tuning.name, tuple(cents))


@cache
def _treated(raga: Raga) -> Mapping[str, str]:
    """How the raga treats its swaras, by letter, as far as `assets/shades.toml` tells."""
    return MappingProxyType(
        {
            shaded.swara.letter: how
            for shaded in shades().swaras.values()
            for how, treatment in shaded.treatments.items()
            if {raga.name, *raga.also} & set(treatment.ragas)
        }
    )


def hand_of(gait: str) -> Hand:
    """The hand that plays a raga's line in this gait."""
    return MANNERS[gait].hand


def cue_of(
    fresh: Fresh,
    line: Line,
    *,
    sa_hz: float,
    tuning: str,
    drone: str | None,
    tempo: tuple[float, float] = PLAIN_TEMPO,
    hand: Hand | None = None,
    raga: Raga | None = None,
) -> Score:
    """The line as it is asked: Sa, tempo, loudness and brightness are drawn afresh.

    `drone` is the first string of the tanpura, or None for no drone at all. Where choices differ
    in their drone give one that says nothing of the answer. `hand` plays the ornaments, as usual
    unless given. A line of a `raga` has that raga's low swaras low; where they must not tell give
    none. Loudness and brightness are drawn for each stroke alike, so neither tells.
    """
    sa_hz = fresh.moved_sa(sa_hz, semitones=SA_MOVES_SEMITONES)
    needed = 60.0 * float(line.matras) / (LONGEST_S - RING_S - LEAD_S[1])
    score = score_of(
        line,
        _tuning_of(raga, tuning),
        sa_hz=sa_hz,
        matras_per_min=round(max(fresh.between(*tempo), needed), 2),
        drone=None if drone is None else Drone(drone),
        lead_s=round(fresh.between(*LEAD_S), 3),
        hand=hand,
    )
    return varied(fresh, score)


def varied(fresh: Fresh, score: Score) -> Score:
    """The score with loudness and brightness drawn for each stroke alike, so that neither tells.

    Strokes that are written brighter or rounder stay so: what is drawn is then less.
    """
    written = any(stroke.brightness for stroke in score.strokes)
    spread = BRIGHTNESS_BESIDE_WRITTEN if written else BRIGHTNESS_SPREAD
    strokes = []
    for stroke in score.strokes:
        louder = fresh.between(-LEVEL_SPREAD_DB, LEVEL_SPREAD_DB)
        brighter = stroke.brightness + fresh.between(-spread, spread)
        strokes.append(
            replace(
                stroke,
                level_db=round(stroke.level_db + louder, 2),
                brightness=round(max(-1.0, min(1.0, brighter)), 2),
            )
        )
    return replace(score, strokes=tuple(strokes))


def explained_cue(
    line: Line,
    *,
    sa_hz: float,
    tuning: str,
    drone: str | None,
    matras_per_min: float,
    hand: Hand | None = None,
    raga: Raga | None = None,
) -> Score:
    """The line as an explanation plays it: evenly struck, with nothing drawn; see `cue_of`."""
    return score_of(
        line,
        _tuning_of(raga, tuning),
        sa_hz=sa_hz,
        matras_per_min=matras_per_min,
        drone=None if drone is None else Drone(drone),
        hand=hand,
    )


def _tuning_of(raga: Raga | None, tuning: str) -> Tuning:
    return load_tuning(tuning) if raga is None else tuned_to(raga, load_tuning(tuning))
