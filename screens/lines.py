"""What was and what was written, one above the other, each place marked by shape and colour."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import BooleanProperty, ListProperty, OptionProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.label import Label

from screens import theme
from screens.aligned import Place
from screens.grid import evenly, fitting
from screens.look import load_kv, look, text_px
from screens.widgets import Column, Words, draw_mark
from words import say, to_say

WAS_HEAD, COULD_BE_HEAD = to_say("It was"), to_say("Could be")
"""To be said."""
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
    given_head = StringProperty("")
    """Before the line that was given; each head stands once, before the first stretch."""
    one_of_several = BooleanProperty(False)
    """Whether other lines would have been right as well."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._drawn: tuple[object, ...] = ()
        self.width = 0.0  # until it is known, nothing is laid out
        self._lay_out = Clock.create_trigger(lambda _: self._fit(), -1)
        for name in ("places", "given_head", "one_of_several", "width"):
            self.fbind(name, self._changed)
        look.bind(scale=self._changed)

    def _changed(self, *_: Any) -> None:
        self._lay_out()

    def _fit(self) -> None:
        if not self.places or self.width <= 0.0:
            return
        labels = {label for place in self.places for label in (place.was, place.given) if label}
        heads = self._heads
        head_px = max(text_px(head, theme.SANS, theme.SMALL) for head in heads) + dp(10)
        broad = max(text_px(label, theme.SANS, theme.BODY) for label in labels) + dp(14)
        most = fitting(self.width - head_px, broad, dp(theme.HAIR))
        columns = evenly(len(self.places), most)
        standing = self._stand_better(columns, broad)
        if standing:
            broad = min(max(broad, head_px), self.width / len(heads) - dp(theme.HAIR))
        drawn = columns, broad, standing, heads, tuple(self.places)
        if self._drawn != drawn:
            self._drawn = drawn
            self._make(columns, broad, head_px, standing=standing)

    @property
    def _heads(self) -> tuple[str, ...]:
        if self._whole_right:  # one line tells both
            return (self.given_head if self.one_of_several else say(WAS_HEAD),)
        return say(COULD_BE_HEAD if self.one_of_several else WAS_HEAD), self.given_head

    @property
    def _whole_right(self) -> bool:
        return all(place.right for place in self.places)

    def _stand_better(self, columns: int, broad: float) -> bool:
        """Whether names are so long that they read better one below the other: those of an order
        as soon as they do not fit into one row, wrapped if need be."""
        if any(place.kept for place in self.places):
            return columns < len(self.places)
        lines = 1 if self._whole_right else 2
        fits = lines * (broad + dp(theme.HAIR)) <= self.width
        return fits and len(self.places) + 1 < lines * -(-len(self.places) // columns)

    def _make(self, columns: int, broad: float, head_px: float, *, standing: bool) -> None:
        self.clear_widgets()
        heads = self._heads
        if standing:
            self.add_widget(_standing(self.places, broad, heads))
            return
        for start in range(0, len(self.places), columns):
            stretch = self.places[start : start + columns]
            part = Column(spacing=dp(theme.HAIR))
            for head, told in zip(heads, (_was, _given), strict=False):
                row = ToldRow(head if start == 0 else "", head_px)
                for place in stretch:
                    row.add_widget(told(place, broad))
                part.add_widget(row)
            self.add_widget(part)


def _standing(places: Sequence[Place], broad: float, heads: Sequence[str]) -> Column:
    """Both lines from above to below, side by side, each under its head."""
    part = Column(spacing=dp(theme.HAIR))
    above = BoxLayout(size_hint_y=None, spacing=dp(theme.HAIR))
    for head in heads:
        words = Words(text=head, role="small", tone="soft", snug=True, size_hint_x=None)
        words.width = broad
        words.bind(height=lambda _, height: setattr(above, "height", height))
        above.add_widget(words)
    part.add_widget(above)
    for place in places:
        row = ToldRow("", 0.0, spacing=dp(theme.HAIR))
        row.remove_widget(row.ids.head)
        for _, told in zip(heads, (_was, _given), strict=False):
            row.add_widget(told(place, broad))
        for one in row.children:
            one.texture_update()
        row.height = max(row.height, *(one.texture_size[1] for one in row.children))
        part.add_widget(row)
    return part


def _was(place: Place, broad: float) -> ToldPlace:
    mark = "" if place.was is None else "right" if place.was_right else "was"
    return _told(place.was, mark, broad)


def _given(place: Place, broad: float) -> ToldPlace:
    return _told(place.given, "right" if place.given_right else "otherwise", broad)


def _told(label: str | None, mark: str, broad: float) -> ToldPlace:
    return ToldPlace(text=label or NOTHING, mark=mark, width=broad)


load_kv("lines")
