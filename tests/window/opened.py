"""A real window that needs no display, and the app in it at any size."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

SURFACE = 1920
"""The window is made this large on both sides; any smaller size can then be shown in it."""


def set_up() -> None:
    """What Kivy must know before it is first imported."""
    os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
    os.environ["KIVY_NO_ARGS"] = "1"
    os.environ["KIVY_NO_FILELOG"] = "1"
    os.environ["KIVY_LOG_MODE"] = "PYTHON"
    os.environ.setdefault("KIVY_HOME", tempfile.mkdtemp(prefix="kaan-kivy-"))
    os.environ["KIVY_DPI"] = "96"
    os.environ["KIVY_METRICS_DENSITY"] = "1"
    from kivy.config import Config

    Config.set("graphics", "width", str(SURFACE))
    Config.set("graphics", "height", str(SURFACE))
    Config.set("graphics", "maxfps", "0")
    Config.set("kivy", "exit_on_escape", "0")
    Config.set("input", "mouse", "mouse,disable_multitouch")
    import kivy.core.window  # noqa: F401 - opens the window, at this size


@contextmanager
def showing(root: Any, size: tuple[int, int]) -> Iterator[Any]:
    """One widget in the window at a size in dp."""
    from kivy.base import EventLoop
    from kivy.core.window import Window

    Window.size = size
    if EventLoop.status != "started":
        EventLoop.start()
    for _ in range(2):
        EventLoop.idle()
    Window.add_widget(root)
    try:
        for _ in range(4):
            EventLoop.idle()
        yield root
    finally:
        Window.remove_widget(root)


@contextmanager
def app_on(practice: Any, size: tuple[int, int]) -> Iterator[Any]:
    """The app on a practice, in the window at a size in dp."""
    from kivy.app import App

    from screens.app import KaanApp

    app = KaanApp(practice)
    App._running_app = app
    app.root = app.build()
    app.dispatch("on_start")
    try:
        with showing(app.root, size):
            yield app
    finally:
        app.dispatch("on_stop")
        App._running_app = None


def picture(path: Path) -> None:
    """Save what the window shows."""
    from kivy.core.window import Window

    taken = Window.screenshot(name=str(path))
    os.replace(taken, path)
