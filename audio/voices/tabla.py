"""The tabla: bols as strokes on one or both drums, made once and kept.

A bol is a stroke on the dayan (`tabla_dayan`), on the bayan (`tabla_bayan`), or on both at once.
Several names may mean one sound; handbooks spell differently, and hands differ in finer things.
A new stroke on a drum ends what that drum still sounded: the hand lands on the head, and by the
time of the blow the older sound is gone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache

import numpy as np

from audio.errors import AudioError
from audio.score import TablaStroke
from audio.voices import tabla_bayan, tabla_dayan
from audio.voices.timbre import Float32s

STOP_FRAMES = 265
"""6 ms before a blow, in which the drum falls silent under the landing hand (assumption)."""

DRUMS = ("dayan", "bayan")

SOUNDS: dict[str, tuple[str, str]] = {
    "na": ("na", ""),
    "tin": ("tin", ""),
    "tun": ("tun", ""),
    "ti": ("ti", ""),
    "ra": ("ra", ""),
    "tta": ("tta", ""),
    "ge": ("", "ge"),
    "ke": ("", "ke"),
    "kat": ("", "kat"),
    "dha": ("na", "ge"),
    "dhin": ("tin", "ge"),
    "dhun": ("tun", "ge"),
    "dhe": ("tta", "ge"),
}
"""Each bol that has a sound of its own: the stroke on the dayan and that on the bayan."""

SYNONYMS = {
    "ta": "na",
    "ne": "na",
    "tu": "tun",
    "thun": "tun",
    "thu": "tun",
    "din": "tun",
    "den": "tun",
    "di": "tun",
    "te": "ti",
    "tit": "ti",
    "tet": "ti",
    "re": "ra",
    "ri": "ra",
    "da": "ra",
    "ga": "ge",
    "gi": "ge",
    "ghe": "ge",
    "gha": "ge",
    "ghi": "ge",
    "ka": "ke",
    "ki": "ke",
    "dhi": "dhin",
    "dhee": "dhin",
    "dhu": "dhun",
    "dhum": "dhun",
    "dhet": "dhe",
    "dhit": "dhe",
}
"""Other names of these (common practice). The ta that stands for itself is the open one, struck
as na; the closed one inside tirakita is written tta. The long ti of printed thekas is tin."""

BOLS = tuple(sorted({*SOUNDS, *SYNONYMS}))
"""Every bol that can be played."""


def sound_of(bol: str) -> str:
    """The bol of `SOUNDS` that is heard for `bol`. Raises AudioError where there is none."""
    name = SYNONYMS.get(bol, bol)
    if name not in SOUNDS:
        raise AudioError(f"no bol of the tabla is called {bol!r}; there are: {', '.join(BOLS)}")
    return name


def _strokes(bol: str) -> list[tuple[str, str]]:
    """Drum and stroke for each drum that a bol strikes."""
    return [pair for pair in zip(DRUMS, SOUNDS[sound_of(bol)], strict=True) if pair[1]]


def _drum_frames(drum: str, stroke: str) -> int:
    strokes = tabla_dayan.STROKES if drum == "dayan" else tabla_bayan.STROKES
    return strokes[stroke].frames


def tabla_frames(bol: str) -> int:
    """How long a bol sounds when nothing stops it."""
    return max(_drum_frames(drum, stroke) for drum, stroke in _strokes(bol))


RING_FRAMES = max(tabla_frames(bol) for bol in SOUNDS)
"""Room for the ring of any stroke: a score is equally long whichever bol comes last."""


def _drum_sound(drum: str, stroke: str, sa_hz: float) -> Float32s:
    return _dayan(stroke, sa_hz) if drum == "dayan" else _bayan(stroke)


@lru_cache(maxsize=24)
def _dayan(stroke: str, sa_hz: float) -> Float32s:
    return tabla_dayan.dayan_sound(stroke, sa_hz=sa_hz)


@lru_cache(maxsize=8)
def _bayan(stroke: str) -> Float32s:
    return tabla_bayan.bayan_sound(stroke)


def warm_up() -> None:
    """Make what does not hang on Sa beforehand."""
    for stroke in tabla_bayan.STROKES:
        _bayan(stroke)


class DrumStroke:
    """One stroke on one drum as it sounds, until it dies away or the drum is struck again.

    `until` is the frame, counted from its onset, at which the drum is struck again; `frames` is
    how long it sounds. `gain` is a factor on the whole.
    """

    def __init__(self, drum: str, stroke: str, *, sa_hz: float, until: int, gain: float) -> None:
        self._sound = _drum_sound(drum, stroke, sa_hz)
        self._stops = until - STOP_FRAMES
        self._gain = np.float32(gain)
        self.frames = min(len(self._sound), until)

    def add_to(self, out: Float32s, start: int) -> None:
        """Add the frames from `start` on, counted from the onset, to `out`, as many as fit."""
        stop = min(start + len(out), self.frames)
        piece = self._sound[start:stop] * self._gain
        if stop > self._stops:
            touched = max(start, self._stops)
            piece[touched - start :] *= _STOP[touched - self._stops : stop - self._stops]
        out[: stop - start] += piece


_STOP = (0.5 + 0.5 * np.cos(np.pi * (np.arange(STOP_FRAMES) + 0.5) / STOP_FRAMES)).astype(
    np.float32
)


class Hit:
    """Where one stroke on one drum stands in the whole: cheap, until it is begun."""

    __slots__ = ("_drum", "_level_db", "_stroke", "_until", "onset")

    def __init__(self, onset: int, until: int, drum: str, stroke: str, level_db: float) -> None:
        self.onset = onset
        self._until, self._drum, self._stroke, self._level_db = until, drum, stroke, level_db

    def begin(self, *, sa_hz: float, gain: float) -> DrumStroke:
        return DrumStroke(
            self._drum,
            self._stroke,
            sa_hz=sa_hz,
            until=self._until - self.onset,
            gain=gain * float(10.0 ** (self._level_db / 20.0)),
        )


def hits(strokes: Sequence[tuple[int, TablaStroke]]) -> list[Hit]:
    """The strokes on each drum, given with their frames, by onset.

    Of several on one drum at one frame the last counts. Raises AudioError for an unknown bol.
    """
    return sorted(_hits(strokes), key=lambda hit: hit.onset)


def _hits(strokes: Sequence[tuple[int, TablaStroke]]) -> Iterator[Hit]:
    next_on = dict.fromkeys(DRUMS, 1 << 62)
    for onset, struck in sorted(strokes, key=lambda pair: pair[0])[::-1]:
        for drum, stroke in _strokes(struck.bol):
            if onset < next_on[drum]:
                yield Hit(onset, next_on[drum], drum, stroke, struck.level_db)
                next_on[drum] = onset
