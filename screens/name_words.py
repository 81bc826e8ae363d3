"""A person's name on view, in whatever script it is written: drawn word by word where its words
need more than one font.
"""

from __future__ import annotations

from itertools import groupby
from typing import Any

from kivy.properties import ColorProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.label import Label
from kivy.uix.stacklayout import StackLayout

from screens import theme
from screens.controls import Field
from screens.drawn import Drawn, drawn_by
from screens.look import load_kv
from screens.widgets import Touchable, Words
from words import to_say

CANNOT = to_say("Some of these letters cannot be drawn here; the name is kept as it is.")
"""To be said."""
LONGEST_WORD = 24
"""Letters of a word that has room on any line."""


class NameWord(Label):
    """One word of a name in several scripts."""

    role = StringProperty("lead")


class NameWords(StackLayout):
    """A name, or a text with names in it, as high as it needs; `role` is "lead", "body" or
    "small"."""

    text = StringProperty("")
    color = ColorProperty(theme.CLEAR)
    role = StringProperty("lead")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"color": theme.INK, **kwargs})
        self.fbind("text", self._make)
        self.fbind("role", self._make)
        self.fbind("color", self._paint)
        self._make()

    def _make(self, *_: Any) -> None:
        self.clear_widgets()
        runs = [(d, " ".join(words)) for d, words in groupby(self.text.split(), drawn_by)]
        for drawn, run in runs:
            # One run wraps as any text does; of several each word stands for itself, but for what
            # is as long as the path of a file, which wraps on lines of its own.
            for text in [run] if len(runs) == 1 else run.split():
                wraps = len(runs) == 1 or len(text) > LONGEST_WORD
                part = (
                    Words(text=text, role=self.role, snug=True)
                    if wraps
                    else NameWord(text=text, role=self.role)
                )
                part.font_name, part.font_script_name = drawn.font, drawn.script
                part.font_direction = "rtl" if drawn.script == "Arab" else "ltr"
                self.add_widget(part)
        self._paint()

    def _paint(self, *_: Any) -> None:
        for part in self.children:
            part.color = self.color


class PersonPlate(Touchable, BoxLayout):
    """A name that leads elsewhere: quiet until it is touched."""

    text = StringProperty("")

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        if self.state == "down":
            return theme.RAISED, theme.BRASS, theme.BRASS_TOUCHED
        return theme.CLEAR, theme.CLEAR, theme.BRASS


class NameField(Field):
    """A field for a name: written in the font of its letters, as far as one draws them."""

    @staticmethod
    def drawn(text: str) -> Drawn:
        """What draws the first of its letters that not every font does."""
        return drawn_by(text)


load_kv("name_words")
