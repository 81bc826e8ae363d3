"""A screen with fields of sargam: while one is written in, its keypad stands at the foot."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import BooleanProperty, ObjectProperty, StringProperty

from audio.speakers import Playing
from practice import Practice
from screens.hearing import NOTHING, hear
from screens.keys import KaanScreen
from screens.look import look
from screens.roll import Roll
from screens.sargam_field import SargamField
from screens.sargam_pad import SargamPad

MINDED_S = 0.1
SETTLES_S = 0.1
"""So long after the keypad has come everything has its place."""
BELOW = 64
"""So much below the field, in dp, is kept on view."""


class StayingRoll(Roll):
    """What is on view stays where it is when the keypad comes or goes, or something grows below it:
    a finger that is just touching it would else miss it."""

    def __init__(self, **kwargs: Any) -> None:
        self._rolled, self._room = 0.0, (0.0, 0.0)
        # How far it is rolled, in pixels, and how high it and what is in it were then.
        super().__init__(**kwargs)
        self._stays = Clock.create_trigger(self._stay, -1)
        self.bind(scroll_y=self._note_rolled)
        for name in ("height", "viewport_size"):
            self.fbind(name, self._stays)

    def _note_rolled(self, *_: Any) -> None:
        if (self.height, self.viewport_size[1]) == self._room:  # else it moves by itself
            self._rolled = (1.0 - self.scroll_y) * max(0.0, self._room[1] - self._room[0])

    def _stay(self, *_: Any) -> None:
        self._room = self.height, self.viewport_size[1]
        beyond = self._room[1] - self._room[0]
        if beyond > 0.0:
            self.scroll_y = 1.0 - min(1.0, self._rolled / beyond)

    def scroll_to(self, *args: Any, **kwargs: Any) -> None:
        """Bring something on view, and stay there."""
        super().scroll_to(*args, **kwargs)
        self._room = self.height, self.viewport_size[1]
        self._note_rolled()

    def to_top(self) -> None:
        super().to_top()
        self._rolled = 0.0


class Padded(KaanScreen):
    """Its kv file has `roll`, what rolls; `low`, a box at its foot; and in that `foot`, what stands
    there while nothing is written. A subclass says in `hear_line` how a line is played, by
    `listen`."""

    practice: Practice
    trouble = StringProperty("")
    sounding = BooleanProperty(False)
    """Whether something that was to be heard still sounds."""
    writing = ObjectProperty(None, allownone=True)
    """The field of sargam that is written in, if any."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._playing: Playing | None = None
        self._minding = Clock.create_trigger(self._mind, MINDED_S, interval=True)
        self._foot = self.ids.foot.__self__
        self.pad = SargamPad()
        self.bind(sounding=self.pad.setter("sounding"))
        self.pad.bind(on_hear=lambda _: self.hear_written(), on_done=lambda _: self.put_pad_away())
        self.bind(height=self.pad.setter("window_px"))
        for thing in (self._foot, self.pad):
            thing.bind(height=self._fit_low)
        self._fit_low()
        self.pad.bind(height=lambda *_: self._see_field())
        settled = Clock.create_trigger(lambda _: self._roll_to_field(), SETTLES_S)
        self.ids.roll.bind(height=lambda *_: settled())

    def _fit_low(self, *_: Any) -> None:
        low = self.ids.low
        low.height = low.children[0].height

    def write_in(self, field: SargamField, *, focus: bool) -> None:
        """A field of sargam has the cursor now, or has lost it."""
        if focus:
            self.writing = field
        elif field is self.writing:
            self.writing = None

    def on_writing(self, *_: Any) -> None:
        """The keypad stands in place of what is else at the foot."""
        low = self.ids.low
        low.clear_widgets()
        low.add_widget(self._foot if self.writing is None else self.pad)
        self._fit_low()
        self.pad.field = self.writing
        self._see_field()

    def _see_field(self) -> None:
        """What is written in stands above the keypad, with what is wrong with it below, as soon as
        the keypad has its height."""
        if self.writing is not None:
            Clock.schedule_once(lambda _: self._roll_to_field(), 0)

    def _roll_to_field(self) -> None:
        if self.writing is not None:
            below = dp(BELOW) * look.scale
            self.ids.roll.scroll_to(self.writing, padding=below, animate=False)

    def put_pad_away(self) -> None:
        """The line is done."""
        if self.writing is not None:
            self.writing.focus = False

    # Hearing.

    def listen(self, values: Mapping[str, Any], head: Mapping[str, Any] = NOTHING) -> None:
        """Play a cue by its fields; see `screens.hearing.hear`."""
        self.trouble, self._playing = hear(self.practice, values, head)
        self.sounding = self._playing is not None
        self._minding()

    def hush(self) -> None:
        """Fall silent."""
        self._playing, self.sounding = None, False
        self.practice.speaker.stop()

    def _mind(self, *_: Any) -> bool:
        """For the clock: whether it still sounds."""
        self.sounding = self._playing is not None and not self._playing.ended
        return bool(self.sounding)

    def hear_written(self) -> None:
        """Play what stands in the field that the keypad writes into; again, stop."""
        if self.sounding:
            self.hush()
        elif self.writing is not None and self.writing.text.strip() and not self.writing.fault:
            self.hear_line(self.writing.text)

    def hear_line(self, text: str) -> None:
        """Play a line of sargam."""

    def keeps_cursor(self, touch: Any) -> bool:
        return self.writing is not None and bool(self.pad.collide_point(*touch.pos))
