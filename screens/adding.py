"""Which kind a new question is to be of: the forms of a teacher's own, and the kinds of Kaan."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.uix.widget import Widget

from quizzes.decks.deck import KIND
from quizzes.kinds import KINDS
from screens.forms import NAMES
from screens.keys import KaanScreen
from screens.look import load_kv
from screens.modes import WhichPlate
from words import say


class AddingScreen(KaanScreen):
    """Opened by `choose`; what was chosen is handed on once."""

    def __init__(self, **kwargs: Any) -> None:
        self._on_chosen: Callable[[str], None] | None = None
        self._on_close: Callable[[], None] = lambda: None
        super().__init__(**kwargs)
        for kind, (name, about) in NAMES.items():
            self._offer("own", kind, say(name), say(about))
        for kind, asking in KINDS.items():
            if kind != KIND:
                self._offer("kinds", kind, say(asking.title), "")

    def _offer(self, column: str, kind: str, name: str, about: str) -> None:
        plate = WhichPlate(which=kind, text=name, about=about)
        plate.bind(on_release=lambda plate: self._chosen(plate.which))
        self.ids[column].add_widget(plate)

    def choose(self, *, on_chosen: Callable[[str], None], on_close: Callable[[], None]) -> None:
        """Let a kind be chosen."""
        self._on_chosen, self._on_close = on_chosen, on_close
        self.ids.roll.to_top()

    def _chosen(self, kind: str) -> None:
        chosen, self._on_chosen = self._on_chosen, None
        if chosen is not None:
            chosen(kind)

    def back(self) -> None:
        self._on_chosen = None
        self._on_close()

    def main_thing(self) -> Widget | None:
        return None


load_kv("adding")
