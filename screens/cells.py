"""The cells of a matrix: what was heard for which, as marks and numbers, any of them to be picked.

A row is what it was, a column what was heard. Touching a cell picks it; with the keyboard the
arrows go from cell to cell, and Enter picks.
"""

from __future__ import annotations

from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, Line, Mesh
from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty
from kivy.uix.widget import Widget

from practice.pairs import Matrix
from scheduler.reliability import FEW
from screens import theme
from screens.cell_marks import Box, Digits, Mark, mark_side, marks_mesh, squares
from screens.key_words import ARROWS, Said
from screens.look import look, type_px
from words import say

WAYS = {"left": (0, -1), "right": (0, 1), "up": (-1, 0), "down": (1, 0)}
"""Rows and columns by which a key moves."""


class Cells(Widget):
    """The cells of some things of a matrix, each `side` pixels broad and high.

    `on_at` is sent when another cell is stood on, `on_pick` when one is picked, both with the ids
    of the two things; `on_at` without them when none is stood on any more.
    """

    __events__ = ("on_at", "on_pick")

    side = NumericProperty(0.0)
    can_focus = BooleanProperty(True)
    focused = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.matrix: Matrix | None = None
        self.things: tuple[str, ...] = ()
        self.at: tuple[int, int] | None = None
        """Row and column of the cell that is stood on."""
        self._draw = Clock.create_trigger(lambda _: self._drawn(), -1)
        for name in ("pos", "size", "side", "focused"):
            self.fbind(name, self._changed)
        look.bind(scale=self._changed, by_keys=self._changed)

    def _changed(self, *_: Any) -> None:
        self._draw()

    def show(self, matrix: Matrix, things: tuple[str, ...]) -> None:
        """Show the cells of these things, ids of the matrix."""
        if things != self.things:
            self.at = None
        self.matrix, self.things = matrix, things
        self._draw()

    def cell_of(self, right: str, given: str) -> tuple[int, int]:
        """Row and column of a pair of things that are shown."""
        return self.things.index(right), self.things.index(given)

    def box_of(self, row: int, column: int) -> Box:
        """Where a cell lies."""
        side = self.side
        return self.x + column * side, self.top - (row + 1) * side, side, side

    def cell_at(self, x: float, y: float) -> tuple[int, int] | None:
        """The cell at a point."""
        if not self.side or not self.collide_point(x, y):
            return None
        last = len(self.things) - 1
        row, column = int((self.top - y) // self.side), int((x - self.x) // self.side)
        return min(max(row, 0), last), min(max(column, 0), last)

    def stand_on(self, cell: tuple[int, int] | None) -> None:
        """Go to the cell in this row and column, or, with None, to none."""
        if cell != self.at:
            self.at = cell
            self._draw()
            self.dispatch("on_at", *(self.things[at] for at in cell or ()))

    def on_touch_down(self, touch: Any) -> bool:
        if touch.is_mouse_scrolling or self.cell_at(*touch.pos) is None:
            return False
        touch.grab(self)
        touch.ud[self] = self.cell_at(*touch.pos)
        return True

    def on_touch_up(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return False
        touch.ungrab(self)
        cell = self.cell_at(*touch.pos)
        if cell is not None and cell == touch.ud[self]:  # sliding off it takes the touch back
            self.stand_on(cell)
            self.press()
        return True

    def take_key(self, name: str) -> bool:
        """Arrows go from cell to cell, and beyond the edge elsewhere."""
        if name not in WAYS or not self.things:
            return False
        row, column = self.at or self.first()
        if self.at is not None:
            row, column = row + WAYS[name][0], column + WAYS[name][1]
        count = len(self.things)
        if not (0 <= row < count and 0 <= column < count):
            return False
        self.stand_on((row, column))
        return True

    def keys_said(self) -> tuple[Said, ...]:
        """What keys do while it is focused."""
        return ((say(ARROWS), say("From square to square")),)

    def on_focused(self, *_: Any) -> None:
        """With the keyboard one stands on a cell at once."""
        if self.focused and self.things:
            self.stand_on(self.at or self.first())

    def first(self) -> tuple[int, int]:
        """The worst confusion that is shown, else the first cell."""
        shown = set(self.things)
        for right, given in self.matrix.wrong if self.matrix else ():
            if right in shown and given in shown:
                return self.cell_of(right, given)
        return 0, 0

    def press(self) -> None:
        """Pick the cell that is stood on."""
        if self.at is not None:
            self.dispatch("on_pick", *(self.things[at] for at in self.at))

    def on_at(self, *things: str) -> None:
        """Another cell is stood on, or none any more."""

    def on_pick(self, right: str, given: str) -> None:
        """A cell was picked."""

    # Drawing.

    def _drawn(self) -> None:
        self.canvas.clear()
        if self.matrix is None or not self.things or self.side < 2:
            return
        count = len(self.things)
        with self.canvas:
            Color(*theme.PANEL)
            squares(((self.box_of(at, at), (0.0, 0.0, 1.0, 1.0)) for at in range(count)), None)
            Color(*theme.thinned(theme.EDGE, 0.7))
            self._lines(count)
            self._marks(self.matrix)
            if self.at is not None:
                self._ring(*self.at)

    def _lines(self, count: int) -> None:
        ends = [(at * self.side, count * self.side) for at in range(count + 1)]
        across = [(self.x, self.top - at, self.x + to, self.top - at) for at, to in ends]
        down = [(self.x + at, self.top, self.x + at, self.top - to) for at, to in ends]
        vertices = [v for x, y, xx, yy in (*across, *down) for v in (x, y, 0, 0, xx, yy, 0, 0)]
        Mesh(vertices=vertices, indices=list(range(len(vertices) // 4)), mode="lines")

    def _marks(self, matrix: Matrix) -> None:
        boxes: dict[Mark, list[Box]] = {}
        numbers = []
        for row, right in enumerate(self.things):
            asked = matrix.asked[right]
            for column, given in enumerate(self.things):
                number = matrix.cells.get((right, given), 0)
                if not number:
                    continue
                x, y, side, _ = self.box_of(row, column)
                large = mark_side(number / asked, side)
                mark = Mark("disc" if row == column else "tile", asked < FEW)
                corner = (side - large) / 2
                boxes.setdefault(mark, []).append((x + corner, y + corner, large, large))
                numbers.append((number, x + side / 2, y + side / 2))
        Color(*theme.AS_IS)
        for mark, placed in boxes.items():
            marks_mesh(mark, placed)
        Color(*theme.INK)
        Digits(theme.SANS, type_px(theme.SMALL)).placed(numbers)

    def _ring(self, row: int, column: int) -> None:
        """Round the cell that is stood on."""
        x, y, side, _ = self.box_of(row, column)
        Color(*theme.FOCUS if self.focused and look.by_keys else theme.BRASS)
        within = dp(1.4)
        Line(
            rectangle=(x + within, y + within, side - 2 * within, side - 2 * within), width=dp(1.4)
        )
