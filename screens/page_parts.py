"""What pages on students are put together from on a screen: bars of what is firm and what is not,
and of minutes by day."""

from __future__ import annotations

from typing import Any

from kivy.graphics import Color, Line, Mesh, Rectangle
from kivy.metrics import dp
from kivy.properties import ListProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.label import Label
from kivy.uix.stacklayout import StackLayout
from kivy.uix.widget import Widget

from practice.pages.column import PATTERN_OF
from practice.pages.practised import LEAST_SCALE_MIN
from practice.pages.sheets import SLANT_WIDTH_MM, Box, Stroke, marks_in
from practice.pages.states import NAMES, States
from screens import theme
from screens.look import load_kv
from screens.widgets import Panel

MM = 4.5
"""A mm of a pattern on paper, in dp."""


class StatesBar(Widget):
    """How many skills are firm, coming, shaky and unheard, side by side, by the patterns of the
    printed page."""

    counts = ListProperty([0, 0, 0, 0])

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.bind(pos=self._draw, size=self._draw, counts=self._draw)

    def _draw(self, *_: Any) -> None:
        self.canvas.clear()
        total = sum(self.counts)
        if not total or self.width < dp(2):
            return
        x = self.x
        with self.canvas:
            Color(*theme.INK)
            for name, count in zip(NAMES, self.counts, strict=True):
                width = self.width * count / total
                if count:
                    draw_pattern(name, x, self.y, width, self.height)
                x += width


def draw_pattern(state: str, x: float, y: float, width: float, height: float) -> None:
    """Add a box with the pattern of a state to the canvas that is open, in pixels."""
    mm = dp(MM)
    box = Box(x / mm, y / mm, width / mm, height / mm, PATTERN_OF[state])
    dots: list[float] = []
    slants: list[float] = []
    for mark in marks_in(box):
        if isinstance(mark, Stroke):
            slants += _sloping(mark, mm)
        elif mark.width == box.width:
            Rectangle(pos=(x, y), size=(width, height))
        else:
            left, foot, side = mark.x * mm, mark.y * mm, mark.width * mm
            corners = ((left, foot), (left + side, foot), (left + side, foot + side),
                       (left, foot + side))  # fmt: skip
            dots += [value for corner in corners for value in (*corner, 0.0, 0.0)]
    for vertices in (dots, slants):
        if vertices:
            Mesh(vertices=vertices, indices=_two_triangles(len(vertices) // 16), mode="triangles")
    Line(rectangle=(x, y, max(1.0, width), height), width=dp(0.7))


def _sloping(stroke: Stroke, mm: float) -> list[float]:
    """The corners of a slanted stroke, as a mesh has them."""
    half = SLANT_WIDTH_MM * mm / 2
    x, y, to_x, to_y = (value * mm for value in (stroke.x, stroke.y, stroke.to_x, stroke.to_y))
    corners = ((x - half, y), (x + half, y), (to_x + half, to_y), (to_x - half, to_y))
    return [value for corner in corners for value in (*corner, 0.0, 0.0)]


def _two_triangles(count: int) -> list[int]:
    """Of so many shapes with four corners."""
    return [4 * shape + corner for shape in range(count) for corner in (0, 1, 2, 0, 2, 3)]


class KeyWord(Label):
    """What a pattern stands for."""


class StateKey(BoxLayout):
    """A pattern and the state that it stands for."""

    state = StringProperty("firm")


class StateKeys(StackLayout):
    """The patterns of all states and what they stand for."""

    states: tuple[str, ...] = NAMES

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        for state in self.states:
            self.add_widget(StateKey(state=state))


class BegunKeys(StateKeys):
    """Those of what is begun."""

    states = NAMES[:-1]


class KeyPattern(Widget):
    """The pattern of a state."""

    state = StringProperty("firm")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.bind(pos=self._draw, size=self._draw, state=self._draw)

    def _draw(self, *_: Any) -> None:
        self.canvas.clear()
        with self.canvas:
            Color(*theme.INK)
            draw_pattern(self.state, *self.pos, *self.size)


class StatesRow(BoxLayout):
    """A part of a course: its name, its bar and its counts in words."""

    text = StringProperty("")
    counts = ListProperty([0, 0, 0, 0])
    words = StringProperty("")


class MinutesBars(Widget):
    """Minutes by day as bars, over a line as far as days have come; no more than `most` fit."""

    minutes = ListProperty()
    come = NumericProperty(0)
    most = NumericProperty(LEAST_SCALE_MIN)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.bind(pos=self._draw, size=self._draw, minutes=self._draw, come=self._draw)

    def on_minutes(self, *_: Any) -> None:
        self.most = max(LEAST_SCALE_MIN, *self.minutes) if self.minutes else LEAST_SCALE_MIN

    def _draw(self, *_: Any) -> None:
        self.canvas.clear()
        if not self.minutes:
            return
        step = self.width / len(self.minutes)
        with self.canvas:
            Color(*theme.EDGE)
            Line(points=(self.x, self.top, self.right, self.top), width=dp(0.6))
            Color(*theme.INK)
            Line(points=(self.x, self.y, self.x + self.come * step, self.y), width=dp(0.8))
            for day, minutes in enumerate(self.minutes):
                if minutes > 0:
                    tall = max(dp(1), self.height * minutes / self.most)
                    Rectangle(pos=(self.x + (day + 0.15) * step, self.y), size=(0.7 * step, tall))


class PagePanel(Panel):
    """A part of a page, under its title."""

    title = StringProperty("")


def counts_words(states: States) -> str:
    """`3 firm, 2 coming, 1 shaky, 4 unheard`; only what there is."""
    return ", ".join(f"{count} {name}" for name, count in zip(NAMES, states, strict=True) if count)


load_kv("page_parts")
