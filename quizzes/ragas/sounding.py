"""From the swaras of a phrase to its sound: how long each is held, how fast, over which drone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from audio.line import Beat, Line, Tone
from audio.playing import score_of
from audio.score import Drone, Score
from audio.tuning import Swara, load_tuning
from quizzes.fresh import LEVEL_SPREAD_DB, Fresh
from quizzes.ragas.evidence import REST_MATRAS

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

SA_MOVES_SEMITONES = 3.0
BRIGHTNESS_SPREAD = 0.4
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


def cue_of(
    fresh: Fresh,
    line: Line,
    *,
    sa_hz: float,
    tuning: str,
    drone: str | None,
    tempo: tuple[float, float] = PLAIN_TEMPO,
) -> Score:
    """The line as it is asked: Sa, tempo, loudness and brightness are drawn afresh.

    `drone` is the first string of the tanpura, or None for no drone at all. Where choices differ
    in their drone give one that says nothing of the answer.
    """
    score = score_of(
        line,
        load_tuning(tuning),
        sa_hz=fresh.moved_sa(sa_hz, semitones=SA_MOVES_SEMITONES),
        matras_per_min=round(fresh.between(*tempo), 2),
        drone=None if drone is None else Drone(drone),
        lead_s=round(fresh.between(0.1, 0.4), 3),
    )
    return replace(
        score,
        strokes=tuple(
            replace(
                stroke,
                level_db=round(fresh.between(-LEVEL_SPREAD_DB, LEVEL_SPREAD_DB), 2),
                brightness=round(fresh.between(-BRIGHTNESS_SPREAD, BRIGHTNESS_SPREAD), 2),
            )
            for stroke in score.strokes
        ),
    )


def explained_cue(
    line: Line, *, sa_hz: float, tuning: str, drone: str | None, matras_per_min: float
) -> Score:
    """The line as an explanation plays it: evenly struck, with nothing drawn."""
    return score_of(
        line,
        load_tuning(tuning),
        sa_hz=sa_hz,
        matras_per_min=matras_per_min,
        drone=None if drone is None else Drone(drone),
    )
