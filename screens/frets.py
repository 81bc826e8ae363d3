"""Where the frets of one string stand, and which stretch of it a touch belongs to.

A string of length L, stopped so that it sounds `cents` above its open note, is stopped at
L(1 - 2^(-cents/1200)) from the nut (the length that sounds is inversely proportional to the
frequency; Mersenne's law, 1636). Shown is one saptak of it, from its Sa to the Sa above, stretched
to fill the room: places are given from 0.0, the lower Sa, to 1.0, the upper.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from audio.tuning import SWARAS, Swara, Tuning
from words import to_say

END_ROOM = 0.03
"""How far beyond its two outer frets the string shown reaches, as a part of the stretch."""

MANDRA, MADHYA, TAR = -1, 0, 1
SAPTAK_NAMES = {MANDRA: to_say("Mandra"), MADHYA: to_say("Madhya"), TAR: to_say("Tar")}
"""To be said."""


@dataclass(frozen=True, slots=True)
class Fret:
    """One fret of the saptak shown; `place` runs from 0.0 at its Sa to 1.0 at the Sa above."""

    swara: Swara
    place: float


@dataclass(frozen=True, slots=True)
class Zone:
    """The stretch of string, from `start` to `end` in places, in which a touch takes `fret`."""

    fret: Fret
    start: float
    end: float


def place_of(cents: float) -> float:
    """Where a fret stands that sounds `cents` (0 to 1200) above the lower Sa of the saptak."""
    return 2.0 * (1.0 - 2.0 ** (-cents / 1200.0))


def frets_of(tuning: Tuning, octave: int) -> tuple[Fret, ...]:
    """The thirteen frets of one saptak, from Sa to the Sa above."""
    swaras = [Swara(semitone, octave) for semitone in range(len(SWARAS))]
    swaras.append(Swara(0, octave + 1))
    below = 1200.0 * octave
    return tuple(Fret(swara, place_of(tuning.cents_of(swara) - below)) for swara in swaras)


def zones_of(frets: Sequence[Fret]) -> tuple[Zone, ...]:
    """Share the string among the frets offered, each border midway between two neighbours.

    The outer zones reach `END_ROOM` beyond the saptak. `frets` rise in place.
    """
    if not frets:
        return ()
    places = [fret.place for fret in frets]
    borders = [(a + b) / 2 for a, b in pairwise(places)]
    starts, ends = [-END_ROOM, *borders], [*borders, 1.0 + END_ROOM]
    return tuple(Zone(f, s, e) for f, s, e in zip(frets, starts, ends, strict=True))


def fret_at(place: float, frets: Sequence[Fret]) -> Fret | None:
    """The fret whose zone holds `place`, or None beyond the string shown."""
    for zone in zones_of(frets):
        if zone.start <= place < zone.end:
            return zone.fret
    return None


def octaves_of(swaras: Sequence[Swara]) -> tuple[int, ...]:
    """Which saptaks are needed to show all these swaras, from low to high.

    The Sa above is part of the saptak below it, so that S to S' needs one saptak only.
    """
    inner = {swara.octave for swara in swaras if swara.semitone != 0}
    for swara in sorted(swaras):
        if swara.semitone == 0 and not inner & {swara.octave, swara.octave - 1}:
            inner.add(swara.octave)
    return tuple(sorted(inner)) or (MADHYA,)
