"""Room for the peaks of a mix: one gain for a whole score, known before its first sample.

Nothing is compressed, since a gain that follows the sound could tell one answer from another.
Instead each stroke is known never to pass a certain peak, whatever its pitch and brightness, and
to fall from it at a certain rate. So the highest possible peak of a score follows from onsets,
durations and levels alone; a score that could pass the limit is made softer throughout.

A theka counts with the highest peak of each drum, whatever its bols and wherever they fall; where
notes are played over it, beside strings that count as at least a line of notes. So neither the tala
nor how many notes are played over it changes how loud a cue with a theka is. A recording counts
with the highest peak that any recording has, for as long as it lasts.
"""

from __future__ import annotations

from collections.abc import Sequence

from audio.format import SAMPLE_RATE
from audio.loudness import PEAK_LIMIT_DBTP
from audio.recorded import RECORDING_PEAK_DBTP
from audio.score import Clip, Score, Stroke
from audio.voices.pluck import RELEASE_FRAMES, voice_of

DRONE_PEAK_DBTP = -22.0
"""No drone at 0 dB passes it (measured over Sa and first strings: -22.6)."""
DAYAN_PEAK_DBTP = -13.4
"""No stroke on the dayan at 0 dB passes it (measured over Sa and strokes: -13.6)."""
BAYAN_PEAK_DBTP = -13.9
"""No stroke on the bayan at 0 dB passes it (measured: -14.0)."""
THEKA_ALONE_DB = 5.0
"""So much louder is a theka over which nothing else is played: as loud as its peaks allow, or who
turned it up would find the next notes far too loud."""
ALONE_DB = 7.0
"""The level at which a theka is laid out to be heard or played over alone: it need not stand back
where no string sounds above it; a sitar of wood does."""
LINE_PEAK_DBTP = -2.0
"""What the strings over a theka count at least: notes struck as those before them are damped."""


def _ratio(db: float) -> float:
    return float(10.0 ** (db / 20.0))


def _peak_at(stroke: Stroke, at_s: float) -> float:
    voice, age_s = voice_of(stroke), at_s - stroke.onset_s
    return _ratio(voice.peak_dbtp + stroke.level_db - voice.fall_db_per_s * age_s)


def theka_db(score: Score) -> float:
    """By how much the theka of a score is louder than where notes are played over it."""
    return 0.0 if score.strokes or score.clips else THEKA_ALONE_DB


def _drums_peak(score: Score) -> float:
    """Each drum sounds one stroke at a time."""
    level_db = max(0.0, *(stroke.level_db for stroke in score.tabla)) + theka_db(score)
    return _ratio(DAYAN_PEAK_DBTP + level_db) + _ratio(BAYAN_PEAK_DBTP + level_db)


def _clips_peak(clips: Sequence[Clip]) -> float:
    """The highest that recordings may come to together."""
    return max(
        sum(
            _ratio(RECORDING_PEAK_DBTP + each.level_db)
            for each in clips
            if each.onset_s <= clip.onset_s < each.end_s
        )
        for clip in clips
    )


def safe_gain(score: Score) -> float:
    """The factor, at most 1, that keeps the score below `PEAK_LIMIT_DBTP` over its drone.

    Room for a drone is always left, so that the same cue is equally loud with and without.
    """
    drone_db = max(0.0, score.drone.level_db) if score.drone else 0.0
    ring_s = RELEASE_FRAMES / SAMPLE_RATE
    highest = 0.0
    ringing: list[Stroke] = []
    for stroke in sorted(score.strokes, key=lambda stroke: stroke.onset_s):
        now_s = stroke.onset_s
        ringing = [older for older in ringing if older.end_s + ring_s > now_s]
        ringing.append(stroke)
        highest = max(highest, sum(_peak_at(each, now_s) for each in ringing))
    if score.tabla:
        if not theka_db(score):
            highest = max(highest, _ratio(LINE_PEAK_DBTP))
        highest += _drums_peak(score)
    if score.clips:
        highest += _clips_peak(score.clips)
    return min(1.0, _ratio(PEAK_LIMIT_DBTP) / (highest + _ratio(DRONE_PEAK_DBTP + drone_db)))
