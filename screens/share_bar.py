"""A bar divided among things in turn, to scale: to be dragged, or to be looked at."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from kivy.graphics import Color, Line, Rectangle, RoundedRectangle
from kivy.metrics import dp
from kivy.properties import BooleanProperty, ListProperty, NumericProperty, OptionProperty
from kivy.uix.widget import Widget

from screens import theme
from screens.look import TextImage, look, type_px
from screens.shares import borders
from words import say

NUMBER_AIR = 6
"""Beside a number on the bar, on both sides together, in dp."""


class ShareBar(Widget):
    """Shares drawn to scale, each with its number in turn and its minutes where they fit.

    `held` is the border that a finger holds, from 0, or -1; `at` the share that the keys stand on.
    """

    shares = ListProperty()
    held = NumericProperty(-1)
    at = NumericProperty(-1)
    handles = BooleanProperty(False)
    kind = OptionProperty("", options=("", "was", "right", "otherwise"))

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        for name in ("pos", "size", "shares", "held", "at", "handles", "kind"):
            self.fbind(name, self._changed)
        look.bind(scale=self._changed, by_keys=self._changed)

    def _changed(self, *_: Any) -> None:
        self._draw()

    def x_of(self, place: float) -> float:
        """Where so many from the beginning end, in pixels."""
        return float(self.x + self.width * place / max(1, sum(self.shares)))

    def whole_in(self, width: float) -> int:
        """The whole number nearest to so many pixels."""
        return round(width / self.width * sum(self.shares))

    def _draw(self) -> None:
        self.canvas.clear()
        if not self.shares or self.width < 2:
            return
        edges = (0, *borders(self.shares), sum(self.shares))
        # After the answer the colour is a mark, so that by it no share differs from the next.
        grounds = {
            "": (theme.RAISED, theme.NECK),
            "otherwise": (theme.OTHERWISE_GROUND,) * 2,
        }.get(self.kind, (theme.WAS_GROUND,) * 2)
        edge = {"": theme.EDGE, "otherwise": theme.OTHERWISE}.get(self.kind, theme.WAS)
        with self.canvas:
            for number, (start, end) in enumerate(pairwise(map(self.x_of, edges))):
                Color(*grounds[number % 2])
                Rectangle(pos=(start, self.y), size=(end - start, self.height))
                self._words(number, start, end)
            Color(*theme.BRASS_DIM if self.handles else edge)
            Line(rectangle=(self.x, self.y, self.width, self.height), width=dp(1))
            for border, place in enumerate(borders(self.shares)):
                self._border(self.x_of(place), edge, held=border == self.held)
            if look.by_keys and 0 <= self.at < len(self.shares):
                start, end = self.x_of(edges[self.at]), self.x_of(edges[self.at + 1])
                Color(*theme.FOCUS)
                Line(rectangle=(start, self.y, end - start, self.height), width=dp(1.6))

    def _words(self, number: int, start: float, end: float) -> None:
        """The minutes above the number of the thing, as far as there is room."""
        middle, room = (start + end) / 2, end - start - dp(NUMBER_AIR)
        lines = [(str(number + 1), theme.SMALL, theme.SOFT_INK)]
        minutes = str(self.shares[number]), theme.BODY, theme.INK
        if self.height >= 1.4 * (type_px(theme.SMALL) + type_px(theme.BODY)):
            lines.insert(0, minutes)
        else:
            lines = [minutes]
        images = [self._image(*line) for line in lines]
        high = sum(image.size[1] for image, _ in images)
        top = self.center_y + high / 2
        if max(image.size[0] for image, _ in images) > room:
            return
        for image, colour in images:
            top -= image.size[1]
            Color(*colour)
            Rectangle(texture=image, pos=(middle - image.size[0] / 2, top), size=image.size)

    def _image(self, text: str, size_sp: float, colour: theme.Colour) -> tuple[Any, theme.Colour]:
        image = TextImage(text=text, font_name=theme.SANS, font_size=type_px(size_sp))
        image.refresh()
        return image.texture, colour

    def _border(self, x: float, edge: theme.Colour, *, held: bool) -> None:
        if not self.handles:
            Color(*edge)
            Line(points=(x, self.y, x, self.top), width=dp(1))
            return
        Color(*theme.BRASS_TOUCHED if held else theme.BRASS)
        Line(points=(x, self.y, x, self.top), width=dp(2 if held else 1.4))
        broad, high = dp(10 if held else 8), dp(20)
        for y in (self.top - high / 2, self.y - high / 2):
            RoundedRectangle(pos=(x - broad / 2, y), size=(broad, high), radius=[broad / 2])


def minutes_text(count: int) -> str:
    """So many minutes, as they stand beside a thing."""
    return say("{count} min", count=count)
