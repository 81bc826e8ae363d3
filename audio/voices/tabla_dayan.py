"""The dayan, the right-hand drum of a tabla pair: its nine modes, and which of them each stroke
lets ring.

The paste on its head brings nine modes into five harmonic groups (Raman & Kumar 1920, Nature 104,
500; Raman 1934, Proc. Indian Acad. Sci. A1, 179; which mode falls in which group is from memory).
A mode (d, c) has d nodal diameters and c nodal circles. Modes of a group, and the two planes of
one mode, are never quite alike, since the head is never loaded evenly: hence slow beats.

What the fingers do: na is struck on the rim while the ring finger rests on the edge of the paste,
along a diameter, so that only modes with a node there live and the fundamental is stopped. Tin is
struck further in, more softly, with the same finger down. Tun is struck in the middle with nothing
down: modes without diameters, above all the fundamental. Ti (te), ra and the closed ta (tta) leave
the fingers on the head, and it hardly rings (playing handbooks agree: common practice).

Every level, time, share and frequency here is an assumption, as are the small deviations from
whole numbers: no measured set was found.
"""

from __future__ import annotations

import math

from audio.tuning import SITAR_SA_HZ
from audio.voices.tabla_head import Contact, HeadStroke, Mode, steady_tone, struck
from audio.voices.timbre import Float32s

NEAR_HZ = SITAR_SA_HZ
"""C sharp 4: the dayan is tuned to the Sa nearest to it, as for a sitar (common practice)."""

RATIOS = {
    "01": (1.0,),
    "11": (1.998, 2.003),
    "21": (2.996, 3.004),
    "02": (3.006,),
    "31": (3.992, 4.006),
    "12": (4.01,),
    "41": (4.985, 5.01),
    "22": (5.015,),
    "03": (5.03,),
}
"""Each mode's frequencies beside the pitch: groups of one, one, two, two and three modes."""
OPPOSED = frozenset({"02", "31", "22", "03"})
"""Modes that push the air the other way at first: of all choices that with the lowest peaks."""
_SECOND_PLANE_DB = -5.0
"""A blow drives one of the two planes more than the other."""


def _modes(**rings: tuple[float, float]) -> tuple[Mode, ...]:
    """`m21=(-3.0, 0.1)`: mode (2, 1) at -3 dB with an e-fold time of 0.1 s."""
    return tuple(
        Mode(ratio, level_db + plane * _SECOND_PLANE_DB, ring_s, opposed=name[1:] in OPPOSED)
        for name, (level_db, ring_s) in rings.items()
        for plane, ratio in enumerate(RATIOS[name[1:]])
    )


_CLOSED_S = 0.011
"""How long a head rings under the fingers."""

STROKES = {
    "na": HeadStroke(
        _modes(
            m01=(-30.0, 0.04),
            m11=(0.0, 0.16),
            m21=(-1.0, 0.13),
            m02=(-14.0, 0.05),
            m31=(-5.0, 0.09),
            m12=(-16.0, 0.04),
            m41=(-9.0, 0.06),
            m22=(-18.0, 0.03),
            m03=(-24.0, 0.03),
        ),
        Contact(2_200.0, 8_000.0, 0.004, 0.03, seed=1),
        level_lu=-5.8,
    ),
    "tin": HeadStroke(
        _modes(
            m01=(-16.0, 0.06),
            m11=(0.0, 0.2),
            m21=(-13.0, 0.12),
            m02=(-20.0, 0.05),
            m31=(-24.0, 0.06),
            m12=(-26.0, 0.04),
            m41=(-32.0, 0.04),
            m22=(-34.0, 0.03),
            m03=(-36.0, 0.03),
        ),
        Contact(900.0, 3_000.0, 0.004, 0.03, seed=2),
        level_lu=-7.8,
    ),
    "tun": HeadStroke(
        _modes(
            m01=(0.0, 0.24),
            m11=(-24.0, 0.1),
            m21=(-30.0, 0.07),
            m02=(-14.0, 0.11),
            m31=(-36.0, 0.05),
            m12=(-32.0, 0.05),
            m41=(-40.0, 0.04),
            m22=(-38.0, 0.04),
            m03=(-22.0, 0.07),
        ),
        Contact(500.0, 2_000.0, 0.005, 0.04, seed=3),
        level_lu=-7.3,
    ),
    "ti": HeadStroke(
        _modes(m01=(-4.0, _CLOSED_S), m02=(0.0, _CLOSED_S), m03=(-3.0, _CLOSED_S)),
        Contact(900.0, 2_600.0, 0.007, 0.7, seed=4),
        level_lu=-15.2,
    ),
    "ra": HeadStroke(
        _modes(m11=(-6.0, _CLOSED_S), m21=(0.0, _CLOSED_S), m12=(-2.0, _CLOSED_S)),
        Contact(2_600.0, 6_500.0, 0.005, 0.75, seed=5),
        level_lu=-16.0,
    ),
    "tta": HeadStroke(
        _modes(m01=(0.0, _CLOSED_S), m11=(-4.0, _CLOSED_S), m21=(-8.0, _CLOSED_S)),
        Contact(350.0, 5_500.0, 0.009, 0.6, seed=6),
        level_lu=-14.7,
    ),
}
"""The strokes of the right hand."""


def dayan_hz(sa_hz: float) -> float:
    """The Sa to which the dayan is tuned: the octave of `sa_hz` nearest to C sharp 4."""
    return sa_hz * 2.0 ** round(math.log2(NEAR_HZ / sa_hz))


def dayan_sound(stroke: str, *, sa_hz: float) -> Float32s:
    """One stroke of `STROKES`, shape (frames,), read-only."""
    head = STROKES[stroke]
    return struck(head, steady_tone(head, dayan_hz(sa_hz)))
