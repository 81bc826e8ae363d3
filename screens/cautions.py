"""Cautions on volume, breaks and hands, and what Kaan is: where answers lie, who may use it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.properties import StringProperty
from kivy.uix.widget import Widget

from practice import CAUTIONS
from screens.keys import KaanScreen
from screens.look import load_kv
from screens.widgets import Column
from words import say, to_say

ABOUT = (
    to_say(
        "Kaan is daily practice for the ear of a sitar student, and the desk of the student's "
        "teacher. It asks what is not yet heard surely, always with fresh sounds, and explains "
        "every answer by ear."
    ),
    to_say(
        "Ragas, talas and the order of a performance are told with their sources; where traditions "
        "differ, your teacher's word stands above them."
    ),
    to_say(
        "Anybody may use, change and pass it on (MIT licence). Its letters are Noto fonts (SIL "
        "Open Font License)."
    ),
    to_say(
        "Hindi and Bengali have not yet been read by people who grew up with them. Where a word is "
        "wrong, say so; all of them stand in plain files."
    ),
)


class Caution(Column):
    """One caution."""

    text = StringProperty("")


class CautionsScreen(KaanScreen):
    """`folder` is where the answers are kept; `on_close` is called to go back."""

    folder = StringProperty("")

    def __init__(self, *, on_close: Callable[[], None], **kwargs: Any) -> None:
        self.on_close = on_close
        super().__init__(**kwargs)
        for texts, column in ((CAUTIONS, self.ids.cautions), (ABOUT, self.ids.about)):
            for text in texts:
                column.add_widget(Caution(text=say(text)))

    def on_pre_enter(self, *_: Any) -> None:
        """From the top."""
        self.ids.roll.to_top()

    def back(self) -> None:
        self.on_close()

    def main_thing(self) -> Widget | None:
        return self.ids.read


load_kv("cautions")
