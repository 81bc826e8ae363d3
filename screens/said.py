"""What is said in passing, what is asked before something is done, and why a list is empty.

A toast stays until it is put by, something else is said, or the screen is left: nobody has to read
by the clock (WCAG 2.2, success criterion 2.2.1). A sheet lies over its screen and takes all touches
and keys; a touch beside it, Escape and its brass plate leave everything as it was.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.floatlayout import FloatLayout
from kivy.uix.widget import Widget

from screens import (
    name_words,  # noqa: F401 - said.kv is made of these
    theme,
)
from screens.look import load_kv
from screens.widgets import BrassPlate, Plate, Touchable, Words

Way = tuple[str, Callable[[], None]]
"""What a plate says, and what it does."""


class CrossPlate(Touchable, Widget):
    """Puts something by: a small cross."""

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        if self.state == "down":
            return theme.NECK, theme.CLEAR, theme.BRASS_TOUCHED
        return theme.CLEAR, theme.CLEAR, theme.FAINT_INK if self.disabled else theme.BRASS


class Toast(BoxLayout):
    """What was just done, with one thing that can be done about it, such as to take it back.

    Without a text it takes no room. `on_act` is sent when that thing is wanted, `on_put_by` when
    it was read and is to go.
    """

    __events__ = ("on_act", "on_put_by")

    text = StringProperty("")
    way = StringProperty("")
    """What can be done about it."""
    shown = BooleanProperty(False)

    def on_text(self, *_: Any) -> None:
        self.shown = bool(self.text)

    def put_by(self) -> None:
        """It was read."""
        self.shown = False
        self.dispatch("on_put_by")

    def on_act(self) -> None:
        """What can be done about it is wanted."""

    def on_put_by(self) -> None:
        """It was read and is to go."""


class Empty(Words):
    """Why a list is empty, and what fills it; without a text it takes no room."""


class SheetRow(BoxLayout):
    """One line of a sheet in two parts, as a key and what it does."""

    head = StringProperty("")
    text = StringProperty("")


class Sheet(FloatLayout):
    """Lies over a screen until it is answered: `ways` from above, the last one in brass, which
    leaves everything as it was; `rows` are what is to be read, each in two parts."""

    title = StringProperty("")
    about = StringProperty("")

    def __init__(
        self,
        *,
        ways: Sequence[Way],
        on_close: Callable[[], None],
        rows: Sequence[tuple[str, str]] = (),
        **kwargs: Any,
    ) -> None:
        self._on_close = on_close
        super().__init__(**kwargs)
        for head, text in rows:
            self.ids.rows.add_widget(SheetRow(head=head, text=text))
        self._roll = self.ids.roll.__self__  # kept here where it is nowhere on view
        if not rows:
            self.ids.panel.remove_widget(self._roll)
        for words, do in ways[:-1]:
            self._add(Plate(text=words), do)
        words, do = ways[-1]
        self.main = BrassPlate(text=words)
        """What Enter presses while nothing is focused."""
        self._add(self.main, do)

    def _add(self, plate: Plate, do: Callable[[], None]) -> None:
        def answered(_: Any) -> None:
            self.close()
            do()

        plate.bind(on_release=answered)
        self.ids.ways.add_widget(plate)

    def close(self) -> None:
        """Leave everything as it was."""
        self._on_close()

    def on_touch_down(self, touch: Any) -> bool:
        """What lies beneath is not touched."""
        if not self.collide_point(*touch.pos):
            return False
        if not super().on_touch_down(touch) and not self.ids.panel.collide_point(*touch.pos):
            self.close()
        return True

    def on_touch_move(self, touch: Any) -> bool:
        super().on_touch_move(touch)
        return True

    def on_touch_up(self, touch: Any) -> bool:
        super().on_touch_up(touch)
        return True


load_kv("said")
