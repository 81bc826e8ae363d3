"""The drone: a tanpura of four strings as a loop without a seam.

The loop's length is a whole number of vibrations of every string, so each string runs through
the seam in phase, and what still rings at the end is wrapped into the beginning. The strings are
tuned just, whatever the cue is in. Level and timing are assumptions unless a source is named.
"""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

import numpy as np

from audio.format import SAMPLE_RATE
from audio.loudness import DRONE_BELOW_NOTE_LU, NOTE_LUFS, k_power, mean_power
from audio.score import Drone
from audio.voices.tables import READ_STEPS, STEP_FRAMES, Scratch, TableMaker, read_tables
from audio.voices.timbre import Float32s, Floats, Resonance, Timbre

TANPURA = Timbre(
    pluck_slope=1.2,
    slope_per_brightness=0.0,
    pluck_place=0.38,
    place_octaves_per_brightness=0.0,
    pluck_notch=0.3,
    loss_per_s=0.35,
    loss_per_s_khz=0.55,
    loss_per_s_khz2=0.1,
    band_gain=0.8,
    band_gain_per_brightness=1.0,
    band_from_hz=2200.0,
    band_to_hz=520.0,
    band_fall_s=1.3,
    band_octaves=0.55,
    band_rise_s=0.12,
    beat_depth=0.6,
    beat_full_at=5.0,
    beat_hz=(0.2, 1.4),
    highest_hz=9_000.0,
    low_cut_hz=290.0,
    resonances=(
        Resonance(180.0, 5.0, 1.4),
        Resonance(340.0, 5.0, 1.5),
        Resonance(640.0, 4.0, 1.5),
        Resonance(1500.0, 2.0, 1.4),
    ),
)
"""The strings of a tanpura, plucked with the flesh of the finger near the middle."""
_BUILT_FOR_SA_HZ = 138.59
"""The Sa for which the body above is meant; others have a body in proportion."""

FIRST_STRING = {"P": Fraction(3, 4), "m": Fraction(2, 3), "N": Fraction(15, 16)}
"""Just ratios to middle Sa of what the first string is tuned to, in the lower octave."""
_STRINGS = (Fraction(1), Fraction(1), Fraction(1, 2))
LOOP_S = 10.0
"""Wished length: two rounds of the strings."""
LONGEST_FRAMES = 500_000
"""2 MB of float32."""
_ROUNDS = 2
_PLUCKS = ((0.04, 0.05), (0.275, 0.285), (0.495, 0.5), (0.73, 0.725))
"""When each string is plucked in either round, as a share of the round: never quite alike."""
_LEVELS_DB = ((0.0, -0.6), (0.3, 0.8), (0.6, 0.1), (-1.6, -2.0))
_ATTACK_S = 0.05
"""The string slips off the finger."""
_TOUCH_S = 0.14
"""The finger stills the string before it plucks it again."""
_ROW_STEPS = 24
"""Steps between two tables (35 ms)."""


def strings(drone: Drone) -> tuple[Fraction, ...]:
    """The four strings as ratios to middle Sa, in the order in which they are plucked."""
    return (FIRST_STRING[drone.first], *_STRINGS)


def loop_frames(drone: Drone, *, sa_hz: float) -> int:
    """Frames near `LOOP_S` in which every string makes a whole number of vibrations.

    Of the lengths that would do, the one that rounding to whole frames mistunes least.
    """
    per_sa = Fraction(SAMPLE_RATE) / Fraction(sa_hz)
    unit = float(per_sa * math.lcm(*(ratio.denominator for ratio in strings(drone))))
    wished = LOOP_S * SAMPLE_RATE / unit
    counts = np.arange(int(wished * 0.9), int(wished * 1.1) + 1)
    counts = counts[(counts >= 1) & (counts * unit <= LONGEST_FRAMES)]
    error = np.abs(counts * unit - np.round(counts * unit)) / (counts * unit)
    return round(float(counts[int(np.argmin(error))]) * unit)


