"""A score as sound: whole, or as blocks that come while later ones are still to be made.

Mono float32 at `SAMPLE_RATE`. The blocks, joined, are the whole bit for bit, whatever their
length: all slow work is laid out on each stroke's own clock, and everything else acts on one
sample at a time. Memory does not grow with the score. Recordings are read from the folder
`recordings` as they are needed; one that cannot be is silent for a block, and then its
RecordingError is raised, so that whoever makes the first block beforehand never meets it.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

import numpy as np

from audio.errors import RecordingError
from audio.format import BLOCK_FRAMES, SAMPLE_RATE
from audio.headroom import safe_gain, theka_db
from audio.recorded import piece as piece_of
from audio.score import Clip, Drone, Score, Stroke
from audio.voices import tabla, tanpura
from audio.voices.pluck import GROUP_FRAMES, RELEASE_FRAMES, VOICES, PluckedString, voice_of
from audio.voices.tables import Scratch
from audio.voices.timbre import Float32s

FADE_IN_S = 0.8
"""Soft start of the drone."""
FADE_OUT_S = 0.4


def frames_of(score: Score) -> int:
    """Frames of the whole, with the ring of the last damping and room for the last drum's."""
    ends = [_frame(score, stroke.end_s) + RELEASE_FRAMES for stroke in score.strokes]
    ends += [_frame(score, struck.onset_s) + tabla.RING_FRAMES for struck in score.tabla]
    ends += [_frame(score, clip.end_s) for clip in score.clips]
    return max(ends, default=_frame(score, 0.0))


def render(score: Score, *, drone: bool = True, recordings: Path | None = None) -> Float32s:
    """The whole score, shape (frames_of(score),). `drone=False` leaves its drone out.

    Raises AudioError when a stroke asks for a voice, a drum for a bol, or a clip for a recording
    that is not there.
    """
    _check(score)
    whole = np.empty(frames_of(score), np.float32)
    at = 0
    for piece in _pieces(score, drone=drone, frames=GROUP_FRAMES, folder=recordings):
        whole[at : at + len(piece)] = piece
        at += len(piece)
    return whole


def blocks(
    score: Score,
    *,
    drone: bool = True,
    block_frames: int = BLOCK_FRAMES,
    recordings: Path | None = None,
) -> Iterator[Float32s]:
    """The score in blocks of `block_frames`, the last one shorter; each is the caller's to keep.

    Raises AudioError as `render` does, and ValueError when `block_frames` is not positive; both
    at once, before the first block is asked for, but for a recording that cannot be read.
    """
    if block_frames < 1:
        raise ValueError(f"block_frames is at least 1: given {block_frames!r}")
    _check(score)
    return _pieces(score, drone=drone, frames=block_frames, folder=recordings)


def drone_loop(drone: Drone, *, sa_hz: float) -> Float32s:
    """The drone as a loop without a seam, shape (n,), at most 2 MB, at its own level."""
    return tanpura.drone_loop(drone, sa_hz=sa_hz)


def warm_up() -> None:
    """Work out beforehand what the first notes would else wait for (about 0.1 s; any thread)."""
    first = Stroke(0.0, 0.01, ((0.0, 0.0),))
    render(Score(261.6, (first,)))
    for voice in VOICES.values():
        voice.levels.work_out(49.0, 1400.0)
    tabla.warm_up()


def _check(score: Score) -> None:
    for stroke in score.strokes:
        voice_of(stroke)
    for struck in score.tabla:
        tabla.sound_of(struck.bol)


def _frame(score: Score, at_s: float) -> int:
    return round((score.lead_s + at_s) * SAMPLE_RATE)


