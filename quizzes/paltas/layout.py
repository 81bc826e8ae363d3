"""A run of a palta laid out in rhythm, as a line of sargam."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from audio.line import HOLD, Beat, Line, Part, Tone
from audio.tuning import Swara
from quizzes.paltas.palta import Layout


def lay(groups: Iterable[Sequence[Swara]], layout: Layout) -> Line:
    """The groups one after another, one matra a beat; what the last matra lacks is held."""
    parts: list[Part] = []
    for group in groups:
        for swara in group:
            parts += _next(parts, layout.matra, swara)
        if layout.after != "on":
            parts += _held(parts, layout.matra)
        if layout.after == "held":
            parts += [HOLD] * len(layout.matra)
    parts += _held(parts, layout.matra)
    size = len(layout.matra)
    return Line(tuple(_beat(parts[begun : begun + size]) for begun in range(0, len(parts), size)))


def _next(parts: Sequence[Part], matra: str, swara: Swara) -> list[Part]:
    """What is held until the next swara may be struck, and that swara."""
    held: list[Part] = []
    while matra[(len(parts) + len(held)) % len(matra)] != "x":
        held.append(HOLD)
    return [*held, Tone(swara)]


def _held(parts: Sequence[Part], matra: str) -> list[Part]:
    """To the end of a matra that has begun."""
    return [HOLD] * (-len(parts) % len(matra))


def _beat(parts: Sequence[Part]) -> Beat:
    """Parts that are all held are one."""
    return Beat((HOLD,) if all(part == HOLD for part in parts) else tuple(parts))
