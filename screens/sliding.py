"""What a finger plays that slides along the string: where it began, turned, stayed and left."""

from __future__ import annotations

from audio.tuning import Swara

STAYS_S = 0.3
"""A fret on which a finger has stayed so long is a swara of its own on the way (our choice)."""
SLIPS_S = 0.12
"""A turn to the next fret and back within this is no turn: a finger is broad (our choice)."""


class Sliding:
    """One finger, from `swara` at a moment in seconds on. Its swaras lie within `span` semitones,
    at most `most` of them; where it slides on beyond, the last that it could have stays."""

    def __init__(self, swara: Swara, moment: float, *, span: int, most: int) -> None:
        self.path = [swara]
        self.beyond = False
        """Whether the finger is where this path may not lead."""
        self.too_far = False
        """Whether that is since it lies too far away."""
        self._since, self._span, self._most = moment, span, most

    def to(self, swara: Swara, moment: float) -> bool:
        """The finger is at a fret now: whether that has changed the path."""
        if swara == self.path[-1]:
            self.beyond = self.too_far = False
            return False
        path = self._led_to(swara, moment - self._since)
        steps = [one.steps for one in path]
        self.too_far = max(steps) - min(steps) > self._span
        self.beyond = self.too_far or len(path) > self._most
        if self.beyond:
            return False
        self.path, self._since = path, moment
        return True

    def _led_to(self, swara: Swara, stayed_s: float) -> list[Swara]:
        *before, last = self.path
        if not before:
            return [last, swara]
        if swara == before[-1] and stayed_s < SLIPS_S:
            return before
        turns = (swara.steps > last.steps) != (last.steps > before[-1].steps)
        return [*before, last, swara] if turns or stayed_s >= STAYS_S else [*before, swara]
