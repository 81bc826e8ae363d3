"""A drawing of the phrase after the answer: its pitch over time, and where it was to be heard.

The swaras are named below it, each under its own. While the phrase sounds, a point runs along it.
"""

from __future__ import annotations

from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, Ellipse, Line, Rectangle
from kivy.metrics import dp
from kivy.properties import NumericProperty, ObjectProperty
from kivy.uix.widget import Widget

from quizzes.names import swara_word
from screens import theme
from screens.following import Following
from screens.look import TextImage, load_kv, look, type_px
from screens.tracing import (
    Drawing,
    Note,
    form_that_fits,
    forms_of,
    pitch_at,
    places_of,
    shown_of,
)
from words import say, to_say

HERE = to_say("here")
BAND_TOP = 7
"""From the word above the band to its bracket, in dp."""
LEGS = 8
"""How far a bracket reaches down at both its ends, in dp."""
HIGHEST = 0.75
"""Of its breadth: a drawing any higher makes every step a leap."""
NAMES_APART = 3
"""Between two names below, in dp at least; where there is less room, one is left out."""
POINT = 6
"""How large the running point is, in dp."""


class Contour(Widget):
    """Draws `drawing`; while `following` is set, a point runs where it says.

    It is as high as it needs, or as the room that is `granted` to it, in pixels.
    `text_boxes` are the words drawn, each with its place: (text, x, y, width, height).
    """

    drawing: Drawing | None = ObjectProperty(None, allownone=True)
    following: Following | None = ObjectProperty(None, allownone=True)
    at_s: float | None = ObjectProperty(None, allownone=True)
    """Where in the phrase the point stands; None where there is none."""
    least = NumericProperty(0.0)
    granted = NumericProperty(0.0)

    def __init__(self, **kwargs: Any) -> None:
        self.text_boxes: list[tuple[str, float, float, float, float]] = []
        self._running: Any = None
        super().__init__(**kwargs)
        self._draw = Clock.create_trigger(self._drawn, -1)
        for name in ("pos", "size", "drawing"):
            self.fbind(name, self._changed)
        self.fbind("at_s", self._place_point)
        look.bind(scale=self._changed)
        self._draw()

    def _changed(self, *_: Any) -> None:
        self._draw()

    # Places.

    def x_of(self, at_s: float) -> float:
        """The pixel of a moment."""
        assert self.drawing is not None
        part = (at_s - self.drawing.start_s) / (self.drawing.end_s - self.drawing.start_s)
        return float(self._left + part * (self.right - dp(theme.THIN) - self._left))

    def y_of(self, cents: float) -> float:
        """The pixel of a height."""
        assert self.drawing is not None
        low, high = self.drawing.low_cents, self.drawing.high_cents
        return float(self._foot + (cents - low) / (high - low) * (self._head - self._foot))

    # Drawing.

    def _drawn(self, *_: Any) -> None:
        self.canvas.clear()
        self.text_boxes = []
        if self.drawing is None or self.width < dp(60):
            return
        sa = _lettering(swara_word(0))
        self._left = self.x + dp(theme.THIN) + sa.width + dp(theme.THIN)
        notes, room = self.drawing.notes, (self.x + dp(theme.HAIR), self.right - dp(theme.HAIR))
        form = form_that_fits(notes, self.x_of, _broad_px, room)
        names = [_lettering(forms_of(note.label)[form]) for note in notes]
        places = places_of(notes, self.x_of, [name.width for name in names], room)
        # The names have a strip of their own below, so that no line runs through them.
        self._strip = self.y + dp(theme.HAIR) + max(name.height for name in names)
        self._foot = self._strip + dp(theme.THIN)
        above = sa.height + dp(BAND_TOP) if self.drawing.here else 0.0
        self._head = self.top - dp(theme.GAP + LEGS) - above
        with self.canvas:
            self._bands(above)
            self._lines(sa)
            apart = [name.width + dp(NAMES_APART) for name in names]
            shown = shown_of(notes, places, apart)
            for note, name, x, is_shown in zip(notes, names, places, shown, strict=True):
                if is_shown:
                    self._name(note, name, x)
            self._traces()
        self._place_point()

    def _bands(self, above: float) -> None:
        """Where it was to be heard: a filled band under a bracket, with the word above it."""
        assert self.drawing is not None
        top = self.top - dp(theme.HAIR) - above
        free_from = self.x
        for start_s, end_s in self.drawing.here:
            left, right = self.x_of(start_s), self.x_of(end_s)
            Color(*theme.WAS_GROUND)
            Rectangle(pos=(left, self.y + dp(2)), size=(right - left, top - self.y - dp(2)))
            Color(*theme.WAS)
            corners = (left, top - dp(LEGS), left, top, right, top, right, top - dp(LEGS))
            Line(points=corners, width=dp(1.6), cap="square", joint="miter")
            word = _lettering(say(HERE), bold=True)
            x = min(max((left + right - word.width) / 2, self.x), self.right - word.width)
            if x >= free_from:  # a second one so near is told by its band alone
                self._write(say(HERE), word, x, top + dp(BAND_TOP) - dp(3))
                free_from = x + word.width + dp(theme.THIN)

    def _lines(self, sa: Any) -> None:
        """A faint line at each swara that occurs, a stronger one at Sa with its name."""
        assert self.drawing is not None
        left, right = self._left, self.right - dp(theme.HAIR)
        Color(*theme.thinned(theme.EDGE, 0.75))
        for cents in self.drawing.lines:
            Line(points=(left, self.y_of(cents), right, self.y_of(cents)), width=dp(0.6))
        for cents in self.drawing.sas:
            y = self.y_of(cents)
            Color(*theme.BRASS_DIM)
            Line(points=(left, y, right, y), width=dp(1.1))
            Color(*theme.SOFT_INK)
            self._write(
                swara_word(0), sa, self.x + dp(theme.THIN), max(y - sa.height / 2, self._strip)
            )

    def _traces(self) -> None:
        assert self.drawing is not None
        for trace in self.drawing.traces:
            points = [value for s, cents in trace for value in (self.x_of(s), self.y_of(cents))]
            points[-2] -= dp(2)  # so that two strokes on one swara are seen to be two
            Color(*theme.GROUND)
            Line(points=points, width=dp(3.4), cap="round", joint="round")
            Color(*theme.STEEL)
            Line(points=points, width=dp(2.0), cap="round", joint="round")

    def _name(self, note: Note, name: Any, x: float) -> None:
        Color(*(theme.INK if note.deciding else theme.SOFT_INK))
        self._write(note.label, name, x, self._strip - name.height)

    def _write(self, text: str, image: Any, x: float, y: float) -> None:
        self.text_boxes.append((text, x, y, *image.size))
        Rectangle(texture=image, pos=(x, y), size=image.size)

    # The point.

    def on_following(self, *_: Any) -> None:
        """Run along, or stop."""
        if self._running is not None:
            self._running.cancel()
            self._running = None
        self.at_s = None
        if self.following is not None:
            self._running = Clock.schedule_interval(self._run, 0)
            self._run()

    def _run(self, *_: Any) -> bool:
        at_s = self.following.at_s() if self.following is not None and self._on_view() else None
        over = at_s is None or self.drawing is None or at_s > self.drawing.end_s
        self.at_s = None if over else at_s
        return not over

    def _on_view(self) -> bool:
        return self.get_parent_window() is not None

    def _place_point(self, *_: Any) -> None:
        self.canvas.after.clear()
        if self.at_s is None or self.drawing is None or not self.text_boxes:
            return
        x = self.x_of(max(self.at_s, self.drawing.start_s))
        cents = pitch_at(self.drawing.traces, self.at_s)
        with self.canvas.after:
            Color(*theme.thinned(theme.INK, 0.45))
            Line(points=(x, self._strip, x, self._head), width=dp(0.8))
            if cents is not None:
                y, radius = self.y_of(cents), dp(POINT) * look.room
                Color(*theme.GROUND)
                Ellipse(pos=(x - radius - 2, y - radius - 2), size=(2 * radius + 4,) * 2)
                Color(*theme.INK)
                Ellipse(pos=(x - radius, y - radius), size=(2 * radius,) * 2)


def _lettering(text: str, *, bold: bool = False) -> Any:
    """The picture of a word, in the small type."""
    font = theme.SANS_BOLD if bold else theme.SANS
    image = TextImage(text=text, font_name=font, font_size=type_px(theme.SMALL), halign="center")
    image.refresh()
    return image.texture


def _broad_px(text: str) -> float:
    return float(_lettering(text).width) + dp(theme.GAP)


load_kv("contour")
