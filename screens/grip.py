"""A grip by which a row of a list is carried to another place: dragged, or moved by the arrows."""

from __future__ import annotations

from typing import Any

from kivy.clock import Clock
from kivy.core.window import Window
from kivy.graphics import Color, Line
from kivy.metrics import dp
from kivy.properties import BooleanProperty, ColorProperty, NumericProperty
from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget

from screens import theme
from screens.key_words import UP_DOWN, Said
from screens.look import load_kv
from screens.widgets import Column, Touchable
from words import say

EDGE = 56
"""So near to an edge of its roll, in dp, what is carried makes it roll."""
ROLLS_DP_S = 420.0


class Rows(Column):
    """A column whose rows have grips; a brass line shows where what is carried would stand."""

    def point_to(self, place: int | None, number: int = 0) -> None:
        """Show that the row at `number` would move to `place`; with None, nothing."""
        self.canvas.after.remove_group("place")
        if place is None:
            return
        row, gap = self.children[::-1][place], self.spacing / 2
        y = row.y - gap if place > number else row.top + gap
        with self.canvas.after:
            Color(*theme.BRASS, group="place")
            Line(points=(self.x, y, self.right, y), width=dp(2), group="place")


class GripSign(Widget):
    """Two bent frets crossed by a string: what is held here can be carried along."""

    ink = ColorProperty(theme.CLEAR)


class Grip(Touchable, Widget):
    """Stands in a row of `rows`, a column; `on_carry` is sent with the place to move the row to.

    Places count from 0, from above. With the keys up and down move the row by one.
    """

    __events__ = ("on_carry",)

    carries = True
    """A roll leaves a finger on it alone."""

    number = NumericProperty(0)
    """The place where the row stands."""
    lifted = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        self._finger: Any = None
        self._to = 0
        self._rolling: Any = None
        super().__init__(**kwargs)

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        ink = theme.BRASS if self.lifted else theme.EDGE if self.disabled else theme.BRASS_DIM
        return theme.CLEAR, theme.CLEAR, ink

    def on_lifted(self, *_: Any) -> None:
        self._repaint()

    def on_carry(self, to: int) -> None:
        """The row is to move to this place."""

    def take_key(self, name: str) -> bool:
        """Up and down move the row."""
        ways = {"up": -1, "down": 1}
        if name not in ways:
            return False
        self._carry(self.number + ways[name])
        return True

    def keys_said(self) -> tuple[Said, ...]:
        """What keys do while it is focused."""
        return ((say(UP_DOWN), say("Move the row by its grip")),)

    def _carry(self, to: int) -> None:
        if 0 <= to < len(self._rows()) and to != self.number:
            self.dispatch("on_carry", to)

    # Where it stands.

    def _row(self) -> Any:
        """The child of the column in which this stands."""
        row: Any = self
        while row.parent is not None and not isinstance(row.parent, Rows):
            row = row.parent
        return row

    def _rows(self) -> list[Any]:
        column = self._row().parent
        return [] if column is None else column.children[::-1]

    def _roll(self) -> Any:
        above = self.parent
        while above is not None and not isinstance(above, ScrollView):
            above = above.parent if above.parent is not above else None
        return above

    # Dragging.

    def on_touch_down(self, touch: Any) -> bool:
        if self.disabled or touch.is_mouse_scrolling or not self.collide_point(*touch.pos):
            return False
        touch.grab(self)
        self._finger, self.lifted, self._to = touch, True, self.number
        self._rolling = Clock.schedule_interval(self._roll_on, 0)
        return True

    def on_touch_move(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return False
        self._follow()
        return True

    def on_touch_up(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return False
        touch.ungrab(self)
        self._finger, self.lifted = None, False
        self._rolling.cancel()
        column = self._row().parent
        if column is not None:
            column.point_to(None)
        self._carry(self._to)
        return True

    def _follow(self) -> None:
        """See between which rows the finger is, and show it."""
        column = self._row().parent
        if column is None:
            return
        _, y = column.to_widget(*self._window_pos())
        others = [row for row in self._rows() if row is not self._row()]
        self._to = sum(row.center_y > y for row in others)
        column.point_to(self._to if self._to != self.number else None, self.number)

    def _window_pos(self) -> tuple[float, float]:
        # A finger that is grabbed has its place in the coordinates of what grabbed it.
        return self._finger.sx * Window.width, self._finger.sy * Window.height

    def _roll_on(self, elapsed_s: float) -> None:
        """Near an edge the roll moves by itself."""
        roll = self._roll()
        if roll is None or self._finger is None:
            return
        hidden = roll.viewport_size[1] - roll.height
        _, y = self._window_pos()
        foot, head = roll.to_window(roll.x, roll.y)[1], roll.to_window(roll.x, roll.top)[1]
        way = (y > head - dp(EDGE)) - (y < foot + dp(EDGE))
        if hidden > 1 and way:
            rolled = roll.scroll_y + way * dp(ROLLS_DP_S) * elapsed_s / hidden
            roll.scroll_y = min(1.0, max(0.0, rolled))
            self._follow()


load_kv("grip")
