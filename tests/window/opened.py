"""A real window that needs no display, and the app in it at any size."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import partial
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
    from kivy.clock import Clock

    Clock._max_fps = 0  # a test that imported Kivy before may have let it read another figure


def draw_only_when_told() -> None:
    """From now on frames are laid out but only `draw` draws them: drawing without a graphics card
    takes longer than all else in a test, and no test looks at pixels. `draw_what_is_new` does so at
    the end of a test.

    Nor do the bars of rolls fade: what fades keeps a screen of a test before alive, which then lies
    itself out anew with every change of the look, which lets its bars fade.
    """
    from kivy.core.window import Window
    from kivy.uix.scrollview import ScrollView

    def _bind_inactive_bar_color(*_: object) -> None:  # Kivy asks for it by name
        pass

    ScrollView._bind_inactive_bar_color = _bind_inactive_bar_color
    Window.bind(on_draw=lambda *_: True, on_flip=lambda *_: True)  # True: nobody else is asked


def let_go() -> None:
    """Let Kivy keep nothing of an app that is closed, else the next one is there beside it: neither
    the field of text that was scrolled last, nor the one that is written in, nor the end of a touch
    on a roll, for which it waits a while."""
    from kivy.clock import Clock
    from kivy.core.window import Window
    from kivy.uix.textinput import TextInput

    TextInput._adjust_viewport(None, 0, 0)
    TextInput._adjust_viewport.cancel()
    Window.release_all_keyboards()
    for event in Clock.get_events():
        if isinstance(event.get_callback(), partial):
            event.cancel()
    Clock.tick()  # what was meant for the next frame


def draw() -> None:
    """Draw what stands in the window."""
    from kivy.core.window import Window

    Window.on_draw()
    Window.on_flip()


_drawn: set[tuple[object, ...]] = set()


def draw_what_is_new(root: Any) -> None:
    """Draw the window where a sort of widget stands in it that was not drawn at this size and stage
    of asking before: what cannot be drawn then still raises."""
    from kivy.core.window import Window

    parts = list(root.walk(restrict=True))
    stage = next((part.stage for part in parts if hasattr(part, "stage")), "")
    sorts = {(*Window.size, stage, type(part)) for part in parts}
    if not sorts <= _drawn:
        _drawn.update(sorts)
        draw()


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
        draw_what_is_new(root)
    finally:
        Window.remove_widget(root)


@contextmanager
def app_on(practice: Any, size: tuple[int, int], **told: Any) -> Iterator[Any]:
    """The app on a practice, in the window at a size in dp; `told` as the app is."""
    from kivy.app import App

    from screens.app import KaanApp

    app = KaanApp(practice, **told)
    App._running_app = app
    app.root = app.build()
    app.dispatch("on_start")
    try:
        with showing(app.root, size):
            yield app
    finally:
        app.dispatch("on_stop")
        App._running_app = None


WIRES = ("_on_done", "_on_keep", "_read_trouble")


class KeptApp:
    """One app for many tests of its drill, since opening an app takes as long as ten answers.

    A test finds its drill as a student finds it who begins another session; with the settings that
    it names and else those of the beginning, and with the window for itself.
    """

    def __init__(self, practice: Any) -> None:
        from kivy.base import EventLoop

        from screens.app import KaanApp

        if EventLoop.status != "started":
            EventLoop.start()
        self.app = KaanApp(practice)
        self.app.root = self.app.build()
        self.app._keys.close()
        self._settings = practice.settings
        drill = self.app._screen("drill")
        self._wires = {name: getattr(drill, name) for name in WIRES}

    @contextmanager
    def drill(self, size: tuple[int, int], **settings: Any) -> Iterator[Any]:
        """The drill in the window, with these settings above the usual ones."""
        from kivy.app import App

        from screens.keys import Keys
        from screens.look import look

        app, manager = self.app, self.app.manager
        app.practice.save(replace(self._settings, **settings))
        app.take_look()
        look.fit_room(*size)  # another app may have been shown at another size since
        look.by_keys = False
        drill = app._screen("drill")
        for name, wire in self._wires.items():
            setattr(drill, name, wire)  # a test may have drawn others
        app._wanted_on.clear()
        manager.current = "drill"
        keys = Keys(manager)
        App._running_app = app
        try:
            with showing(app.root, size):
                yield drill
        finally:
            drill.drop()
            app.practice.end()
            keys.close()
            App._running_app = None


def picture(path: Path) -> None:
    """Save what the window shows."""
    from kivy.core.window import Window

    taken = Window.screenshot(name=str(path))
    os.replace(taken, path)