def _pieces(score: Score, *, drone: bool, frames: int, folder: Path | None) -> Iterator[Float32s]:
    total = frames_of(score)
    waiting = sorted(score.strokes, key=lambda stroke: stroke.onset_s, reverse=True)
    ringing: list[tuple[int, PluckedString]] = []
    scratch = Scratch()
    gain = safe_gain(score)
    under = None
    if drone and score.drone is not None:
        under = _Under(drone_loop(score.drone, sa_hz=score.sa_hz), frames=total, gain=gain)
    theka = _Theka(score, gain * 10.0 ** (theka_db(score) / 20.0))
    clips = _Clips(score, gain, folder)
    for start in range(0, total, frames):
        stop = min(start + frames, total)
        piece = np.zeros(stop - start, np.float32)
        if under is not None:
            under.add_to(piece, start)
        while waiting and _frame(score, waiting[-1].onset_s) < stop:
            ringing.append(_begin(score, waiting.pop(), gain))
        for onset, string in ringing:
            into = max(start, onset)
            string.add_to(piece[into - start :], into - onset, scratch)
        ringing = [(onset, string) for onset, string in ringing if onset + string.frames > stop]
        theka.add_to(piece, start)
        clips.add_to(piece, start)
        yield piece
        if clips.error is not None:
            raise clips.error


def _begin(score: Score, stroke: Stroke, gain: float) -> tuple[int, PluckedString]:
    onset = _frame(score, stroke.onset_s)
    sounding = max(1, _frame(score, stroke.end_s) - onset)
    return onset, PluckedString(stroke, sa_hz=score.sa_hz, sounding_frames=sounding, gain=gain)


class _Theka:
    """The strokes on the drums of a score; read them from beginning to end."""

    def __init__(self, score: Score, gain: float) -> None:
        at = [(_frame(score, struck.onset_s), struck) for struck in score.tabla]
        self._waiting = tabla.hits(at)[::-1]
        self._ringing: list[tuple[int, tabla.DrumStroke]] = []
        self._sa_hz = score.sa_hz
        self._gain = gain

    def add_to(self, out: Float32s, start: int) -> None:
        stop = start + len(out)
        while self._waiting and self._waiting[-1].onset < stop:
            hit = self._waiting.pop()
            self._ringing.append((hit.onset, hit.begin(sa_hz=self._sa_hz, gain=self._gain)))
        for onset, drum in self._ringing:
            into = max(start, onset)
            drum.add_to(out[into - start :], into - onset)
        self._ringing = [(at, drum) for at, drum in self._ringing if at + drum.frames > stop]


class _Clips:
    """The recordings of a score, from a folder; `error` is the first that cannot be read."""

    def __init__(self, score: Score, gain: float, folder: Path | None) -> None:
        self.error: RecordingError | None = None
        self._folder = folder
        self._clips = [
            (_frame(score, clip.onset_s), _frame(score, clip.end_s), clip) for clip in score.clips
        ]
        self._gain = gain

    def add_to(self, out: Float32s, start: int) -> None:
        for onset, end, clip in self._clips:
            into, until = max(start, onset), min(start + len(out), end)
            if into < until:
                try:
                    sound = self._read(clip, into - onset, until - into)
                except RecordingError as error:
                    self.error = error
                else:
                    out[into - start : into - start + len(sound)] += sound

    def _read(self, clip: Clip, start: int, frames: int) -> Float32s:
        if self._folder is None:
            raise RecordingError("there is no folder of recordings to play it from", file=clip.name)
        sound = piece_of(self._folder / clip.name, start, frames)
        return sound * np.float32(self._gain * 10.0 ** (clip.level_db / 20.0))


class _Under:
    """The drone under a score of so many frames, faded in and out."""

    def __init__(self, loop: Float32s, *, frames: int, gain: float) -> None:
        self._loop = loop
        self._frames = frames
        self._gain = np.float32(gain)
        self._rise = _fade(min(round(FADE_IN_S * SAMPLE_RATE), frames // 2))
        self._fall = _fade(min(round(FADE_OUT_S * SAMPLE_RATE), frames // 2))[::-1]

    def add_to(self, out: Float32s, start: int) -> None:
        stop = start + len(out)
        sound = self._loop[np.arange(start, stop) % len(self._loop)]
        sound *= self._gain
        rise = self._rise[start:stop]
        sound[: len(rise)] *= rise
        falls = self._frames - len(self._fall)
        if stop > falls:
            first = max(start, falls)
            sound[first - start :] *= self._fall[first - falls : stop - falls]
        out += sound


@lru_cache(maxsize=8)
def _fade(frames: int) -> Float32s:
    """From nought to one without a corner."""
    return (0.5 - 0.5 * np.cos(np.pi * (np.arange(frames) + 0.5) / max(1, frames))).astype(
        np.float32
    )