@lru_cache(maxsize=4)
def drone_loop(drone: Drone, *, sa_hz: float) -> Float32s:
    """One loop of the drone at its level, shape (n,), read-only; play it end to end."""
    frames = loop_frames(drone, sa_hz=sa_hz)
    loop = np.zeros(frames, np.float32)
    unit = round(frames * sa_hz / SAMPLE_RATE)
    scratch = Scratch()
    timbre = _built_for(sa_hz)
    for number, ratio in enumerate(strings(drone)):
        cycles = int(unit * ratio)
        _add_string(loop, timbre, number, cycles=cycles, scratch=scratch)
    size = 1 << (frames - 1).bit_length()
    spectrum = np.abs(np.fft.rfft(loop, size)) ** 2
    power = 2.0 * np.sum(k_power(np.fft.rfftfreq(size, 1.0 / SAMPLE_RATE)) * spectrum)
    wanted = mean_power(NOTE_LUFS - DRONE_BELOW_NOTE_LU + drone.level_db)
    loop *= np.float32(np.sqrt(wanted / (power / size / frames)))
    loop.flags.writeable = False
    return loop


def _built_for(sa_hz: float) -> Timbre:
    scale = sa_hz / _BUILT_FOR_SA_HZ
    peaks = tuple(replace(peak, hz=peak.hz * scale) for peak in TANPURA.resonances)
    return replace(TANPURA, low_cut_hz=TANPURA.low_cut_hz * scale, resonances=peaks)


def _add_string(
    loop: Float32s, timbre: Timbre, number: int, *, cycles: int, scratch: Scratch
) -> None:
    """Add one string, which makes `cycles` vibrations in the loop."""
    frames = len(loop)
    hz = cycles * SAMPLE_RATE / frames
    maker = TableMaker(timbre, lowest_hz=hz, pluck_hz=hz, brightness=0.0)
    steps = -(-frames // STEP_FRAMES)
    edges = np.arange(0, steps + _ROW_STEPS, _ROW_STEPS)
    times_s = edges * (STEP_FRAMES / SAMPLE_RATE)
    tables = _tables(maker, number, hz, times_s, frames / SAMPLE_RATE)
    step = np.arange(steps)
    # Strings start apart in phase, or their peaks would meet at every pluck.
    place = (step * STEP_FRAMES * cycles / frames + 0.37 * number) % 1.0 * maker.length
    velocity = np.full(steps, cycles / frames * maker.length, np.float32)
    still = np.zeros(steps, np.float32)
    share = (step % _ROW_STEPS / _ROW_STEPS).astype(np.float32)
    growth = np.full(steps, 1.0 / (_ROW_STEPS * STEP_FRAMES), np.float32)
    for first in range(0, steps, READ_STEPS):
        part = slice(first, min(first + READ_STEPS, steps))
        sound = read_tables(
            tables,
            step[part] // _ROW_STEPS,
            (share[part], growth[part]),
            (place[part].astype(np.float32), velocity[part], still[part]),
            scratch,
        ).reshape(-1)
        into = loop[first * STEP_FRAMES :][: len(sound)]
        into += sound[: len(into)]


def _tables(maker: TableMaker, number: int, hz: float, times_s: Floats, loop_s: float) -> Float32s:
    """The string's tables over the loop: every pluck's, each until the next one stills it."""
    round_s = loop_s / _ROUNDS
    plucks = [(turn + _PLUCKS[number][turn]) * round_s for turn in range(_ROUNDS)]
    total = np.zeros_like(maker.room(len(times_s)))
    for turn, pluck_s in enumerate(plucks):
        length_s = (plucks[(turn + 1) % _ROUNDS] - pluck_s) % loop_s
        age_s = (times_s - pluck_s) % loop_s
        gain = np.clip(age_s / _ATTACK_S, 0.0, 1.0)
        gain *= np.clip((length_s - age_s) / _TOUCH_S, 0.0, 1.0)
        gain *= 10.0 ** (_LEVELS_DB[number][turn] / 20.0)
        heard = gain > 0.0
        pitches = np.full(np.count_nonzero(heard), hz)
        tables = maker.room(len(pitches))
        maker.fill(tables, pitches, pitches, age_s[heard], gain[heard, None])
        total[heard] += tables
    return total
