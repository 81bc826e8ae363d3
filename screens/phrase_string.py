"""The string that a phrase is made on: a touch plays a swara, sliding on leads it to others."""

from __future__ import annotations

import time
from collections.abc import Sequence
from typing import Any

from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty

from audio.tuning import Swara
from screens.frets import fret_at
from screens.phrase import meend_span
from screens.sliding import Sliding
from screens.string import StringPad

LOWEST, HIGHEST = Swara.read("m,"), Swara.read("P'")
"""On the main string: open it is mandra Ma, and its last frets are those of tar Pa."""
BEYOND = 7
"""A finger that slides is at the next fret only when it is so far beyond the border, in dp, or a
fifth of the way to it."""
OF_ZONE = 0.2


class PhraseString(StringPad):
    """`on_path` is sent with the swaras of a finger that is down, as they come to be, and with
    whether it has been lifted. Arrow keys and Enter play single swaras."""

    __events__ = ("on_path",)

    slides = BooleanProperty(True)
    """Whether a slide is a meend; else the swara goes along with the finger."""
    room = NumericProperty(1)
    """How many more swaras there is room for."""

    def __init__(self, **kwargs: Any) -> None:
        self._sliding: Sliding | None = None
        super().__init__(**kwargs)

    def on_touch_down(self, touch: Any) -> bool:
        if not self.collide_point(*touch.pos) or touch.is_mouse_scrolling:
            return False
        swara = self._fret_under(touch)
        if self.is_open and swara and self._sliding is None:
            touch.grab(self)
            self._sliding = self._begin(swara)
            self._send(lifted=False)
        return True

    def on_touch_move(self, touch: Any) -> bool:
        if touch.grab_current is not self or self._sliding is None:
            return False
        swara = self._fret_along(touch, str(self._sliding.path[-1]))
        if not swara:
            return True
        if not self.slides:
            changed = swara != str(self._sliding.path[-1])
            self._sliding = self._begin(swara) if changed else self._sliding
        else:
            changed = self._sliding.to(Swara.read(swara), time.monotonic())
        if changed:
            self._send(lifted=False)
        return True

    def on_touch_up(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return False
        touch.ungrab(self)
        if self._sliding is not None:
            self._send(lifted=True)
        self._sliding, self.pressed = None, ""
        return True

    @property
    def too_far(self) -> bool:
        """Whether the finger has slid on beyond what a meend reaches."""
        return self._sliding is not None and self._sliding.too_far

    @property
    def is_open(self) -> bool:
        return bool(self.live and not self.disabled and self.room > 0)

    def _begin(self, swara: str) -> Sliding:
        most = int(self.room)
        return Sliding(Swara.read(swara), time.monotonic(), span=meend_span(), most=most)

    def _send(self, *, lifted: bool) -> None:
        assert self._sliding is not None
        self.pressed = str(self._sliding.path[-1])
        self.dispatch("on_path", tuple(self._sliding.path), lifted)

    def _fret_along(self, touch: Any, here: str) -> str:
        """The fret that a sliding finger has come to: it may stray beside the string, and stays
        where it is until it is well beyond the border."""
        place = min(1.0, max(0.0, self.place_at(*touch.pos)))
        for zone in self.zones():
            if str(zone.fret.swara) == here:
                beyond = min(dp(BEYOND) / self.length_px, OF_ZONE * (zone.end - zone.start))
                if zone.start - beyond <= place <= zone.end + beyond:
                    return here
        fret = fret_at(place, self.offered())
        return str(fret.swara) if fret else ""

    def answer(self, swara: str) -> bool:
        """Play this swara, as by a touch that is lifted at once; True if it could be."""
        if not self.is_open or swara not in self.choices:
            return False
        for lifted in (False, True):
            self.dispatch("on_path", (Swara.read(swara),), lifted)
        return True

    def offer(self, letters: Sequence[str], octaves: Sequence[int]) -> None:
        """Offer these swaras in these saptaks, as far as the string reaches; a finger that is down
        was meant for what was asked before."""
        self._sliding, self.pressed = None, ""
        semitones = [Swara.read(letter).semitone for letter in letters]
        swaras = [Swara(each, octave) for octave in octaves for each in semitones]
        self.ask([str(swara) for swara in swaras if LOWEST.steps <= swara.steps <= HIGHEST.steps])

    def on_path(self, path: tuple[Swara, ...], lifted: bool) -> None:
        """A finger has played these swaras."""
