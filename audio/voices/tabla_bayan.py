"""The bayan, the left-hand drum of a tabla pair: ge, whose pitch the heel of the hand bends, and
flat slaps.

It is tuned low and is not changed with Sa: here it always stands at `BAYAN_HZ`. In ge the fingers
strike the open head and the heel, resting on it, presses: the head tightens and its pitch rises
(common practice). In ke (ka, ki) and kat the whole hand lies down flat and nothing rings. The modes
of its head, with the paste off the middle (Ramakrishna 1957, J. Acoust. Soc. Am. 29, 234), are here
near whole numbers. All numbers are assumptions.
"""

from __future__ import annotations

import numpy as np

from audio.format import SAMPLE_RATE
from audio.voices.tabla_head import Contact, HeadStroke, Mode, bent_tone, steady_tone, struck
from audio.voices.timbre import Float32s, Floats

BAYAN_HZ = 92.0
"""Pitch of the head before the heel presses."""
BEND_CENTS = 320.0
"""How far the heel raises it."""
BEND_FROM_S = 0.035
"""When, after the blow, it begins to press."""
BEND_S = 0.16
"""For how long the pitch moves; then it stays."""

_SLAPPED_S = 0.014

STROKES = {
    "ge": HeadStroke(
        (
            # Against the dayan's, so that the two drums struck at once peak less.
            Mode(1.0, 0.0, 0.24, opposed=True),
            Mode(2.02, -10.0, 0.14, opposed=True),
            Mode(2.97, -17.0, 0.09, opposed=True),
            Mode(4.03, -24.0, 0.06, opposed=True),
        ),
        Contact(250.0, 1_600.0, 0.006, 0.06, seed=11),
        level_lu=-5.8,
    ),
    "ke": HeadStroke(
        (Mode(1.6, 0.0, _SLAPPED_S), Mode(2.9, -2.0, _SLAPPED_S), Mode(4.6, -6.0, _SLAPPED_S)),
        Contact(500.0, 1_500.0, 0.01, 0.7, seed=12),
        level_lu=-14.2,
    ),
    "kat": HeadStroke(
        (Mode(1.6, 0.0, 0.02), Mode(2.9, -2.0, 0.02), Mode(4.6, -6.0, 0.02)),
        Contact(300.0, 4_500.0, 0.02, 0.75, seed=13),
        level_lu=-11.6,
    ),
}
"""The strokes of the left hand."""


def bend_hz(age_s: Floats) -> Floats:
    """The pitch of ge at each time after the blow: it moves without a corner."""
    share = np.clip((age_s - BEND_FROM_S) / BEND_S, 0.0, 1.0)
    moved = share * share * (3.0 - 2.0 * share)
    return np.asarray(BAYAN_HZ * 2.0 ** (BEND_CENTS / 1200.0 * moved))


def bayan_sound(stroke: str) -> Float32s:
    """One stroke of `STROKES`, shape (frames,), read-only."""
    head = STROKES[stroke]
    if stroke == "ge":
        return struck(head, bent_tone(head, bend_hz(np.arange(head.frames) / SAMPLE_RATE)))
    return struck(head, steady_tone(head, BAYAN_HZ))
