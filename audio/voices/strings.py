"""The other strings of a sitar: the chikari, the bare playing string, the tarab.

All numbers are assumptions, as in `timbre`, unless a source is named.
"""

from __future__ import annotations

from dataclasses import replace

from audio.voices.timbre import SITAR

STRING = replace(SITAR, low_cut_hz=20.0, resonances=(), phases_of=SITAR)
"""The playing string as it leaves the bridge, without the colour of the body."""

CHIKARI = replace(
    SITAR,
    pluck_slope=0.5,
    pluck_place=0.09,
    loss_per_s=0.3,
    loss_per_s_khz=0.25,
    loss_per_s_khz2=0.05,
    band_gain=0.5,
    band_from_hz=6500.0,
    band_to_hz=2600.0,
    band_fall_s=1.2,
    beat_depth=0.7,
    beat_full_at=4.0,
    highest_hz=14_000.0,
    low_cut_hz=220.0,
)
"""The two thin, high drone strings, plucked close to the bridge and never stopped by a finger.

Brighter than the playing string and longer ringing: thin steel loses less to the air and to the
finger (common practice: they ring through a jhala).
"""

TARAB = replace(
    STRING,
    pluck_slope=0.7,
    slope_per_brightness=0.0,
    pluck_place=0.3,
    place_octaves_per_brightness=0.0,
    pluck_notch=0.6,
    loss_per_s=0.35,
    loss_per_s_khz=0.5,
    loss_per_s_khz2=0.05,
    band_gain=0.6,
    band_gain_per_brightness=1.0,
    band_from_hz=3200.0,
    band_to_hz=1500.0,
    band_fall_s=1.5,
    beat_depth=0.8,
    beat_hz=(0.4, 2.4),
    rise_s=0.18,
    phase_shift=0.25,
)
"""Strings that nobody strikes: they take up what the playing string sounds, and keep it longer.

They swing a quarter of a vibration beside the playing string, as what is driven at its own pitch
does. So neither strengthens or weakens the other, whatever the pitch, and their powers add up.
"""
