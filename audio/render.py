"""A score as sound: whole, or as blocks that come while later ones are still to be made.

Mono float32 at `SAMPLE_RATE`. The blocks, joined, are the whole bit for bit, whatever their
length: all slow work is laid out on each stroke's own clock, and everything else acts on one
sample at a time. Memory does not grow with the score.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from audio.format import BLOCK_FRAMES, SAMPLE_RATE
from audio.score import Drone, Score, Stroke
from audio.voices import tanpura
from audio.voices.pluck import GROUP_FRAMES, GROUP_STEPS, RELEASE_FRAMES, PluckedString
from audio.voices.tables import Scratch
from audio.voices.timbre import Float32s

FADE_IN_S = 0.8
"""Soft start of the drone."""
FADE_OUT_S = 0.4


def frames_of(score: Score) -> int:
    """Frames of the whole, with the ring of the last damping."""
    ends = [_frame(score, stroke.end_s) + RELEASE_FRAMES for stroke in score.strokes]
    return max(ends, default=_frame(score, 0.0))


def render(score: Score, *, drone: bool = True) -> Float32s:
    """The whole score, shape (frames_of(score),). `drone=False` leaves its drone out."""
    whole = np.empty(frames_of(score), np.float32)
    at = 0
    for piece in _pieces(score, drone=drone, frames=GROUP_FRAMES):
        whole[at : at + len(piece)] = piece
        at += len(piece)
    return whole


def blocks(
    score: Score, *, drone: bool = True, block_frames: int = BLOCK_FRAMES
) -> Iterator[Float32s]:
    """The score in blocks of `block_frames`, the last one shorter; each is the caller's to keep.

    Raises ValueError when `block_frames` is not positive.
    """
    if block_frames < 1:
        raise ValueError(f"block_frames is at least 1: given {block_frames!r}")
    return _pieces(score, drone=drone, frames=block_frames)


def drone_loop(drone: Drone, *, sa_hz: float) -> Float32s:
    """The drone as a loop without a seam, shape (n,), at most 2 MB, at its own level."""
    return tanpura.drone_loop(drone, sa_hz=sa_hz)


def _frame(score: Score, at_s: float) -> int:
    return round((score.lead_s + at_s) * SAMPLE_RATE)


def _pieces(score: Score, *, drone: bool, frames: int) -> Iterator[Float32s]:
    total = frames_of(score)
    waiting = sorted(score.strokes, key=lambda stroke: stroke.onset_s, reverse=True)
    ringing: list[tuple[int, PluckedString]] = []
    scratch = Scratch(GROUP_STEPS)
    under = _Under(score.drone, sa_hz=score.sa_hz, frames=total) if drone else None
    for start in range(0, total, frames):
        stop = min(start + frames, total)
        piece = np.zeros(stop - start, np.float32)
        if under is not None:
            under.add_to(piece, start)
        while waiting and _frame(score, waiting[-1].onset_s) < stop:
            ringing.append(_begin(score, waiting.pop()))
        for onset, string in ringing:
            into = max(start, onset)
            string.add_to(piece[into - start :], into - onset, scratch)
        ringing = [(onset, string) for onset, string in ringing if onset + string.frames > stop]
        yield piece


def _begin(score: Score, stroke: Stroke) -> tuple[int, PluckedString]:
    onset = _frame(score, stroke.onset_s)
    sounding = max(1, _frame(score, stroke.end_s) - onset)
    return onset, PluckedString(stroke, sa_hz=score.sa_hz, sounding_frames=sounding)


class _Under:
    """The drone under a score, faded in and out."""

    def __init__(self, drone: Drone | None, *, sa_hz: float, frames: int) -> None:
        self._loop = None if drone is None else drone_loop(drone, sa_hz=sa_hz)
        self._frames = frames
        self._rise = _fade(min(round(FADE_IN_S * SAMPLE_RATE), frames // 2))
        self._fall = _fade(min(round(FADE_OUT_S * SAMPLE_RATE), frames // 2))[::-1]

    def add_to(self, out: Float32s, start: int) -> None:
        if self._loop is None:
            return
        at = np.arange(start, start + len(out)) % len(self._loop)
        sound = self._loop[at]
        rise = self._rise[start : start + len(out)]
        sound[: len(rise)] *= rise
        falls = self._frames - len(self._fall)
        if start + len(out) > falls:
            first = max(start, falls)
            sound[first - start :] *= self._fall[first - falls : start + len(out) - falls]
        out += sound


@lru_cache(maxsize=8)
def _fade(frames: int) -> Float32s:
    """From nought to one without a corner."""
    return (0.5 - 0.5 * np.cos(np.pi * (np.arange(frames) + 0.5) / max(1, frames))).astype(
        np.float32
    )
