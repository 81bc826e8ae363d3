"""The pad to answer on in time: one large plate, to be tapped along with the cue.

A tap counts from the beginning of the cue on; taps so close together that no hand makes them twice
count once, as two fingers that land together do. Some time after the cue has ended the taps go out
by themselves, unless more follow. By the keyboard T taps, while the space bar plays the cue again,
which begins anew. It never sounds itself: what is to be met is heard, and nothing else.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.floatlayout import FloatLayout

from audio.speakers import Playing
from quizzes.question import KEYS_APART, Question
from screens import theme
from screens.key_words import Said
from screens.look import load_kv, look
from screens.moments import Moments
from words import say, say_many, to_say

TAP_KEY = "t"
ONE_TAP_S = 0.06
"""Within so long after a tap there is no other: the fastest taps of one finger are about 100 ms
apart, and of two hands in turn hardly less than 70 (from memory)."""
SETTLE_S = 0.6
"""So long after the end of the cue, and after the last tap, the answer goes out."""
LEAST_HIGH, MOST_HIGH = 120, 420
"""How high the plate is, in dp."""

LISTEN_FIRST = to_say("Listen again, then tap along.")
NO_TAPS = to_say("No taps yet. Listen again and tap along.")


def taps_told(count: int) -> str:
    """In figures, since they run: `1 tap`, `12 taps`."""
    return say_many("{count} tap", "{count} taps", count)


class TapPlate(FloatLayout):
    """The plate; `on_tap` tells the `time.monotonic()` moment of each tap.

    It flashes with a tap: its ring is filled for a moment. It does so at once and not by degrees,
    since each frame that is drawn keeps the window from looking for touches.
    """

    __events__ = ("on_tap",)

    live = BooleanProperty(False)
    lit = BooleanProperty(False)
    radius = NumericProperty(1.0)
    ring_y = NumericProperty(0.0)
    """The middle of its ring, in pixels."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.moments = Moments()
        self._last: float | None = None
        self._dim = Clock.create_trigger(self._put_out, theme.FLASH_S)

    def do_layout(self, *arguments: Any) -> None:
        """The ring stands in the middle of what the words leave."""
        super().do_layout(*arguments)
        words = self.ids.words.height + dp(10)
        self.ring_y = self.y + words + (self.height - words) / 2
        self.radius = max(1.0, 0.32 * min(self.width, self.height - words))

    def _put_out(self, *_: Any) -> None:
        self.lit = False

    def on_live(self, *_: Any) -> None:
        self.moments.watch(self.live)
        self._last = None

    def on_touch_down(self, touch: Any) -> bool:
        if not self.collide_point(*touch.pos) or touch.is_mouse_scrolling:
            return False
        self.tap()
        return True

    def take_key(self, name: str) -> bool:
        """T taps; True if it was used."""
        if not self.live or name.lower() != TAP_KEY:
            return False
        self.tap()
        return True

    def tap(self) -> None:
        """Tap now, unless this belongs to the tap before."""
        moment = self.moments.now()
        if not self.live or (self._last is not None and moment - self._last < ONE_TAP_S):
            return
        self._last = moment
        self.lit = True
        self._dim.cancel()
        self._dim()
        self.dispatch("on_tap", moment)

    def on_tap(self, moment: float) -> None:
        """It was tapped."""


class TappingPad(BoxLayout):
    """Gathers taps while a cue sounds; `on_answer` is sent with their milliseconds, joined."""

    __events__ = ("on_answer",)

    live = BooleanProperty(False)
    """False while nothing can be tapped."""
    edge_px = NumericProperty(0.0)
    """Room all round its things, for the ring that shows where the keys stand."""
    told = StringProperty("")
    """How many taps there are, or what is to be done."""

    def __init__(self, **kwargs: Any) -> None:
        self._taps: list[int] = []
        self._playing: Playing | None = None
        self._length_s = 0.0
        self._ms_of: Callable[[float], int] = round
        self._tapped_at = 0.0
        self._sent = False
        self._minding: Any = None
        super().__init__(**kwargs)
        self.fbind("live", self._changed)

    @property
    def taps(self) -> tuple[int, ...]:
        """Those that count so far, in milliseconds of the cue's score."""
        return tuple(self._taps)

    @property
    def ended(self) -> bool:
        """Whether a cue has sounded to its end."""
        return self._playing is not None and self._playing.ended

    def ask(self, question: Question) -> None:
        """Wait for the cue of a question."""
        self._clear(None)

    def begin(self, playing: Playing, *, length_s: float, ms_of: Callable[[float], int]) -> None:
        """The cue begins, with no taps yet: it is `length_s` long, and at a `time.monotonic()`
        moment it is `ms_of` it."""
        self._length_s, self._ms_of = length_s, ms_of
        self._clear(playing)

    def _clear(self, playing: Playing | None) -> None:
        self._playing, self._sent = playing, False
        self._taps.clear()
        self._show()

    def _changed(self, *_: Any) -> None:
        if not self.live:
            self._clear(None)  # what was tapped of a cue that was left is no answer
        if self._minding is not None:
            self._minding.cancel()
        self._minding = Clock.schedule_interval(self._mind, 0) if self.live else None
        self._show()

    # Tapping and sending.

    def take(self, moment: float) -> None:
        """Count a tap, where the cue has begun by then."""
        playing = self._playing
        if playing is None or moment < playing.ends_at - self._length_s:
            return
        tap = self._ms_of(moment)
        if tap >= 0 and (not self._taps or tap > self._taps[-1]):
            self._taps.append(tap)
            self._tapped_at = moment
            self._show()

    def _mind(self, *_: Any) -> None:
        """Look whether the cue has ended, and whether it is time to send."""
        if not self.ended or self._sent:
            return
        self._show()
        assert self._playing is not None  # it has ended
        over_at = max(self._playing.ends_at, self._tapped_at)
        if self._taps and time.monotonic() > over_at + SETTLE_S:
            self.answer()

    def answer(self) -> None:
        """Send the taps, once the cue has ended."""
        if self.live and self.ended and self._taps:
            self._sent = True  # and should it not be kept, the plate sends it again
            self.dispatch("on_answer", KEYS_APART.join(map(str, self._taps)))

    def on_answer(self, line: str) -> None:
        """The student answered with `line`."""

    def take_key(self, name: str) -> bool:
        """A key of the keyboard; True if it was used."""
        return bool(self.ids.plate.take_key(name))

    def key_words(self) -> tuple[Said, ...]:
        """The key that taps."""
        return ((TAP_KEY.upper(), say("Tap")),)

    # Showing.

    def _show(self) -> None:
        count = len(self._taps)
        self.ids.plate.live = self.live and self._playing is not None
        if count:
            self.told = taps_told(count)
        elif self._playing is None:
            self.told = say(LISTEN_FIRST)
        else:
            self.told = say(NO_TAPS) if self.ended else say("Tap along.")
        closed = not (self.live and self.ended and self._taps)
        self.ids.answer.disabled, self.ids.answer.can_focus = closed, not closed

    def fit(self, width: float, room: float) -> None:
        """Lay it out in this width, in as much of the height `room` as it can use.

        The edge comes on top, on either side.
        """
        self.width = width + 2 * self.edge_px
        ids = self.ids
        below = ids.told.height + ids.foot.height + 2 * self.spacing
        least, most = dp(LEAST_HIGH) * look.room, dp(MOST_HIGH) * look.room
        ids.plate.height = min(most, max(least, room - below))
        self.height = ids.plate.height + below


load_kv("tapping")
