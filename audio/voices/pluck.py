"""The plucked voice: one stroke of the mizrab as sound, a piece at a time.

The sound is read from the tables of `tables` along the exact phase of `path`. Slow work (phase,
tables, gain) is done for a group of steps at once; groups are counted from the stroke's onset,
so that how the sound is cut into blocks changes nothing in it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from audio.errors import AudioError
from audio.format import SAMPLE_RATE
from audio.score import Stroke
from audio.voices.levels import Levels
from audio.voices.noise import NO_NOISE_LUFS, NOISE_FRAMES, mizrab_noise
from audio.voices.path import PitchPath
from audio.voices.strings import CHIKARI, STRING, TARAB
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
_STEP_S = STEP_FRAMES / SAMPLE_RATE
_LARGE_TABLE = 8192
_FIRST_STEPS_IF_LARGE = 80
"""The first group is as short (0.12 s) where tables are large: there they stand close together,
and neither memory nor the first sound should need them all."""
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


_NO_TURNS = np.empty(0, np.intp), np.empty((0, STEP_FRAMES), np.float32)


@dataclass(frozen=True)
class Voice:
    """A kind of string, the gains that level it, and what its peaks never pass.

    The peaks were measured over brightness -1 to 1, hammered, pulled and shaken paths of up to
    five semitones, and MIDI 40 to 88 (chikari: 55 to 79, which is all that they are tuned to); the
    noise was reckoned at its strongest.
    """

    timbre: Timbre
    levels: Levels
    peak_dbtp: float
    """No stroke at 0 dB passes it."""
    fall_db_per_s: float
    """Nor this line, falling from it, however the stroke is bent."""
    struck: bool = True
    """Whether the noise of the mizrab is heard with it."""
    kept: bool = False
    """Whether the tables of its unbent strokes are kept, since the same come again and again."""


VOICES = {
    "sitar": Voice(SITAR, Levels(SITAR), peak_dbtp=-7.4, fall_db_per_s=5.0),
    "string": Voice(STRING, Levels(STRING, lazy=True), peak_dbtp=-7.4, fall_db_per_s=5.0),
    "chikari": Voice(
        CHIKARI,
        # It sounds nothing but Sa, which is no answer: so it need not be as dull as the others.
        Levels(CHIKARI, centroid_hz=None, lazy=True),
        peak_dbtp=-8.2,
        fall_db_per_s=4.0,
        kept=True,
    ),
    "tarab": Voice(
        TARAB,
        Levels(TARAB, tail_below_lu=6.0, noise_lufs=NO_NOISE_LUFS, lazy=True),
        peak_dbtp=-9.5,
        fall_db_per_s=1.0,
        struck=False,
    ),
}


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
        self._path = PitchPath(stroke.path, sa_hz=sa_hz)
        steps = (self._path.turns_s / _STEP_S).astype(np.intp)
        self._turn_steps = steps[np.diff(steps, prepend=-1) > 0]
        self._tables: _Bent | _Kept
        if voice.kept and len(stroke.path) == 1:
            self._tables = _Kept(stroke.voice, self._path.lowest_hz, stroke.brightness)
        else:
            pluck_hz = sa_hz * 2.0 ** (stroke.path[0][1] / 1200.0)
            self._tables = _Bent(voice, self._path, pluck_hz, stroke.brightness)
        self._gain = np.float32(gain * 10.0 ** (stroke.level_db / 20.0))
        self._noise = mizrab_noise(stroke) if voice.struck else None
        self._steps = -(-self.frames // STEP_FRAMES)
        self._group = -1

    def add_to(self, out: Float32s, start: int, scratch: Scratch) -> None:
        """Add the frames from `start` on, counted from the onset, to `out`, as many as fit.

        Calls must go forward in time.
        """
        stop = min(start + len(out), self.frames)
        at, length = start, self._tables.length
        while at < stop:
            group = _group_of(at // STEP_FRAMES, length)
            self._move_to(group)
            until = min(stop, at + READ_FRAMES, _group_end(group, length) * STEP_FRAMES)
            out[at - start : until - start] += self._piece(at, until, scratch)
            at = until

    def _piece(self, start: int, stop: int, scratch: Scratch) -> Float32s:
        """Frames of the present group."""
        first, last = start // STEP_FRAMES, -(-stop // STEP_FRAMES)
        steps = slice(first - self._first_step, last - self._first_step)
        sound = read_tables(
            self._tables.rows,
            self._row[steps],
            (self._share[steps], self._growth[steps]),
            (self._place[steps], self._velocity[steps], self._bend[steps]),
            scratch,
            self._turning_in(steps),
        ).reshape(-1)
        skipped = first * STEP_FRAMES
        piece = sound[start - skipped : stop - skipped]
        if self._noise is not None and start < NOISE_FRAMES:
            part = self._noise[start:stop]
            piece[: len(part)] += part
        piece *= self._gain
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
        self._first_step = _group_end(group - 1, self._tables.length)
        last = min(_group_end(group, self._tables.length), self._steps)
        low, high = _rows_of(self._first_step, last)
        self._tables.move_to(low, high, group)
        edges = np.array([row_step(row) for row in range(low, high + 1)])
        step = np.arange(self._first_step, last)
        self._row = edges.searchsorted(step, side="right") - 1
        gap = (edges[1:] - edges[:-1])[self._row]
        self._share = ((step - edges[self._row]) / gap).astype(np.float32)
        self._growth = (1.0 / (gap * STEP_FRAMES)).astype(np.float32)
        self._make_motion(self._first_step, last)

    def _make_motion(self, first: int, last: int) -> None:
        """Place in the table at each step, and the parabola on which it moves to the next.

        The parabola meets the exact phase at both ends, and bends as the pitch between them does.
        Where the path turns within a step, no parabola can follow it: there each frame's place is
        worked out.
        """
        times_s = np.arange(first, last + 1, dtype=np.float64) * _STEP_S
        points = self._tables.length
        hz, cycles = self._path.motion(times_s)
        per_frame = hz / SAMPLE_RATE
        bend = (per_frame[1:] - per_frame[:-1]) / (2.0 * STEP_FRAMES)
        velocity = (cycles[1:] - cycles[:-1]) / STEP_FRAMES - bend * STEP_FRAMES
        whole = np.floor(cycles[:-1])
        self._place = ((cycles[:-1] - whole) * points).astype(np.float32)
        self._velocity = (velocity * points).astype(np.float32)
        self._bend = (bend * points).astype(np.float32)
        self._turning, self._turning_place = self._turns(first, last, whole)

    def _turns(
        self, first: int, last: int, whole: NDArray[np.float64]
    ) -> tuple[NDArray[np.intp], Float32s]:
        """The steps, from `first` on, in which the path turns, and the places of their frames."""
        low, high = self._turn_steps.searchsorted((first, last))
        if low == high:
            return _NO_TURNS
        steps = self._turn_steps[low:high]
        frames = steps[:, None] * STEP_FRAMES + np.arange(STEP_FRAMES)
        cycles = self._path.cycles(frames / SAMPLE_RATE) - whole[steps - first, None]
        return steps - first, (cycles * self._tables.length).astype(np.float32)

    def _turning_in(self, steps: slice) -> tuple[NDArray[np.intp], Float32s] | None:
        if not len(self._turning):
            return None
        low, high = self._turning.searchsorted((steps.start, steps.stop))
        return self._turning[low:high] - steps.start, self._turning_place[low:high]


def _group_of(step: int, length: int) -> int:
    """The group of a step that reads tables of this length."""
    return 0 if step < _group_end(0, length) else 1 + step // GROUP_STEPS


def _group_end(group: int, length: int) -> int:
    """The step before which a group ends and the next begins."""
    if group == 0:
        return _FIRST_STEPS_IF_LARGE if length >= _LARGE_TABLE else GROUP_STEPS
    return max(group, 0) * GROUP_STEPS


def _rows_of(first: int, last: int) -> tuple[int, int]:
    """The first and the last table that the steps from `first` until before `last` read."""
    return row_before(first), row_before(last - 1) + 1


def _fill(
    maker: TableMaker, voice: Voice, path: PitchPath, brightness: float, tables: Float32s, row: int
) -> None:
    """Make tables from `row` on."""
    # The neighbours are needed to know up to which pitch each table will be read.
    rows = range(row - 1, row + len(tables) + 1)
    times_s = np.array([row_step(max(0, each)) for each in rows]) * _STEP_S
    hz = path.hz(times_s)
    maker.fill(
        tables,
        hz[1:-1],
        path.highest_hz_around(times_s)[1:-1],
        times_s[1:-1],
        voice.levels.factors(hz[1:-1], times_s[1:-1], brightness, maker.partials),
    )


class _Bent:
    """The tables of one stroke, wherever its pitch goes; only those of one group are held."""

    def __init__(self, voice: Voice, path: PitchPath, pluck_hz: float, brightness: float) -> None:
        self._voice, self._path, self._brightness = voice, path, brightness
        self._maker = TableMaker(
            voice.timbre, lowest_hz=path.lowest_hz, pluck_hz=pluck_hz, brightness=brightness
        )
        self.length = self._maker.length
        self._first_row = 0
        self.rows = self._maker.room(0)

    def move_to(self, low: int, high: int, group: int) -> None:
        """Have tables `low` to `high` in `rows`, shape (high + 1 - low, length + 1).

        Calls must go forward in time.
        """
        kept = self.rows[max(0, low - self._first_row) :].copy()
        self.rows = kept  # lets go of the others before there are more
        rows = self._maker.room(high + 1 - low)
        rows[: len(kept)] = kept
        fresh = rows[len(kept) :]
        if len(fresh):
            _fill(self._maker, self._voice, self._path, self._brightness, fresh, low + len(kept))
        self.rows, self._first_row = rows, low


class _Kept:
    """Tables that strokes of one pitch and brightness share: made once, for all that follow."""

    def __init__(self, voice: str, hz: float, brightness: float) -> None:
        self._stroke = voice, hz, brightness
        self.length = _kept_maker(*self._stroke).length
        self.rows = np.empty((0, self.length + 1), np.float32)

    def move_to(self, low: int, high: int, group: int) -> None:
        """As in `_Bent`, but of the whole group, of which a short stroke reads the beginning."""
        self.rows = _kept_tables(*self._stroke, group)


@lru_cache(maxsize=4)
def _kept_maker(voice: str, hz: float, brightness: float) -> TableMaker:
    return TableMaker(VOICES[voice].timbre, lowest_hz=hz, pluck_hz=hz, brightness=brightness)


@lru_cache(maxsize=8)
def _kept_tables(voice: str, hz: float, brightness: float, group: int) -> Float32s:
    """0.05 to 0.15 MB a group at the pitches of chikari strings, so that all take about 1 MB."""
    maker = _kept_maker(voice, hz, brightness)
    low, high = _rows_of(_group_end(group - 1, maker.length), _group_end(group, maker.length))
    tables = maker.room(high + 1 - low)
    _fill(maker, VOICES[voice], PitchPath(((0.0, 0.0),), sa_hz=hz), brightness, tables, low)
    tables.flags.writeable = False
    return tables
