"""A threshold over time: the figure of each week as a point, and the range it lies in as a band.

The scale is logarithmic, as ears are. A hollow point rests on few answers. All charts run through
the same weeks up to today, so that a point of long ago does not stand for what is heard now.
"""

from __future__ import annotations

import math
from datetime import date, timedelta
from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, Ellipse, Line, Mesh, Rectangle
from kivy.graphics.texture import Texture
from kivy.metrics import dp
from kivy.properties import ObjectProperty
from kivy.uix.widget import Widget

from practice.dates import short_date_word
from practice.progress import WEEKS_SHOWN, Point, Series
from screens import theme
from screens.look import TextImage, look, type_px
from words import say

POINT = 4
"""The radius of a point, in dp."""
BEYOND = 1.25
"""So many times further than the farthest ends of the ranges the scale reaches."""


class ThresholdChart(Widget):
    """Shows a `series` up to `today`, which stands at the right."""

    series = ObjectProperty(None, allownone=True)
    today = ObjectProperty(None, allownone=True)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._draw = Clock.create_trigger(lambda _: self._drawn(), -1)
        for name in ("pos", "size", "series", "today"):
            self.fbind(name, self._changed)
        look.bind(scale=self._changed)
        self._draw()

    def _changed(self, *_: Any) -> None:
        self._draw()

    def _drawn(self) -> None:
        self.canvas.clear()
        series: Series | None = self.series
        if series is None or self.today is None or self.width < dp(40):
            return
        known = [point.known for point in series.points]
        self._least = min(each.low for each in known) / BEYOND
        self._most = max(each.high for each in known) * BEYOND
        self._names = type_px(theme.SMALL) * 3.4
        self._foot = type_px(theme.SMALL) * 1.5
        with self.canvas:
            self._scale()
            self._dates()
            self._band(series.points)
            Color(*theme.WAS)
            line = [
                value for point in series.points for value in self._at(point, point.known.level)
            ]
            if len(line) > 2:
                Line(points=line, width=dp(1.3))
            for point in series.points:
                self._point(point)

    @property
    def first(self) -> date:
        """The Monday of the first week in which a point may stand."""
        today: date = self.today
        return today - timedelta(days=today.weekday(), weeks=WEEKS_SHOWN - 1)

    def x_of(self, day: date) -> float:
        """Where a day stands across, in pixels."""
        part = (day - self.first) / (self.today - self.first)
        room = self.width - self._names - dp(2 * POINT)
        return float(self.x + self._names + dp(POINT) + room * min(1.0, max(0.0, part)))

    def y_of(self, level: float) -> float:
        """How high a level stands, in pixels."""
        part = math.log(level / self._least) / math.log(self._most / self._least)
        return float(self.y + self._foot + (self.height - self._foot) * part)

    def _at(self, point: Point, level: float) -> tuple[float, float]:
        return self.x_of(point.at), self.y_of(level)

    def _scale(self) -> None:
        """A few lines across with their figures."""
        for level in _round_levels(self._least, self._most):
            y = self.y_of(level)
            Color(*theme.thinned(theme.EDGE, 0.6))
            Line(points=(self.x + self._names, y, self.right, y), width=dp(0.5))
            image = _written(f"{level:g}")
            at = self.x + self._names - dp(8) - image.width, y - image.height / 2
            _put(image, at)

    def _dates(self) -> None:
        """Below it, when it begins and that it ends today."""
        begins, ends = _written(short_date_word(self.first)), _written(say("today"))
        _put(begins, (self.x + self._names, self.y))
        _put(ends, (self.right - ends.width, self.y))

    def _band(self, points: tuple[Point, ...]) -> None:
        """From the lower to the upper end of each range; a single one stands by itself."""
        Color(*theme.WAS_GROUND)
        if len(points) == 1:
            (low, high), x = self._ends(points[0]), self.x_of(points[0].at)
            Rectangle(pos=(x - dp(POINT), low), size=(dp(2 * POINT), high - low))
            return
        vertices: list[float] = []
        for point in points:
            x = self.x_of(point.at)
            for y in self._ends(point):
                vertices += [x, y, 0.0, 0.0]
        Mesh(vertices=vertices, indices=list(range(2 * len(points))), mode="triangle_strip")

    def _ends(self, point: Point) -> tuple[float, float]:
        return self.y_of(point.known.low), self.y_of(point.known.high)

    def _point(self, point: Point) -> None:
        (x, y), radius = self._at(point, point.known.level), dp(POINT)
        Color(*theme.GROUND if point.is_few else theme.WAS)
        Ellipse(pos=(x - radius, y - radius), size=(2 * radius, 2 * radius))
        Color(*theme.WAS)
        Line(circle=(x, y, radius), width=dp(1.2))


def _written(text: str) -> Texture:
    image = TextImage(text=text, font_name=theme.SANS, font_size=type_px(theme.SMALL))
    image.refresh()
    return image.texture


def _put(image: Texture, at: tuple[float, float]) -> None:
    """In faint ink, its lower left corner there."""
    Color(*theme.FAINT_INK)
    Rectangle(texture=image, pos=(round(at[0]), round(at[1])), size=image.size)


def _round_levels(least: float, most: float) -> list[float]:
    """1, 2 and 5 with any noughts, as far as they lie between."""
    decades = range(math.floor(math.log10(least)), math.ceil(math.log10(most)) + 1)
    levels = [one * 10.0**decade for decade in decades for one in (1, 2, 5)]
    return [level for level in levels if least <= level <= most]
