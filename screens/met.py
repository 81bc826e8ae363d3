"""How taps came to their beats, after the answer: beat by beat, early or late, drawn to scale."""

from __future__ import annotations

from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, Ellipse, Line, Rectangle, Triangle
from kivy.metrics import dp
from kivy.properties import ListProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from screens import theme
from screens.cycles_printed import off_in_words
from screens.look import load_kv, look, text_px
from screens.widgets import Column

LEAST_SCALE_MS = 60.0
"""A row reaches so far on either side at least, lest trifles look large."""
MARK = 6
"""Half the height of a mark, in dp."""
AIR = 4


class OffMark(Widget):
    """One tap against its beat, the line in the middle: a point that looks left for early, right
    for late, a disc on the beat, and nothing where there was no tap.

    What counts as met lies on a lighter ground; the point of a tap outside is hollow.
    """

    off_ms = ObjectProperty(None, allownone=True)
    within_ms = NumericProperty(0)
    scale_ms = NumericProperty(LEAST_SCALE_MS)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._redraw = Clock.create_trigger(lambda _: self._draw(), -1)
        for name in ("pos", "size", "off_ms", "within_ms", "scale_ms"):
            self.fbind(name, self._changed)
        self._redraw()

    def _changed(self, *_: Any) -> None:
        self._redraw()

    def x_of(self, off_ms: float) -> float:
        """Where a tap so late is drawn, in pixels; early ones lie left of the middle."""
        reach = self.width / 2 - dp(MARK) * look.room - dp(2)
        return float(self.center_x + reach * off_ms / self.scale_ms)

    def _draw(self) -> None:
        self.canvas.clear()
        with self.canvas:
            if self.within_ms:
                left, right = self.x_of(-self.within_ms), self.x_of(self.within_ms)
                Color(*theme.RAISED)
                Rectangle(pos=(left, self.y), size=(right - left, self.height))
            Color(*theme.WAS)
            Line(points=(self.center_x, self.y, self.center_x, self.top), width=dp(1.2))
            if self.off_ms is None:
                return
            x, y, high = self.x_of(self.off_ms), self.center_y, dp(MARK) * look.room
            whole = round(self.off_ms)
            Color(*(theme.EARLY if whole < 0 else theme.LATE if whole > 0 else theme.WAS))
            if whole == 0:
                Ellipse(pos=(x - high, y - high), size=(2 * high, 2 * high))
                return
            Line(points=(self.center_x, y, x, y), width=dp(1.6))
            # The point touches where the tap came; its back lies towards the middle.
            back = x + high * 1.4 * (1 if whole < 0 else -1)
            if self.within_ms and abs(self.off_ms) > self.within_ms:
                Line(points=(x, y, back, y + high, back, y - high), close=True, width=dp(1.2))
            else:
                Triangle(points=(x, y, back, y + high, back, y - high))


class MetRow(BoxLayout):
    """One beat: its name, its tap drawn, and the same in words."""

    label = StringProperty("")
    words = StringProperty("")
    label_px = NumericProperty(0.0)
    words_px = NumericProperty(0.0)
    off_ms = ObjectProperty(None, allownone=True)
    within_ms = NumericProperty(0)
    scale_ms = NumericProperty(LEAST_SCALE_MS)


class MetRows(Column):
    """All beats of `met` in turn; nothing where there are none."""

    met = ListProperty()

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._fill = Clock.create_trigger(lambda _: self._make(), -1)
        self.fbind("met", self._changed)
        self.fbind("width", self._changed)
        look.bind(scale=self._changed)

    def _changed(self, *_: Any) -> None:
        self._fill()

    def _make(self) -> None:
        self.clear_widgets()
        if not self.met:
            return
        scale_ms = max(
            LEAST_SCALE_MS, *(max(abs(one.off_ms or 0.0), 1.3 * one.within_ms) for one in self.met)
        )
        words = [off_in_words(one) for one in self.met]
        words_px = max(text_px(text, theme.SANS, theme.SMALL) for text in words) + dp(AIR)
        labels_px = max(text_px(one.label, theme.SANS, theme.SMALL) for one in self.met) + dp(AIR)
        label_px = min(labels_px, max(0.3 * self.width, self.width - words_px - dp(200)))
        rows = Column(spacing=dp(2))
        for one, text in zip(self.met, words, strict=True):
            rows.add_widget(
                MetRow(
                    label=one.label,
                    words=text,
                    label_px=label_px,
                    words_px=words_px,
                    off_ms=one.off_ms,
                    within_ms=one.within_ms,
                    scale_ms=scale_ms,
                )
            )
        self.add_widget(rows)


load_kv("met")
