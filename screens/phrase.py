"""A phrase as it is made: swaras and rests with their lengths, one of which is chosen.

Every change gives a new phrase whose line can be read: what can no more be there, as a meend that
would reach too far, falls away. Lengths are in matras.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate, pairwise
from typing import Any

from audio.line import HOLD, REST, Beat, Line, Part, Tone
from audio.ornaments import (
    GHASEET_DOWN,
    GHASEET_UP,
    GHASEETS,
    KRINTAN,
    MEEND_DOWN,
    MEEND_UP,
    MEENDS,
    SPARSH,
    ornaments,
)
from audio.sargam import FURTHEST_HAMMERED, MOST_TOUCHES, parse, write
from audio.tuning import Swara

ONE = Fraction(1)
FURTHEST_SAPTAK = 1
"""Of what is made: from mandra to tar."""
JOINED = {
    "meend": (MEEND_UP, MEEND_DOWN),
    "ghaseet": (GHASEET_UP, GHASEET_DOWN),
    "sparsh": (SPARSH, ""),
    "krintan": ("", KRINTAN),
}
"""By how a swara is reached, the sign on the way up and on the way down; "" where it cannot be."""

FIGURES = {
    Fraction(1, 4): "¼",
    Fraction(1, 3): "⅓",
    Fraction(1, 2): "½",
    Fraction(2, 3): "⅔",
    Fraction(3, 4): "¾",
}


def meend_span() -> int:
    """How many semitones a meend reaches from its fret."""
    return round(ornaments()["meend"].parameters["span"].most)


@dataclass(frozen=True, slots=True)
class Item:
    """A swara as it is played, a rest, or the chikari, and how long it lasts."""

    part: Part
    matras: Fraction = ONE

    @property
    def tone(self) -> Tone | None:
        return self.part if isinstance(self.part, Tone) else None


@dataclass(frozen=True, slots=True)
class Phrase:
    """The items, and which of them is chosen; -1 where there is none."""

    items: tuple[Item, ...] = ()
    at: int = -1

    @classmethod
    def read(cls, text: str) -> Phrase:
        """The phrase of a line of sargam, "" for none. Raises SargamError."""
        items = _items_of(parse(text)) if text.strip() else ()
        return cls(items, len(items) - 1)

    @property
    def text(self) -> str:
        """Its line; "" where there is nothing in it, or nothing but rests."""
        return write(line_of(self.items)) if self.count else ""

    @property
    def count(self) -> int:
        """How many swaras it has."""
        return sum(item.tone is not None for item in self.items)

    @property
    def chosen(self) -> Item | None:
        return self.items[self.at] if 0 <= self.at < len(self.items) else None

    @property
    def tone(self) -> Tone | None:
        """The tone that is chosen, if it is one."""
        return self.chosen.tone if self.chosen is not None else None

    @property
    def chain(self) -> str:
        """The line of the swara that is chosen with those from which it is reached; "" for none."""
        tone, begin = self.tone, self.at
        if tone is None:
            return ""
        while tone is not None and tone.by:
            begin -= 1
            tone = self.items[begin].tone
        return write(line_of(self.items[begin : self.at + 1]))

    def at_matra(self, matra: float) -> int:
        """Which item sounds so many matras after the beginning; -1 for none any more."""
        ends = accumulate(item.matras for item in self.items)
        return next((at for at, end in enumerate(ends) if matra < end), -1)

    # What is in it.

    def adding(self, swara: Swara, by: str = "") -> Phrase:
        """With one more swara of a matra after the one that is chosen, which is chosen then; `by`
        is a way of JOINED to reach it."""
        return self._with(Item(Tone(swara, _sign(by))))

    def sliding(self, path: Sequence[Swara]) -> Phrase:
        """With all of these more, each reached by meend from the one before."""
        phrase = self.adding(path[0])
        for swara in path[1:]:
            phrase = phrase.adding(swara, "meend")
        return phrase

    def resting(self) -> Phrase:
        """With a rest after what is chosen."""
        return self._with(Item(REST))

    def _with(self, item: Item) -> Phrase:
        here = self.at + 1
        items = (*self.items[:here], item, *self.items[here:])
        return Phrase(_mended(items), here)

    def without(self) -> Phrase:
        """Without what is chosen; then what was before it is."""
        items = (*self.items[: self.at], *self.items[self.at + 1 :]) if self.items else ()
        return Phrase(_mended(items), max(self.at - 1, min(0, len(items) - 1)))

    def choosing(self, at: int) -> Phrase:
        """With another item chosen, the nearest there is."""
        return replace(self, at=max(min(at, len(self.items) - 1), min(0, len(self.items) - 1)))

    # How what is chosen is played.

    def lasting(self, matras: Fraction) -> Phrase:
        """With what is chosen so long."""
        return self._changed(replace(self.chosen, matras=matras)) if self.chosen else self

    def playing(self, **changes: Any) -> Phrase:
        """With the fields of the tone that is chosen changed."""
        if self.chosen is None or self.tone is None:
            return self
        return self._changed(replace(self.chosen, part=replace(self.tone, **changes)))

    def _changed(self, item: Item) -> Phrase:
        items = (*self.items[: self.at], item, *self.items[self.at + 1 :])
        return replace(self, items=_mended(items))

    def shifted(self, way: int) -> Phrase:
        """With the swara that is chosen a saptak up (1) or down (-1)."""
        tone = self.tone
        if tone is None or abs(tone.swara.octave + way) > FURTHEST_SAPTAK:
            return self
        shift = {"swara": _by_saptaks(tone.swara, way)}
        if tone.shaken is not None:
            shift["shaken"] = _by_saptaks(tone.shaken, way)
        return self.playing(**shift)

    def reached(self, by: str) -> Phrase:
        """With the swara that is chosen reached by a way of JOINED, or, if it is so already, by a
        stroke of its own. The same phrase where it cannot be."""
        tone = self.tone
        if tone is None:
            return self
        is_so = bool(tone.by) and tone.by in JOINED[by]
        changed = self.playing(by="" if is_so else _sign(by), touches=())
        return changed if is_so or (changed.tone and changed.tone.by) else self

    def touching(self, *swaras: Swara) -> Phrase:
        """With more swaras touched before the one that is chosen; the same where they cannot be,
        since there are too many or the last is that one itself."""
        tone = self.tone
        touches = (*tone.touches, *swaras) if tone is not None else ()
        if tone is None or touches[-1:] == (tone.swara,) or len(touches) > MOST_TOUCHES:
            return self
        return self.playing(touches=touches, by="", shaken=None)

    def shaken_with(self, swara: Swara) -> Phrase:
        """With the swara that is chosen hammered with another; the same where that is too far."""
        tone = self.tone
        if tone is None or not 0 < abs(swara.steps - tone.swara.steps) <= FURTHEST_HAMMERED:
            return self
        low, high = sorted((swara, tone.swara), key=lambda each: each.steps)
        return self.playing(swara=low, shaken=high, touches=(), sway="")


def _sign(by: str) -> str:
    """A sign of this way to reach a swara; up or down is put right when it stands there."""
    return "".join(JOINED[by])[:2] if by == "ghaseet" else "".join(JOINED.get(by, ()))[:1]


def _by_saptaks(swara: Swara, way: int) -> Swara:
    return replace(swara, octave=swara.octave + way)


def _mended(items: Sequence[Item]) -> tuple[Item, ...]:
    """The items, each with what it can have after the one before it."""
    mended: list[Item] = []
    before: Swara | None = None
    pulled: list[int] = []
    for item in items:
        tone = item.tone
        if tone is None:
            before = None if item.part == REST else before
            mended.append(item)
            continue
        by = _join(tone.by, before, tone.swara, pulled)
        touches = () if by or tone.shaken else tone.touches
        if touches[-1:] == (tone.swara,):
            touches = touches[:-1]
        pulled = [*pulled, tone.swara.steps] if by in MEENDS else [tone.swara.steps]
        before = tone.swara
        tone = replace(tone, by=by, touches=touches)
        if by:  # it has no stroke of its own that could be stronger or brighter
            tone = replace(tone, loud=0, tone=0)
        mended.append(replace(item, part=tone))
    return tuple(mended)


def _join(by: str, before: Swara | None, swara: Swara, pulled: Sequence[int]) -> str:
    """The join that leads there in the way of `by`; "" where none does."""
    if not by or before is None or before == swara:
        return ""
    down = swara.steps < before.steps
    if by in MEENDS:
        steps = (*pulled, swara.steps)
        within = max(steps) - min(steps) <= meend_span()
        return JOINED["meend"][down] if within else ""
    way = "ghaseet" if by in GHASEETS else "sparsh" if by == SPARSH else "krintan"
    return JOINED[way][down]


def line_of(items: Sequence[Item]) -> Line:
    """The items in beats of a matra, what is left at the end a shorter one; where one that is no
    whole number of matras long goes on into another beat, each as a beat of its own."""
    ends = [Fraction(0), *accumulate(item.matras for item in items)]
    if any(end % 1 and math.ceil(end) < then for end, then in pairwise(ends)):
        return Line(tuple(Beat((item.part,), item.matras) for item in items))
    starts, whole = {}, Fraction(0)
    for item in items:
        starts[whole] = item.part
        whole += item.matras
    beats = []
    for matra in range(math.ceil(whole)):
        long = min(ONE, whole - matra)
        within = {at - matra: part for at, part in starts.items() if matra <= at < matra + long}
        grid = math.lcm(*((at / long).denominator for at in within))
        parts = tuple(within.get(long * step / grid, HOLD) for step in range(grid))
        beats.append(Beat(parts, long))
    return Line(tuple(beats))


def _items_of(line: Line) -> tuple[Item, ...]:
    items: list[Item] = []
    for beat in line.items:
        if not isinstance(beat, Beat):
            continue
        each = beat.matras / len(beat.parts)
        for part in beat.parts:
            if part == HOLD:
                items[-1] = replace(items[-1], matras=items[-1].matras + each)
            else:
                items.append(Item(part, each))
    return tuple(items)


def figure(matras: Fraction) -> str:
    """A length as it is written: "½", "1½", "2", else as a fraction."""
    whole, part = divmod(matras, 1)
    if part and part not in FIGURES:
        return str(matras)
    return f"{whole or ''}{FIGURES.get(part, '')}" or "0"
