"""What was and what was written, one above the other, each place marked by shape and colour."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.metrics import dp
from kivy.properties import ListProperty, OptionProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.label import Label

from screens import theme
from screens.aligned import Place
from screens.grid import evenly, fitting
from screens.look import load_kv, look, text_px
from screens.widgets import Column, draw_mark

WAS_HEAD, GIVEN_HEAD = "It was", "You wrote"
NOTHING = "–"
"""Stands where one line has nothing beside the other."""


class ToldPlace(Label):
    """One place of a line after the answer: its key, and below it the shape of its mark.

    Without a mark it is no place of this line: the other one has a key too many there.
    """

    mark = OptionProperty("was", options=("", "was", "right", "otherwise"))

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.bind(pos=self._draw, size=self._draw)

    def _draw(self, *_: Any) -> None:
        radius = dp(6) * look.room
        self.canvas.after.clear()
        with self.canvas.after:
            draw_mark(self.mark, self.center_x, self.y + dp(6) + radius, radius)


class ToldRow(BoxLayout):
    """A stretch of one line, led by whose it is."""

    head = StringProperty("")
    head_px = 0.0

    def __init__(self, head: str, head_px: float, **kwargs: Any) -> None:
        super().__init__(head=head, **kwargs)
        self.ids.head.width = head_px


class ToldLines(Column):
    """The lines of `places`, broken where the width asks for it, in both lines at once."""

    places: Sequence[Place] = ListProperty()

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._drawn: tuple[object, ...] = ()
        self.width = 0.0  # until it is known, nothing is laid out
        self.bind(places=self._fit, width=self._fit)
        look.bind(scale=self._fit)

    def _fit(self, *_: Any) -> None:
        if not self.places or self.width <= 0.0:
            return
        labels = {label for place in self.places for label in (place.was, place.given) if label}
        head_px = text_px(GIVEN_HEAD, theme.SANS, theme.SMALL) + dp(10)
        broad = max(text_px(label, theme.SANS, theme.BODY) for label in labels) + dp(14)
        most = fitting(self.width - head_px, broad, dp(theme.HAIR))
        columns = evenly(len(self.places), most)
        if self._drawn != (columns, broad, tuple(self.places)):
            self._drawn = columns, broad, tuple(self.places)
            self._make(columns, broad, head_px)

    def _make(self, columns: int, broad: float, head_px: float) -> None:
        self.clear_widgets()
        whole_right = all(place.right for place in self.places)
        for start in range(0, len(self.places), columns):
            stretch = self.places[start : start + columns]
            part = Column(spacing=dp(theme.HAIR))
            was = ToldRow(WAS_HEAD, head_px)
            for place in stretch:
                mark = "" if place.was is None else "right" if place.right else "was"
                was.add_widget(_told(place.was, mark, broad))
            part.add_widget(was)
            if not whole_right:
                given = ToldRow(GIVEN_HEAD, head_px)
                for place in stretch:
                    mark = "right" if place.right else "otherwise"
                    given.add_widget(_told(place.given, mark, broad))
                part.add_widget(given)
            self.add_widget(part)


def _told(label: str | None, mark: str, broad: float) -> ToldPlace:
    return ToldPlace(text=label or NOTHING, mark=mark, width=broad)


load_kv("lines")
