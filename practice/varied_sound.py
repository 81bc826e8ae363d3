"""How the palta of the day sounds: played once over its theka, and the theka alone to play over."""

from __future__ import annotations

from dataclasses import replace

from audio.headroom import ALONE_DB
from audio.playing import score_of
from audio.rounds import Rounds
from audio.score import Drone, Score
from audio.theka import read_theka, theka_strokes
from audio.tuning import Tuning
from practice.varied import Varied


def heard(varied: Varied, *, tempo: float, sa_hz: float, tuning: Tuning) -> Score:
    """The palta up and down, once, over its theka from sam; `tempo` in matras a minute."""
    line = varied.line
    score = score_of(line, tuning, sa_hz=sa_hz, matras_per_min=tempo, drone=Drone(varied.drone))
    strokes = theka_strokes(read_theka(varied.tala.theka), matras_per_min=tempo, matras=line.matras)
    return replace(score, tabla=strokes)


def to_play_over(
    varied: Varied, *, tempo: float, sa_hz: float, rounds: int | None = None, lands: bool = True
) -> Rounds:
    """The theka alone, round after round from sam: see `audio.rounds.Rounds`."""
    return Rounds(
        read_theka(varied.tala.theka),
        sa_hz=sa_hz,
        matras_per_min=tempo,
        level_db=ALONE_DB,
        rounds=rounds,
        lands=lands,
    )
