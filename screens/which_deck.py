"""Into which deck something is to go: one that there is, or a new one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.widget import Widget

from practice import Practice, PracticeError
from practice.shelf import Kept
from quizzes.decks.draft import Draft
from screens.desk import NEW_NAME, about_of, name_of
from screens.editing import Editing, begun, opened
from screens.keys import KaanScreen
from screens.look import load_kv
from screens.modes import WhichPlate
from words import say


class WhichDeckScreen(KaanScreen):
    """Opened by `choose`; what edits the deck that was chosen is handed on once."""

    what = StringProperty("")
    """What is to go into it."""
    trouble = StringProperty("")
    any_deck = BooleanProperty(False)

    def __init__(self, practice: Practice, **kwargs: Any) -> None:
        self.practice = practice
        self._on_chosen: Callable[[Editing], None] | None = None
        self._on_close: Callable[[], None] = lambda: None
        super().__init__(**kwargs)

    def choose(
        self, what: str, *, on_chosen: Callable[[Editing], None], on_close: Callable[[], None]
    ) -> None:
        """Let a deck be chosen for what is told so."""
        self.what, self._on_chosen, self._on_close = what, on_chosen, on_close
        self.trouble = self.practice.shelf.trouble or ""
        self._list()
        self.ids.roll.to_top()

    def _list(self) -> None:
        """All decks that there are."""
        plates, shelf = self.ids.plates, self.practice.shelf
        plates.clear_widgets()
        decks = shelf.decks()
        names = [name_of(kept) for kept in decks]
        for kept, name in zip(decks, names, strict=True):
            about = about_of(kept, shelf.handed(kept.id))
            if names.count(name) > 1:
                about = f"{kept.id}. {about}"
            plate = WhichPlate(which=kept.id, text=name, about=about)
            plate.bind(on_release=lambda _, kept=kept: self._take(kept))
            plates.add_widget(plate)
        self.any_deck = bool(decks)

    def _take(self, kept: Kept) -> None:
        self._hand_on(lambda: opened(self.practice, kept))

    def make(self) -> None:
        """A new deck."""
        self._hand_on(lambda: begun(self.practice, Draft.new(say(NEW_NAME))))

    def _hand_on(self, found: Callable[[], Editing]) -> None:
        if self._on_chosen is None:
            return
        try:
            editing = found()
        except PracticeError as error:
            self.trouble = str(error)
            self.ids.roll.to_top()
            return
        chosen, self._on_chosen = self._on_chosen, None
        chosen(editing)

    def back(self) -> None:
        self._on_chosen = None
        self._on_close()

    def main_thing(self) -> Widget | None:
        return self.ids.new


load_kv("which_deck")
