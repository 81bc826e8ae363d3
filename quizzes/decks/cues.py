"""What sounds with a question of a deck: a line of sargam, a recording, a theka or nothing.

Where the teacher leaves tempo, tuning or drone open, it is as elsewhere in Kaan. Sa and the small
differences between strokes are drawn afresh, so that nothing sounds the same twice; a recording
sounds as it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from audio.line import Line
from audio.playing import score_of
from audio.sargam import parse, write
from audio.score import Clip, Drone, Score
from audio.tuning import load_tuning
from quizzes.decks.deck import Cue
from quizzes.fresh import Fresh
from quizzes.question import KEYS_APART, Setting
from quizzes.ragas.sounding import SLOWER, varied
from quizzes.talas.cues import drawn_tempo, middle_laya, theka_cue
from quizzes.talas.laya import layas
from quizzes.talas.tradition import talas

TEMPO = 66.0, 80.0
"""In matras a minute, from and to, where the teacher sets none."""
EXPLAINED_TEMPO = 72.0
SA_MOVES_SEMITONES = 3.0
LEAD_S = 0.1, 0.4
SILENCE_S = 0.1
"""How long a score is in which nothing sounds."""

_FIRST = {"Sa-Pa": "P", "Sa-Ma": "m", "Sa-Ni": "N"}
NO_DRONE = "none"


@dataclass(frozen=True, slots=True)
class Sounded:
    """A cue to be heard, and the same in writing."""

    score: Score
    written: str
    tempo: float = 0.0
    """Of a line of sargam, in matras a minute."""


def sounded(fresh: Fresh, cue: Cue, setting: Setting) -> Sounded:
    """The cue of a question, fresh."""
    if cue.sargam:
        line = parse(cue.sargam)
        score, tempo = _asked(fresh, line, cue, setting)
        return Sounded(varied(fresh, score), write(line), tempo)
    if cue.theka:
        return _theka(fresh, cue, setting)
    return Sounded(_unplayed(cue, setting), cue.recording)


def _asked(fresh: Fresh, line: Line, cue: Cue, setting: Setting) -> tuple[Score, float]:
    """The score of a line, and its tempo."""
    drone = drone_of(cue)
    # Without a drone nothing else says where Sa is.
    sa_hz = fresh.moved_sa(setting.sa_hz, semitones=SA_MOVES_SEMITONES) if drone else setting.sa_hz
    drawn = round(fresh.between(*TEMPO), 2)
    tempo = cue.tempo or drawn
    score = _voiced(
        score_of(
            line,
            load_tuning(cue.tuning or setting.tuning),
            sa_hz=sa_hz,
            matras_per_min=tempo,
            drone=drone,
            lead_s=round(fresh.between(*LEAD_S), 3),
        ),
        cue.voice,
    )
    return score, tempo


def _theka(fresh: Fresh, cue: Cue, setting: Setting) -> Sounded:
    tala = talas(setting.tradition)[cue.theka]
    tempo = drawn_tempo(fresh, *layas()[middle_laya(tala)].heard)
    if cue.tempo:
        tempo = Fraction(cue.tempo).limit_denominator(100)
    matras = cue.cycles * tala.matras
    found = theka_cue(fresh, setting, tala, matras=matras, matras_per_min=tempo, lands=True)
    return Sounded(replace(found.score, drone=drone_of(cue)), found.written)


def _unplayed(cue: Cue, setting: Setting) -> Score:
    """A recording, or nothing, over the drone that the teacher names, if any."""
    clips = (Clip(cue.recording, cue.seconds),) if cue.recording else ()
    return Score(setting.sa_hz, (), drone_of(cue), lead_s=SILENCE_S, clips=clips)


def drone_of(cue: Cue) -> Drone | None:
    """Sa and Pa under what is played here, unless the teacher says otherwise; none under a
    recording, which has its own Sa, and none under silence."""
    if cue.drone:
        return None if cue.drone == NO_DRONE else Drone(_FIRST[cue.drone])
    return Drone() if cue.sargam or cue.theka else None


def explained(
    sargam: str | Sequence[str], cue: Cue, setting: Setting, beside: Score, *, slower: bool = False
) -> Score:
    """A line as an explanation plays it: evenly, at the Sa and over the drone of the score that
    was asked. `sargam` may be swaras one by one."""
    line = parse(sargam if isinstance(sargam, str) else KEYS_APART.join(sargam))
    return _voiced(
        score_of(
            line,
            load_tuning(cue.tuning or setting.tuning),
            sa_hz=beside.sa_hz,
            matras_per_min=(cue.tempo or EXPLAINED_TEMPO) * (SLOWER if slower else 1.0),
            drone=beside.drone,
        ),
        cue.voice,
    )


def _voiced(score: Score, voice: str) -> Score:
    """Every stroke on this voice but those of the chikari."""
    return replace(
        score,
        strokes=tuple(
            replace(stroke, voice=voice) if stroke.voice == "sitar" else stroke
            for stroke in score.strokes
        ),
    )


def seconds_of(cue: Cue, tradition: str = "") -> float:
    """About how long it sounds, for planning."""
    tempo = cue.tempo or EXPLAINED_TEMPO
    if cue.sargam:
        return float(parse(cue.sargam).matras) * 60.0 / tempo
    if cue.theka:
        return cue.cycles * talas(tradition)[cue.theka].matras * 60.0 / tempo
    return cue.seconds
