"""From a line to a score: which notes share a stroke, and what the hands do on it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

from audio.bending import Held, path_of
from audio.line import Line, Note
from audio.mizrab import chikari_strokes
from audio.ornaments import GHASEETS, KAN, KRINTAN, MEENDS, SPARSH, Hand
from audio.score import Breakpoint, Drone, Score, Stroke
from audio.tuning import Swara, Tuning

RING_S = 1.0
"""How long the last note of a line rings on after its written end."""

LOUD_DB = 5.0
"""How much stronger or softer a stroke is that is written so (a choice of ours: a step of loudness
that nobody misses, and not the whole range of a hand)."""
TONE_BRIGHTNESS = 0.9
"""How much brighter or rounder (a choice of ours: a third of the spectrum's centre)."""

_LARGEST_SHARE = 0.6
"""Touches take at most so much of their note."""
_FRETS = range(-36, 49)


def score_of(
    line: Line,
    tuning: Tuning,
    *,
    sa_hz: float,
    matras_per_min: float = 60.0,
    drone: Drone | None = None,
    lead_s: float = 0.0,
    hand: Hand | None = None,
    ring_s: float = RING_S,
) -> Score:
    """A score of the line: one stroke a note, or a chain of joined notes.

    What ends the line rings on for `ring_s` more, but for a rest. Ornaments are played by `hand`,
    as usual where none is given, and stand in the strokes' tags; where a note is too short for
    them they are played as fast as it asks.
    """
    matra_s = 60.0 / matras_per_min
    hand, whole = hand or Hand(), line.matras
    strokes = []
    for chain in chains_of(line):
        more_s = ring_s if chain[-1].end == whole else 0.0
        strokes.append(
            Stroke(
                onset_s=float(chain[0].onset) * matra_s,
                duration_s=float(chain[-1].end - chain[0].onset) * matra_s + more_s,
                path=chain_path(chain, tuning, matra_s=matra_s, hand=hand, ring_s=more_s),
                level_db=chain[0].tone.loud * LOUD_DB,
                brightness=chain[0].tone.tone * TONE_BRIGHTNESS,
                tags=tags_of(chain),
            )
        )
    for onset, end in pairwise((*line.chikari(), whole)):
        rings_on = end == whole and not line.rests_at_its_end
        length_s = float(end - onset) * matra_s + (ring_s if rings_on else 0.0)
        strokes += chikari_strokes(float(onset) * matra_s, length_s, sa_hz=sa_hz)
    return Score(sa_hz, tuple(strokes), drone, lead_s)


def chains_of(line: Line) -> Iterator[tuple[Note, ...]]:
    """The notes of each stroke."""
    chain: list[Note] = []
    for note in line.notes():
        if chain and not note.tone.by:
            yield tuple(chain)
            chain = []
        chain.append(note)
    if chain:
        yield tuple(chain)


def tags_of(chain: Sequence[Note]) -> tuple[str, ...]:
    """The ornaments of one stroke, in the order in which they come."""
    names: list[str] = []
    for note in chain:
        tone = note.tone
        if tone.by in MEENDS:
            names.append("meend")
        elif tone.by in GHASEETS:
            names.append("ghaseet")
        elif tone.by:
            names.append("sparsh" if tone.by == SPARSH else "krintan")
        if tone.touches:
            names.append("kan" if len(tone.touches) == 1 else "murki")
        if tone.sway:
            names.append(tone.sway)
        if tone.shaken:
            names.append("zamzama")
    return tuple(dict.fromkeys(names))


def chain_path(
    chain: Sequence[Note], tuning: Tuning, *, matra_s: float, hand: Hand, ring_s: float = 0.0
) -> tuple[Breakpoint, ...]:
    """The pitch of one stroke; its last swara is held for `ring_s` longer."""
    held: list[Held] = []
    joins: list[str] = []
    for note in chain:
        pitches, between = _note(note, float(note.matras) * matra_s, tuning, hand)
        if held:
            joins.append(note.tone.by)
        held += pitches
        joins += between
    held[-1] = replace(held[-1], length_s=held[-1].length_s + ring_s)
    return path_of(held, joins, hand=hand, frets=_frets_of(tuning))


@lru_cache(maxsize=16)
def _frets_of(tuning: Tuning) -> tuple[float, ...]:
    """Cents of all frets, rising: every stroke asks for them."""
    return tuple(tuning.cents_of(Swara.at(steps)) for steps in _FRETS)


def _note(note: Note, length_s: float, tuning: Tuning, hand: Hand) -> tuple[list[Held], list[str]]:
    """The pitches of one note and the joins between them."""
    tone = note.tone
    if tone.shaken is not None:
        return _zamzama(tone.swara, tone.shaken, length_s, tuning, hand)
    touches = [tuning.cents_of(swara) for swara in tone.touches]
    main = tuning.cents_of(tone.swara)
    if not touches:
        return [Held(main, length_s, tone.sway)], []
    wished_s = hand.kan_s if len(touches) == 1 else hand.murki_s
    each_s = min(wished_s, _LARGEST_SHARE * length_s / len(touches))
    held = [Held(cents, each_s) for cents in touches]
    held.append(Held(main, length_s - each_s * len(touches), tone.sway))
    if len(touches) == 1:
        return held, [KAN]
    return held, [_by_fingers(one.cents, other.cents) for one, other in pairwise(held)]


def _by_fingers(before: float, after: float) -> str:
    return SPARSH if after > before else KRINTAN


def _zamzama(
    low: Swara, high: Swara, length_s: float, tuning: Tuning, hand: Hand
) -> tuple[list[Held], list[str]]:
    """Turns for as long as the note lasts, but for a rest on the lower swara at its end."""
    turns = max(2, math.floor(length_s * hand.zamzama_hz - 0.5))
    each_s = min(0.5 / hand.zamzama_hz, length_s / (2 * turns + 1))
    cents = [tuning.cents_of(low), tuning.cents_of(high)]
    held = [Held(cents[half % 2], each_s) for half in range(2 * turns)]
    held.append(Held(cents[0], length_s - each_s * 2 * turns))
    return held, [SPARSH, KRINTAN] * turns
