"""A beat of the tabla under a phrase, by which it is heard how long each swara lasts."""

from __future__ import annotations

import math
from dataclasses import replace

from audio.score import Score, TablaStroke

BOL, BEFORE = "na", 4
"""What strikes each matra, and how often before the phrase begins."""
LEVEL_DB = -3.0


def over_beats(score: Score, *, matras: float, tempo: float, before: int = BEFORE) -> Score:
    """The score of a line of so many matras with a stroke to each, and some before it."""
    matra_s = 60.0 / tempo
    count = before + math.ceil(matras)
    return replace(
        score,
        strokes=tuple(
            replace(stroke, onset_s=round(stroke.onset_s + before * matra_s, 4))
            for stroke in score.strokes
        ),
        tabla=tuple(TablaStroke(round(at * matra_s, 4), BOL, LEVEL_DB) for at in range(count)),
    )
