"""The last weeks day by day: minutes as bars that rise from a line, questions as bars below it.

Of the questions the part that was right is filled, the other has an edge only; so have minutes on
the instrument, which stand on those by ear. A touch, which may
slide along, or the arrow keys go to a day, of which is then told in words.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, Line, Rectangle
from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty
from kivy.uix.widget import Widget

from practice.dates import short_date_word
from practice.pages.practised import LEAST_SCALE_MIN
from practice.progress import DayDone
from screens import theme
from screens.cell_marks import Box, squares
from screens.key_words import LEFT_RIGHT, Said
from screens.look import TextImage, look, type_px
from words import say

LEAST_QUESTIONS = 50
"""A bar of so many fills its room at least, lest trifles look large."""
MINUTES_PART = 0.58
"""Of the height, what is above the line."""
FIGURES = 2.4
"""The room for figures beside the bars, in heights of their type."""
BAR_PART = 0.72
"""How broad a bar is, of its day."""
WHOLE: Box = (0.0, 0.0, 1.0, 1.0)


class DayBars(Widget):
    """Shows `days`; `at` is the one that is stood on, or -1, and `on_day` is sent with it."""

    __events__ = ("on_day",)

    at = NumericProperty(-1)
    can_focus = BooleanProperty(True)
    focused = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.days: tuple[DayDone, ...] = ()
        self._draw = Clock.create_trigger(lambda _: self._drawn(), -1)
        for name in ("pos", "size", "at", "focused"):
            self.fbind(name, self._changed)
        look.bind(scale=self._changed, by_keys=self._changed)

    def _changed(self, *_: Any) -> None:
        self._draw()

    def show(self, days: tuple[DayDone, ...]) -> None:
        """Show these, and stand on none."""
        self.days, self.at = days, -1
        self._draw()

    @property
    def _left(self) -> float:
        """Where the first day begins: to the left of it stand figures."""
        return float(self.x + type_px(theme.SMALL) * FIGURES)

    @property
    def _each(self) -> float:
        """How broad a day is."""
        return float((self.right - self._left) / max(1, len(self.days)))

    # Touch and keys.

    def day_at(self, x: float) -> int:
        """The day drawn nearest to a place across."""
        number = int((x - self._left) // max(1.0, self._each))
        return min(max(number, 0), len(self.days) - 1)

    def on_touch_down(self, touch: Any) -> bool:
        if touch.is_mouse_scrolling or not self.days or not self.collide_point(*touch.pos):
            return False
        touch.grab(self)
        self._go(self.day_at(touch.x))
        return True

    def on_touch_move(self, touch: Any) -> bool:
        if touch.grab_current is self:
            self._go(self.day_at(touch.x))
        return touch.grab_current is self

    def on_touch_up(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return False
        touch.ungrab(self)
        return True

    def take_key(self, name: str) -> bool:
        """Left and right go from day to day, at first to the last one."""
        way = {"left": -1, "right": 1}.get(name)
        if way is None or not self.days:
            return False
        last = len(self.days) - 1
        self._go(last if self.at < 0 else min(max(self.at + way, 0), last))
        return True

    def keys_said(self) -> tuple[Said, ...]:
        """What keys do while it is focused."""
        return ((say(LEFT_RIGHT), say("From day to day")),)

    def on_focused(self, *_: Any) -> None:
        """With the keyboard one stands on a day at once."""
        if self.focused and self.at < 0:
            self.take_key("right")

    def press(self) -> None:
        """Enter does nothing to a day."""

    def _go(self, number: int) -> None:
        if number != self.at:
            self.at = number
            self.dispatch("on_day", self.days[number])

    def on_day(self, day: DayDone) -> None:
        """Another day is stood on."""

    # Drawing.

    def _drawn(self) -> None:
        self.canvas.clear()
        if not self.days or self.width < 2:
            return
        foot = type_px(theme.SMALL) * 1.7
        high = self.height - foot - type_px(theme.SMALL) / 2
        self._line, self._up = self.y + foot + (1 - MINUTES_PART) * high, MINUTES_PART * high
        self._down = (1 - MINUTES_PART) * high - dp(2)
        minutes = max(LEAST_SCALE_MIN, *(day.minutes + day.on_instrument for day in self.days))
        asked = max(LEAST_QUESTIONS, *(day.asked for day in self.days))
        with self.canvas:
            self._grounds(minutes, asked)
            self._bars(theme.BRASS_DIM, [(0.0, day.minutes / minutes) for day in self.days])
            played = [
                (day.minutes / minutes, (day.minutes + day.on_instrument) / minutes)
                for day in self.days
            ]
            self._bars(theme.BRASS, played)
            self._bars(theme.GROUND, played, within=dp(1))
            self._bars(theme.WAS, [(-day.right / asked, 0.0) for day in self.days])
            wrong = [(-day.asked / asked, -day.right / asked) for day in self.days]
            self._bars(theme.FAINT_INK, wrong)
            self._bars(theme.GROUND, wrong, within=dp(1))
            self._mondays()
            if self.at >= 0:
                self._ring()

    def _grounds(self, minutes: float, asked: float) -> None:
        """The line between both, and what the highest bar and the lowest stand for."""
        Color(*theme.EDGE)
        Line(points=(self._left, self._line, self.right, self._line), width=dp(0.8))
        Color(*theme.thinned(theme.EDGE, 0.5))
        for y in (self._line + self._up, self._line - self._down):
            Line(points=(self._left, y, self.right, y), width=dp(0.5))
        top, foot = self._line + self._up, self._line - self._down
        self._text(f"{minutes:.0f}", top, before=self._left)
        self._text("0", self._line, before=self._left)
        self._text(f"{asked:.0f}", foot, before=self._left)

    def _text(self, text: str, y: float, *, at: float = 0.0, before: float = 0.0) -> None:
        """With its middle so high; from a place on, or up to one."""
        image = TextImage(text=text, font_name=theme.SANS, font_size=type_px(theme.SMALL))
        image.refresh()
        width, height = image.texture.size
        x = before - dp(8) - width if before else min(at, self.right - width)
        Color(*theme.FAINT_INK)
        Rectangle(texture=image.texture, pos=(round(x), round(y - height / 2)), size=image.size)

    def _bars(
        self, colour: theme.Colour, parts: Sequence[tuple[float, float]], *, within: float = 0.0
    ) -> None:
        """One for each day, from and to, of the room above the line or, below 0, beneath it; or
        what lies so many pixels within it."""
        each = self._each
        broad = max(1.0, BAR_PART * each)
        boxes = []
        for number, (low, high) in enumerate(parts):
            begins, ends = (part * (self._up if part > 0 else self._down) for part in (low, high))
            x = self._left + number * each + (each - broad) / 2
            tall = max(dp(1), ends - begins) - 2 * within
            if ends > begins and min(tall, broad - 2 * within) > 0:
                boxes.append((x + within, self._line + begins + within, broad - 2 * within, tall))
        Color(*colour)
        squares(((box, WHOLE) for box in boxes), None)

    def _mondays(self) -> None:
        """Where weeks begin, with the date of each."""
        for number, day in enumerate(self.days):
            if day.date.weekday() != 0:
                continue
            x = self._left + number * self._each
            Color(*theme.thinned(theme.EDGE, 0.6))
            Line(points=(x, self.y, x, self._line + self._up), width=dp(0.5))
            middle = (self.y + self._line - self._down) / 2
            self._text(short_date_word(day.date), middle, at=x + dp(4))

    def _ring(self) -> None:
        """Round the day that is stood on."""
        Color(*theme.FOCUS if self.focused and look.by_keys else theme.BRASS)
        left, high = self._left + self.at * self._each, self._up + self._down
        box = (left, self._line - self._down, self._each, high)
        Line(rectangle=box, width=dp(1.2))
