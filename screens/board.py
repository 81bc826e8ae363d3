"""A matrix that rolls both ways: its cells, and the names of rows and columns that stay on view."""

from __future__ import annotations

from typing import Any

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import NumericProperty
from kivy.uix.floatlayout import FloatLayout
from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget

from practice.pairs import Matrix
from practice.things import Thing
from screens import theme
from screens.cells import Cells
from screens.heads import AIR, Heads, fits_level, level_px, line_px, name_px
from screens.look import load_kv, look, text_px
from words import say

LEAST_SIDE, MOST_SIDE = 48, 84
"""Of a cell, in dp."""
ROWS_MOST, COLUMNS_MOST = 0.36, 0.4
"""Names of rows and columns take at most so much of the width and of the height."""
CORNER = 8
"""Beside the words in the corner that say which names are which, in dp."""


class Pane(ScrollView):
    """Rolls both ways over the cells; `reveal` brings one of them on view."""

    scroll_x: float
    scroll_y: float
    was_moved = False
    """Whether the user has moved it since another matrix came on view."""

    def on_scroll_move(self, touch: Any, *args: Any) -> bool:
        self.was_moved = True
        return bool(super().on_scroll_move(touch, *args))

    @property
    def cut(self) -> tuple[float, float]:
        """How much lies beyond the left edge, and below the foot, in pixels."""
        cells = self.children[0]
        more, up = cells.width - self.width, cells.height - self.height
        return self.scroll_x * max(0.0, more), self.scroll_y * max(0.0, up)

    def to_first(self, row: int, column: int) -> None:
        """Show the first cells, if this one is among them, and else this one; end what a finger or
        a spring still moves."""
        for effect in (self.effect_x, self.effect_y):
            effect.velocity = effect.overscroll = 0.0
        self.scroll_x, self.scroll_y = 0.0, 1.0
        self.effect_x.value, self.effect_y.value = self.effect_x.min, self.effect_y.max
        self.reveal(row, column)

    def scroll_to(self, widget: Any, padding: Any = 0, animate: Any = False) -> None:
        """What has the keys is on view as a whole or in part: the cell that is stood on."""
        cells = self.children[0]
        if cells.at is not None:
            self.reveal(*cells.at)

    def reveal(self, row: int, column: int) -> None:
        """Roll no further than it takes to see a cell, and a part of those around it."""
        cells = self.children[0]
        x, y, side, _ = cells.box_of(row, column)
        more, up = cells.width - self.width, cells.height - self.height
        left, foot = self.cut
        if more > 0:
            right = left + self.width
            begin = min(max(x - cells.x - side, 0), more)
            if x - cells.x < left or x - cells.x + side > right:
                self.scroll_x = min(1.0, begin / more)
        if up > 0:
            top = foot + self.height
            begin = min(max(y - cells.y - self.height + 2 * side, 0), up)
            if y - cells.y < foot or y - cells.y + side > top:
                self.scroll_y = min(1.0, begin / up)


class Board(FloatLayout):
    """The cells of some things of a matrix with their names; `cells` sends what is picked."""

    rows_px = NumericProperty(0.0)
    columns_px = NumericProperty(0.0)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._things: tuple[Thing, ...] = ()
        self.cells = Cells(size_hint=(None, None))
        self.pane = Pane(size_hint=(None, None))
        self.pane.add_widget(self.cells)
        self.rows, self.columns = Heads(size_hint=(None, None)), Heads(size_hint=(None, None))
        self.spot = Widget(size_hint=(None, None))
        """Lies where the cell lies that is stood on, for what holds the board to roll to it."""
        for part in (self.pane, self.rows, self.columns, self.spot):
            self.add_widget(part)
        self._lay = Clock.create_trigger(self._laid, -1)
        for name in ("pos", "size"):
            self.fbind(name, self._changed)
        look.bind(scale=self._changed)
        for name in ("scroll_x", "scroll_y", "size", "viewport_size"):
            self.pane.fbind(name, self._roll)
        self.cells.bind(on_at=self._at)

    def _changed(self, *_: Any) -> None:
        self._lay()

    def show(self, matrix: Matrix, things: tuple[Thing, ...]) -> None:
        """Show the cells of these things of a matrix, from the worst confusion on."""
        self._things = things
        self.cells.show(matrix, tuple(thing.id for thing in things))
        self.cells.stand_on(None)
        self.pane.was_moved = False
        self._pick_names()
        self._lay()

    def stand_on(self, right: str, given: str) -> None:
        """Stand on the cell of two things; on none where one of them is not among those shown."""
        shown = {right, given} <= set(self.cells.things)
        self.cells.stand_on(self.cells.cell_of(right, given) if shown else None)

    def _at(self, *_: Any) -> None:
        self._pick_names()
        if self.cells.at is not None:
            self._bring_on_view(*self.cells.at)

    def _bring_on_view(self, row: int, column: int) -> None:
        pane, cells = self.pane, self.cells
        pane.reveal(row, column)
        x, y, side, _ = cells.box_of(row, column)
        left, foot = pane.cut
        self.spot.size = side, side
        self.spot.pos = pane.x + x - cells.x - left, pane.y + y - cells.y - foot

    def _pick_names(self) -> None:
        row, column = self.cells.at or (-1, -1)
        self.rows.pick(row)
        self.columns.pick(column)

    def _laid(self, *_: Any) -> None:
        count = len(self._things)
        if not count or self.width < 2:
            return
        labels = [thing.label for thing in self._things]
        broadest = max(map(name_px, labels)) + 2 * dp(AIR)
        heads = max(text_px(head, theme.SANS, theme.SMALL) for head in (say("heard"), say("was")))
        self.rows_px = max(min(broadest, ROWS_MOST * self.width), heads + dp(CORNER))
        way, high, side = self._columns(broadest, (self.width - self.rows_px) / count)
        self.columns_px = max(high, self.ids.heard.height + self.ids.was.height)
        names = [thing.short for thing in self._things] if way == "level" else labels
        whole = count * side
        width = min(whole, self.width - self.rows_px)
        height = min(whole, self.height - self.columns_px)
        self.cells.side, self.cells.size = side, (whole, whole)
        top = self.top - self.columns_px
        self.pane.size = width, height
        self.pane.pos = self.x + self.rows_px, top - height
        self.rows.size, self.rows.pos = (self.rows_px, height), (self.x, top - height)
        self.columns.size = width, self.columns_px
        self.columns.pos = self.x + self.rows_px, top
        self.rows.show(labels, side, "rows")
        self.columns.show(names, side, way)
        self._roll()
        if self.cells.at is not None:
            self._bring_on_view(*self.cells.at)
        elif not self.pane.was_moved:
            self.pane.to_first(*self.cells.first())

    def _columns(self, broadest: float, room: float) -> tuple[str, float, float]:
        """How the names of columns stand, how high, and the side of a cell."""
        least = max(dp(LEAST_SIDE), 2 * line_px() + dp(4))
        shorts = [thing.short for thing in self._things]
        count = len(shorts)
        for way, high in (("level", level_px()), ("upright", broadest)):
            high = min(high, COLUMNS_MOST * self.height)
            fitting = min(room, (self.height - high) / count)
            side = max(least, min(fitting, dp(MOST_SIDE)))
            if way == "upright" or fits_level(shorts, side):
                return way, high, side
        raise AssertionError("upright names always fit")

    def _roll(self, *_: Any) -> None:
        """The names go with the cells."""
        left, foot = self.pane.cut
        up = max(0.0, self.cells.height - self.pane.height)
        self.columns.roll(-left, 0.0)
        self.rows.roll(0.0, up - foot)


load_kv("board")
