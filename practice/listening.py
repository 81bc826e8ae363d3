"""How loud to practise, and the sound by which Sa is found.

The listening check rises from the least volume, note by note, until the student hears one; what is
practised at is then so much above it that each note is clear, and no louder. It knows nothing of
the loudness at the ear, of headphones, or of hearing: it is no test of these.
"""

from __future__ import annotations

from audio.resonance import resounding
from audio.score import Drone, Score, Stroke
from audio.tuning import load_tuning
from practice.settings import LOWEST_VOLUME_DB, Settings

STEP_DB = 3.0
NOTE_S = 0.8
LEAD_S = 0.2
ABOVE_DB = 15.0
"""So far above what is just heard a note is clear in the same room, and still quiet (assumed)."""
STEPS = int(-LOWEST_VOLUME_DB // STEP_DB) + 2


def check_score(settings: Settings) -> Score:
    """One Sa after the other, all alike: only the volume rises."""
    strokes = tuple(
        Stroke(LEAD_S + step * NOTE_S, NOTE_S - 0.05, ((0.0, 0.0),)) for step in range(STEPS)
    )
    return Score(settings.sa_hz, strokes)


def volume_at(seconds: float) -> float:
    """The volume, in dB against full level, so many seconds after the check began; at most 0."""
    step = max(0, int((seconds - LEAD_S / 2) // NOTE_S))
    return min(0.0, LOWEST_VOLUME_DB + step * STEP_DB)


def is_over(seconds: float) -> bool:
    """Whether the last and loudest note has been waited for."""
    return seconds >= LEAD_S + STEPS * NOTE_S


def volume_for(heard_db: float) -> float:
    """The volume to practise at where a note at `heard_db` was just heard."""
    return min(0.0, heard_db + ABOVE_DB)


def sa_score(settings: Settings) -> Score:
    """Sa, Pa and Sa over the drone, at the Sa and on the sitar that are set."""
    fifth_cents = load_tuning("just").cents[7]
    strokes = (
        Stroke(0.4, 1.4, ((0.0, 0.0),)),
        Stroke(1.8, 1.4, ((0.0, fifth_cents),)),
        Stroke(3.2, 2.2, ((0.0, 0.0),)),
    )
    score = Score(settings.sa_hz, strokes, Drone("P"))
    return resounding(score, body=settings.body, tarab=settings.tarab)
