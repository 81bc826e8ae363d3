"""What rings along with the playing string: its body, and strings that nobody strikes.

Sympathetic strings must not answer for the student. Strings tuned to a raga would: they ring for
its notes and keep silent for others, more softly for what is out of tune, and one that still
rings beats against the next note. So here they answer as if every pitch had its string: along the
whole path of the stroke, equally strongly whatever the pitch, a quarter of a vibration beside it
so that their powers add, and only until the playing string is struck again. What they say is what
the playing string says.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from audio.score import Score, Stroke

PLAYING = ("sitar", "string")
"""The voices of the playing string, with and without the colour of the body."""
TARAB_BELOW_DB = 20.0
"""How far what rings along lies under its stroke (assumption)."""
TARAB_RINGS_S = 0.8
"""How long it rings on after its stroke, where nothing follows."""
TARAB_FROM_S = 0.12
"""A stroke that another follows sooner wakes nothing: the answer needs longer to rise."""


def resounding(score: Score, *, body: bool, tarab: bool) -> Score:
    """The score with or without the body's colour and with or without sympathetic strings.

    Of these no more sound at once than strokes of the playing string begin at once.
    """
    strokes = score.strokes if body else tuple(_bare(stroke) for stroke in score.strokes)
    if tarab:
        strokes += tuple(_answers(strokes))
    return replace(score, strokes=strokes)


def _bare(stroke: Stroke) -> Stroke:
    return replace(stroke, voice="string") if stroke.voice == "sitar" else stroke


def _answers(strokes: tuple[Stroke, ...]) -> Iterator[Stroke]:
    """Onsets, lengths and levels alone decide who is answered, and for how long."""
    played = sorted(
        (stroke for stroke in strokes if stroke.voice in PLAYING), key=lambda each: each.onset_s
    )
    next_s = float("inf")
    for index in range(len(played) - 1, -1, -1):
        stroke = played[index]
        if index + 1 < len(played) and played[index + 1].onset_s > stroke.onset_s:
            next_s = played[index + 1].onset_s
        length_s = min(stroke.duration_s + TARAB_RINGS_S, next_s - stroke.onset_s)
        if length_s >= TARAB_FROM_S:
            yield replace(
                stroke,
                duration_s=length_s,
                level_db=stroke.level_db - TARAB_BELOW_DB,
                voice="tarab",
                tags=("tarab",),
            )
