"""The plucked voice: one stroke of the mizrab as sound, a piece at a time.

The sound is read from the tables of `tables` along the exact phase of `path`. Slow work (phase,
tables, gain) is done for a group of steps at once; groups are counted from the stroke's onset,
so that how the sound is cut into blocks changes nothing in it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from audio.errors import AudioError
from audio.format import SAMPLE_RATE
from audio.score import Stroke
from audio.voices.levels import Levels
from audio.voices.noise import NOISE_FRAMES, mizrab_noise
from audio.voices.path import PitchPath
from audio.voices.tables import (
    READ_FRAMES,
    STEP_FRAMES,
    Scratch,
    TableMaker,
    read_tables,
    row_before,
    row_step,
)
from audio.voices.timbre import SITAR, Float32s, Timbre

GROUP_STEPS = 512
GROUP_FRAMES = GROUP_STEPS * STEP_FRAMES
"""0.74 s."""
ATTACK_FRAMES = 66
"""1.5 ms from rest to full swing (assumption)."""
RELEASE_FRAMES = 2_646
"""60 ms from the touch of the damping finger to silence (assumption)."""

_ATTACK = (0.5 - 0.5 * np.cos(np.pi * (np.arange(ATTACK_FRAMES) + 0.5) / ATTACK_FRAMES)).astype(
    np.float32
)
_RELEASE = (0.5 + 0.5 * np.cos(np.pi * (np.arange(RELEASE_FRAMES) + 0.5) / RELEASE_FRAMES)).astype(
    np.float32
)


@dataclass(frozen=True)
class Voice:
    """A kind of plucked string and the gains that level it."""

    timbre: Timbre
    levels: Levels


VOICES = {"sitar": Voice(SITAR, Levels(SITAR))}


def voice_of(stroke: Stroke) -> Voice:
    """Raises AudioError when no voice has the name that the stroke asks for."""
    try:
        return VOICES[stroke.voice]
    except KeyError:
        raise AudioError(
            f"no voice is called {stroke.voice!r} (stroke at {stroke.onset_s} s); "
            f"there are: {', '.join(sorted(VOICES))}"
        ) from None


class PluckedString:
    """One stroke as it sounds; read it from beginning to end.

    `sounding_frames` is what lies between its onset and its damping; `frames` includes the ring
    of the damping. `gain` is a factor on the whole.
    """

    def __init__(
        self, stroke: Stroke, *, sa_hz: float, sounding_frames: int, gain: float = 1.0
    ) -> None:
        self.frames = sounding_frames + RELEASE_FRAMES
        self._sounding_frames = sounding_frames
        voice = voice_of(stroke)
        self._levels = voice.levels
        self._brightness = stroke.brightness
        self._path = PitchPath(stroke.path, sa_hz=sa_hz)
        self._maker = TableMaker(
            voice.timbre,
            lowest_hz=self._path.lowest_hz,
            pluck_hz=sa_hz * 2.0 ** (stroke.path[0][1] / 1200.0),
            brightness=stroke.brightness,
        )
        self._gain = gain * 10.0 ** (stroke.level_db / 20.0)
        self._noise = mizrab_noise(stroke) * np.float32(self._gain)
        self._steps = -(-self.frames // STEP_FRAMES)
        self._group = -1
        self._first_row = 0
        self._tables = self._maker.room(0)

    def add_to(self, out: Float32s, start: int, scratch: Scratch) -> None:
        """Add the frames from `start` on, counted from the onset, to `out`, as many as fit.

        Calls must go forward in time.
        """
        stop = min(start + len(out), self.frames)
        at = start
        while at < stop:
            group = at // GROUP_FRAMES
            self._move_to(group)
            until = min(stop, at + READ_FRAMES, (group + 1) * GROUP_FRAMES)
            out[at - start : until - start] += self._piece(at, until, scratch)
            at = until

    def _piece(self, start: int, stop: int, scratch: Scratch) -> Float32s:
        """Frames of the present group."""
        base = self._group * GROUP_FRAMES
        first, last = (start - base) // STEP_FRAMES, -(-(stop - base) // STEP_FRAMES)
        steps = slice(first, last)
        sound = read_tables(
            self._tables,
            self._row[steps],
            (self._share[steps], self._growth[steps]),
            (self._place[steps], self._velocity[steps], self._bend[steps]),
            scratch,
        ).reshape(-1)
        skipped = base + first * STEP_FRAMES
        piece = sound[start - skipped : stop - skipped]
        if start < NOISE_FRAMES:
            part = self._noise[start:stop]
            piece[: len(part)] += part
        if start < ATTACK_FRAMES:
            part = _ATTACK[start:stop]
            piece[: len(part)] *= part
        if stop > self._sounding_frames:
            touched = max(start, self._sounding_frames)
            offset = touched - self._sounding_frames
            piece[touched - start :] *= _RELEASE[offset : offset + stop - touched]
        return piece

    def _move_to(self, group: int) -> None:
        if group == self._group:
            return
        self._group = group
        first = group * GROUP_STEPS
        last = min(first + GROUP_STEPS, self._steps)
        self._make_tables(first, last)
        self._make_motion(first, last)

    def _make_tables(self, first: int, last: int) -> None:
        """Tables for the steps from `first` until before `last`, and which step reads which."""
        low, high = row_before(first), row_before(last - 1) + 1
        kept = self._tables[max(0, low - self._first_row) :].copy()
        self._tables = kept  # lets go of the others before there are more
        fresh = range(low + len(kept), high + 1)
        tables = self._maker.room(high + 1 - low)
        tables[: len(kept)] = kept
        if fresh:
            self._fill(tables[len(kept) :], fresh)
        self._tables = tables
        self._first_row = low
        edges = np.array([row_step(row) for row in range(low, high + 1)])
        step = np.arange(first, last)
        self._row = np.searchsorted(edges, step, side="right") - 1
        gap = np.diff(edges)[self._row]
        self._share = ((step - edges[self._row]) / gap).astype(np.float32)
        self._growth = (1.0 / (gap * STEP_FRAMES)).astype(np.float32)

    def _fill(self, tables: Float32s, rows: range) -> None:
        # The neighbours are needed to know up to which pitch each table will be read.
        steps = [row_step(max(0, row)) for row in range(rows.start - 1, rows.stop + 1)]
        times_s = np.array(steps) * (STEP_FRAMES / SAMPLE_RATE)
        hz = self._path.hz(times_s)
        self._maker.fill(
            tables,
            hz[1:-1],
            self._path.highest_hz_around(times_s)[1:-1],
            times_s[1:-1],
            self._levels.factors(hz[1:-1], self._brightness, self._maker.partials)
            * np.float32(self._gain),
        )

    def _make_motion(self, first: int, last: int) -> None:
        """Place in the table at each step, and the parabola on which it moves to the next.

        The parabola meets the exact phase at both ends, and bends as the pitch between them does.
        """
        times_s = np.arange(first, last + 1, dtype=np.float64) * (STEP_FRAMES / SAMPLE_RATE)
        points = self._maker.length
        cycles = self._path.cycles(times_s)
        per_frame = self._path.hz(times_s) / SAMPLE_RATE
        bend = np.diff(per_frame) / (2.0 * STEP_FRAMES)
        velocity = np.diff(cycles) / STEP_FRAMES - bend * STEP_FRAMES
        self._place = ((cycles[:-1] % 1.0) * points).astype(np.float32)
        self._velocity = (velocity * points).astype(np.float32)
        self._bend = (bend * points).astype(np.float32)
