"""Single-cycle tables of a string's sound at moments of its life, and how they are read.

A table holds one vibration, made by an inverse FFT from the partials' amplitudes, so nothing in
it can fold over. Tables stand at fixed moments (`row_steps`): close together at the pluck, where
the sound changes fast, wide apart later. Between two of them the sound is crossfaded; their
partials have the same phases, so this moves the partials' amplitudes in straight lines.
"""

from __future__ import annotations

import bisect
import math

import numpy as np
from numpy.typing import NDArray

from audio.voices.timbre import Float32s, Floats, Timbre

STEP_FRAMES = 64
"""Frames between two values of all that moves slowly (1.5 ms)."""
_WIDEST_STEPS = 64
"""Steps between tables once the sound has settled (93 ms)."""
_WIDENING = 0.3
"""By how much of its age the next table stands later, until `_WIDEST_STEPS` is reached."""
_POINTS_PER_PARTIAL = 28.4
"""Table length beside its highest partial, at least, for brightness 0. Reading between points in
straight lines weakens a partial k's nearest image by (k / length)²; so no image stands above
-90 dB (measured from MIDI 40 to 88)."""
_POINT_OCTAVES_PER_BRIGHTNESS = 0.7
"""Bright notes have stronger high partials, whose images lie nearer."""
_SHORTEST_TABLE = 1024
_POINTS_AT_ONCE = 1 << 13
"""Points of tables transformed at once: more would only ask for more memory."""


def _first_rows() -> tuple[int, ...]:
    rows = [0]
    while (gap := max(1, int(rows[-1] * _WIDENING))) < _WIDEST_STEPS:
        rows.append(rows[-1] + gap)
    return tuple(rows)


_FIRST_ROWS = _first_rows()


def row_step(row: int) -> int:
    """The step at which a table stands."""
    last = len(_FIRST_ROWS) - 1
    if row <= last:
        return _FIRST_ROWS[row]
    return _FIRST_ROWS[last] + (row - last) * _WIDEST_STEPS


def row_before(step: int) -> int:
    """The last table at or before a step."""
    last = len(_FIRST_ROWS) - 1
    if step < _FIRST_ROWS[last]:
        return bisect.bisect_right(_FIRST_ROWS, step) - 1
    return last + (step - _FIRST_ROWS[last]) // _WIDEST_STEPS


class TableMaker:
    """Makes tables of one timbre for pitches not below `lowest_hz`; `length` is their length."""

    def __init__(
        self, timbre: Timbre, *, lowest_hz: float, pluck_hz: float, brightness: float
    ) -> None:
        self._timbre = timbre
        self._brightness = brightness
        self._partials = timbre.partials(lowest_hz)
        per_partial = _POINTS_PER_PARTIAL * 2.0 ** (
            _POINT_OCTAVES_PER_BRIGHTNESS * max(0.0, brightness)
        )
        points = max(_SHORTEST_TABLE, self._partials * per_partial)
        self.length = 1 << math.ceil(math.log2(points))
        phases = timbre.phases(pluck_hz, partials=self._partials, brightness=brightness)
        # Reading between points in straight lines weakens partials by this much.
        droop = np.sinc(np.arange(1, self._partials + 1) / self.length) ** 2
        # A real signal's spectrum holds half of each amplitude; -90 degrees make sines of it.
        self._turns = (-0.5j / droop * np.exp(2j * np.pi * phases)).astype(np.complex64)

    @property
    def partials(self) -> int:
        """How many partials a table holds."""
        return self._partials

    def room(self, rows: int) -> Float32s:
        """Memory for so many tables, shape (rows, length + 1)."""
        return np.empty((rows, self.length + 1), np.float32)

    def fill(
        self, tables: Float32s, hz: Floats, highest_hz: Floats, age_s: Floats, gain: Floats
    ) -> None:
        """Make tables into `tables`; the last point of each repeats the first.

        `gain` is a factor on the partials, shape (rows, 1) or (rows, partials). `highest_hz` is
        the highest pitch at which each table will be read: partials that would then pass the
        timbre's `highest_hz` are left out.
        """
        amplitudes = self._timbre.amplitudes(
            hz, age_s, partials=self._partials, brightness=self._brightness
        )
        amplitudes *= gain
        k = np.arange(1, self._partials + 1)
        amplitudes[np.asarray(highest_hz)[:, None] * k > self._timbre.highest_hz] = 0.0
        at_once = max(1, _POINTS_AT_ONCE // self.length)
        for first in range(0, len(tables), at_once):
            some = slice(first, first + at_once)
            spectrum = np.zeros((len(amplitudes[some]), self._partials + 1), np.complex64)
            np.multiply(amplitudes[some], self._turns, out=spectrum[:, 1:])
            tables[some, :-1] = np.fft.irfft(spectrum, self.length, norm="forward")
        tables[:, -1] = tables[:, 0]


READ_STEPS = 96
"""How many steps are read at once, at most, so that all of it stays near the processor."""
READ_FRAMES = READ_STEPS * STEP_FRAMES


class Scratch:
    """Room for reading tables, kept between calls: asking for fresh memory costs more than sums."""

    def __init__(self) -> None:
        shape = (READ_STEPS + 1, STEP_FRAMES)  # a piece may begin and end within a step
        self.place = np.empty(shape, np.float32)
        self.whole = np.empty(shape, np.float32)
        self.index = np.empty(shape, np.intp)
        self.near = np.empty(shape, np.float32)
        self.far = np.empty(shape, np.float32)
        self.next_near = np.empty(shape, np.float32)


_FRAMES = np.arange(STEP_FRAMES, dtype=np.float32)


def read_tables(
    tables: Float32s,
    row: NDArray[np.intp],
    blend: tuple[Float32s, Float32s],
    motion: tuple[Float32s, Float32s, Float32s],
    scratch: Scratch,
    turning: tuple[NDArray[np.intp], Float32s] | None = None,
) -> Float32s:
    """The sound of consecutive steps, shape (steps, STEP_FRAMES), in memory of `scratch`.

    For each step, `row` is the table that it begins from, `blend` the share of the next table at
    its first frame and the growth of that share a frame, `motion` the place in the table, in
    points, as place + velocity·n + bend·n² over its frames n. `turning` are steps that move
    otherwise, and their places at each frame, shape (turning steps, STEP_FRAMES).

    Every operation acts on each sample by itself and rounds as IEEE 754 asks, so that the result
    does not depend on how many steps are read at once.
    """
    steps = len(row)
    width = tables.shape[1]
    length = width - 1
    place, whole, index = scratch.place[:steps], scratch.whole[:steps], scratch.index[:steps]
    near, far, later = scratch.near[:steps], scratch.far[:steps], scratch.next_near[:steps]
    start, velocity, bend = (values[:, None] for values in motion)

    np.multiply(bend, _FRAMES, out=place)
    place += velocity
    place *= _FRAMES
    place += start
    if turning is not None:
        place[turning[0]] = turning[1]
    np.floor(place, out=whole)
    place -= whole
    np.copyto(index, whole, casting="unsafe")
    index &= length - 1
    index += (row * width)[:, None]

    flat = tables.reshape(-1)
    flat.take(index, out=near, mode="clip")
    index += 1
    flat.take(index, out=far, mode="clip")
    far -= near
    far *= place
    near += far
    index += length
    flat.take(index, out=later, mode="clip")
    index += 1
    flat.take(index, out=far, mode="clip")
    far -= later
    far *= place
    later += far
    later -= near

    share, growth = (values[:, None] for values in blend)
    np.multiply(growth, _FRAMES, out=place)
    place += share
    later *= place
    near += later
    return near
