"""What a palta is: a pattern of few swaras, run up and down; and the layouts of rhythm it takes."""

from __future__ import annotations

from dataclasses import dataclass

from audio.tuning import Swara

Shape = tuple[int, ...]
"""Degrees above the swara on which a group starts; the first is 0, and some may lie below."""

AFTER = ("on", "whole", "held")
"""How a group ends in a layout: the next one follows on at once; begins with the next matra; or a
matra later still, with the last swara held until then."""


@dataclass(frozen=True, slots=True)
class Layout:
    """A layout of rhythm.

    `matra` is what falls into one matra, in equal parts: `x` a swara, `-` the one before it held.
    """

    id: str
    name: str
    matra: str
    after: str
    source: str
    confidence: str

    @property
    def swaras_to_matra(self) -> int:
        return self.matra.count("x")


@dataclass(frozen=True, slots=True)
class Grade:
    """A step of difficulty; grades stand in order."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class Straight:
    """How a raga whose ways turn is run up and down in fast passages, without its turns."""

    id: str
    """The raga's."""
    up: tuple[Swara, ...]
    down: tuple[Swara, ...]
    confidence: str
    source: str


@dataclass(frozen=True, slots=True)
class Palta:
    """A pattern as it climbs, each group a degree above the one before it; on the way down it is
    mirrored: steps up are steps down there."""

    id: str
    name: str
    also: str
    """What a treatise calls it, or ""."""
    grade: str
    shape: Shape
    layouts: tuple[str, ...]
    """Ids of layouts that it takes, the usual one first."""
    source: str
    confidence: str

    @property
    def swaras(self) -> int:
        """How many strokes a group has."""
        return len(self.shape)

    @property
    def span(self) -> int:
        """How many degrees lie between its lowest and its highest swara."""
        return max(self.shape) - min(self.shape)
