"""The gallery: all that screens are made of, in all its states, for whoever works on them.

`main.py --gallery` opens it. At its head language, letters, text size, contrast and hand are
chosen; everything is then made anew. Nobody's folder is read or written.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from kivy.app import App
from kivy.uix.screenmanager import NoTransition, ScreenManager
from kivy.uix.widget import Widget

from practice.settings import SWARA_LETTERS, TEXT_SIZES, Settings
from screens.controls import OptionRow
from screens.gallery_parts import GROUPS, Group
from screens.keys import KaanScreen, Keys
from screens.look import load_kv, look, take_look
from words import LANGUAGES, say

NAME = "gallery"
YES_NO = ((False, "no"), (True, "yes"))
CHOSEN_AT_ITS_HEAD: tuple[tuple[str, str, tuple[tuple[Any, str], ...]], ...] = (
    ("language", "Language", tuple((code, known.name) for code, known in LANGUAGES.items())),
    ("letters", "Letters", (("", "those of the language"), *((x, x) for x in SWARA_LETTERS))),
    ("text_size", "Text size", tuple((size, size) for size in TEXT_SIZES)),
    ("high_contrast", "High contrast", YES_NO),
    ("still", "Still", YES_NO),
    ("left_handed", "Left-handed", YES_NO),
)
"""A field of the settings, what it is called here, and its values; for developers, in English."""


class GalleryScreen(KaanScreen):
    """`on_settings` is told of what was chosen at the head, `on_close` when it is left."""

    def __init__(
        self,
        settings: Settings,
        *,
        on_settings: Callable[[Settings], None],
        on_close: Callable[[], None],
        **kwargs: Any,
    ) -> None:
        self._settings, self._on_settings, self._on_close = settings, on_settings, on_close
        super().__init__(**kwargs)
        for name, title, values in CHOSEN_AT_ITS_HEAD:
            row = OptionRow(options=values, value=getattr(settings, name))
            row.bind(on_choose=lambda _, value, name=name: self._choose(name, value))
            group = Group(title=title)
            group.add_widget(row)
            self.ids.head.add_widget(group)
        for title, make in GROUPS:
            group = Group(title=title)
            for part in make():
                group.add_widget(part)
            self.ids.groups.add_widget(group)

    def _choose(self, name: str, value: Any) -> None:
        self._on_settings(replace(self._settings, **{name: value}))

    def show_sheet(self) -> None:
        """What is asked before something is done."""
        away = say("Remove it"), lambda: None
        about = say("What was answered stays in the log.")
        self.ask(say("Remove {name}?", name="First gaps"), about, away, say("Keep it"))

    def say_in_passing(self) -> None:
        """What is said of what was done."""
        self.ids.toast.text = ""
        self.ids.toast.text = say("{name} was removed.", name="First gaps")

    def back(self) -> None:
        self._on_close()

    def main_thing(self) -> Widget | None:
        return self.ids.close


class GalleryApp(App):
    """A window with the gallery alone."""

    title = "Kaan: gallery"
    use_kivy_settings = False

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.settings = Settings()

    def build(self) -> ScreenManager:
        self.manager = ScreenManager(transition=NoTransition())
        self.manager.bind(size=lambda _, size: look.fit_room(*size))
        self.show(self.settings)
        self._keys = Keys(self.manager)
        return self.manager

    def show(self, settings: Settings) -> None:
        """Make it anew as it looks by these settings, rolled to where it was."""
        self.settings = settings
        take_look(settings)
        before = self.manager.screens[:]
        rolled = before[0].ids.roll.scroll_y if before else 1.0
        screen = GalleryScreen(
            settings, on_settings=self.show, on_close=self.stop, name=f"{NAME} {id(settings)}"
        )
        self.manager.add_widget(screen)
        self.manager.current = screen.name
        for one in before:
            self.manager.remove_widget(one)
        screen.ids.roll.scroll_y = rolled

    def on_stop(self) -> None:
        """Let go of the window."""
        self._keys.close()


load_kv("gallery")
