"""A window that only says why Kaan cannot begin, such as a folder that cannot be written to."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.app import App
from kivy.core.window import Window
from kivy.properties import StringProperty
from kivy.uix.screenmanager import NoTransition, ScreenManager
from kivy.uix.widget import Widget

from screens import (
    theme,
    widgets,  # noqa: F401 - refusal.kv is made of these
)
from screens.keys import KaanScreen, Keys
from screens.look import load_kv

SIZE = 640, 440
"""A small window: there is little to read."""


class RefusalScreen(KaanScreen):
    """`reason` says what is wrong and what to do."""

    reason = StringProperty("")

    def __init__(self, *, on_close: Callable[[], None], **kwargs: Any) -> None:
        self.on_close = on_close
        super().__init__(**kwargs)

    def back(self) -> None:
        self.on_close()

    def main_thing(self) -> Widget | None:
        return self.ids.close


class RefusalApp(App):
    """Shows the reason until it is closed."""

    title = "Kaan"
    use_kivy_settings = False

    def __init__(self, reason: str, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.reason = reason

    def build(self) -> ScreenManager:
        Window.clearcolor = theme.GROUND
        self.manager = ScreenManager(transition=NoTransition())
        self.manager.add_widget(
            RefusalScreen(name="refusal", reason=self.reason, on_close=self.stop)
        )
        self._keys = Keys(self.manager)
        return self.manager

    def on_start(self) -> None:
        """Make the window small."""
        Window.size = SIZE

    def on_stop(self) -> None:
        """Let go of the window."""
        self._keys.close()


load_kv("refusal")
