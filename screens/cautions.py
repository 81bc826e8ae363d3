"""Cautions: volume, breaks, hands, and when to see someone; read once before the first practice."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.widget import Widget

from practice import CAUTIONS
from screens.keys import KaanScreen
from screens.look import load_kv
from screens.widgets import Column
from words import say


class Caution(Column):
    """One caution."""

    text = StringProperty("")


class CautionsScreen(KaanScreen):
    """`first` before the first practice; `folder` is where the answers are kept."""

    first = BooleanProperty(False)
    folder = StringProperty("")

    def __init__(self, *, on_read: Callable[[], None], **kwargs: Any) -> None:
        self.on_read = on_read
        super().__init__(**kwargs)
        for text in CAUTIONS:
            self.ids.cautions.add_widget(Caution(text=say(text)))

    def back(self) -> None:
        if not self.first:
            self.on_read()

    def main_thing(self) -> Widget | None:
        return self.ids.read


load_kv("cautions")
