"""A stage of a performance played in a raga, by nothing but the stage's own description."""

from __future__ import annotations

from dataclasses import dataclass

from audio.line import Line
from audio.sargam import write
from audio.score import Score
from quizzes.fresh import Fresh
from quizzes.ragas.growing import grow
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import cue_of, raga_line
from quizzes.stages.stage import Stage

SHORTEST_S, LONGEST_S = 8.0, 20.0
"""How long a passage lasts that is to be known by ear."""
GLIMPSE_S = 4.0
"""How long one lasts that only reminds of a stage, as several in a row do."""


@dataclass(frozen=True, slots=True)
class Passage:
    """What sounds, and the same in writing for logs and readers."""

    score: Score
    sargam: str


def passage(
    fresh: Fresh,
    stage: Stage,
    raga: Raga,
    *,
    sa_hz: float,
    tuning: str,
    lasts_s: tuple[float, float] = (SHORTEST_S, LONGEST_S),
) -> Passage:
    """A fresh passage, lasting from and to so many seconds; `sa_hz` is moved a little."""
    line: Line = raga_line(fresh, raga, grow(fresh, raga, saptak=stage.heard.register[0]))
    score = cue_of(fresh, line, sa_hz=sa_hz, tuning=tuning, drone=raga.drone, raga=raga)
    return Passage(score, write(line))


def in_turn(passages: tuple[Passage, ...], *, apart_s: float = 0.6) -> Score:
    """Passages one after the other, at the Sa and over the drone of the first."""
    return passages[0].score
