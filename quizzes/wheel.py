"""A cycle to be drawn as a wheel of matras, and how it turns with the sound.

Sam stands at the top and the wheel is read clockwise. All lengths are matras, exact.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from quizzes.talas.tala import Form


@dataclass(frozen=True, slots=True)
class Turning:
    """How a wheel turns while a score sounds, at one tempo.

    `begins_s` is the second of the score, its lead counted, at which the place `from_place`
    sounds; from there it goes on for `matras`.
    """

    begins_s: float
    from_place: Fraction
    matras: Fraction
    matras_per_min: Fraction

    def place_at(self, second: float, cycle: int) -> float | None:
        """The place that sounds at a second of the score; None before and after."""
        since = (second - self.begins_s) * float(self.matras_per_min) / 60.0
        if not 0.0 <= since < float(self.matras):
            return None
        return (float(self.from_place) + since) % cycle


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch laid along the wheel, such as a phrase of a tihai: from a place, so many matras,
    round more than once if need be. `kind` is "phrase" or "gap"."""

    start: Fraction
    matras: Fraction
    kind: str = "phrase"
    label: str = ""


@dataclass(frozen=True, slots=True)
class Wheel:
    """A cycle to be drawn.

    A `blind` one shows nothing of its form: as many unnamed points as it has matras, the first of
    them where the cue begins. `marked` are matras that stand out with what is said of them, such as
    (9, "khali"); `spans` are laid along it in their order.
    """

    form: Form
    blind: bool = False
    turning: Turning | None = None
    marked: tuple[tuple[int, str], ...] = ()
    spans: tuple[Span, ...] = ()

    @property
    def matras(self) -> int:
        return self.form.matras

    def still(self) -> Wheel:
        """The same without the light that turns."""
        return replace(self, turning=None)
