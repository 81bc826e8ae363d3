"""A wish for a phrase, as data: parts, each of which is kept or not.

begins N,          the first swara, which sounded
count 5            so many swaras, three of them different at least; `count 4-8` from so many to
                   so many
ends G             the letter of the last swara
meend 1            so many strokes drawn with meend
reaches mandra     a swara below Sa; `reaches tar`, tar Sa or above
own 3              so many swaras in a row as the raga has them in its ways or phrases
apart deshkar      something in it tells it from this raga
takes-up 3         so many swaras of the given phrase in a row, in whichever saptak
swaras same        the swaras of the given phrase; `swaras lower`, or all of them an octave lower
graver 2           so many signs of a graver mood beside the given phrase, and none the other way
only timing        of how it is treated nothing differs from the given phrase but this
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Part:
    """One thing that is wished for."""

    what: str
    value: str


@dataclass(frozen=True, slots=True)
class Wish:
    """What is wished; `given` is the phrase that is answered or varied, in sargam, if any."""

    parts: tuple[Part, ...]
    given: str = ""

    def as_json(self) -> dict[str, Any]:
        return {"parts": [[each.what, each.value] for each in self.parts], "given": self.given}

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Wish:
        return cls(tuple(Part(what, value) for what, value in data["parts"]), data["given"])

    def value(self, what: str) -> str:
        """Of the first part of this sort; "" where there is none."""
        return next((part.value for part in self.parts if part.what == what), "")


def wish_of(given: str = "", /, **parts: str | int) -> Wish:
    """Such as `wish_of(begins="S", count=4)`; `_` stands for `-` in the name of a part."""
    made = (Part(what.replace("_", "-"), str(value)) for what, value in parts.items())
    return Wish(tuple(made), given)
