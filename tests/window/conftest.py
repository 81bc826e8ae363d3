"""The window tests: one real window without a display, and the app in it on a folder of its own."""

from __future__ import annotations

import gc
import importlib
import subprocess
import sys
from contextlib import ExitStack
from functools import partial
from itertools import count
from pathlib import Path

import pytest

from tests.window import opened

ROOT = Path(__file__).resolve().parent.parent.parent
SCREENS = """
    app cautions desk_ways drill instrument lesson modes settings students summary tap_test weak
    welcome
"""
"""What the app reads in, part of it when it is first wanted."""
GARBAGE = 250_000
"""So many objects are looked through at once: some 50 MB."""


@pytest.fixture(scope="session")
def window(tmp_path_factory):
    """Kivy's window, or a skip where this machine can open none; asked in another process, as
    Kivy ends the interpreter where it finds no window."""
    probe = "from tests.window.opened import set_up; set_up(); import kivy.core.window as w; " + (
        "raise SystemExit(0 if w.Window else 3)"
    )
    asked = subprocess.run([sys.executable, "-c", probe], cwd=ROOT, capture_output=True, text=True)
    if asked.returncode != 0:
        pytest.skip("no window can be opened here (Debian: libegl1 libgles2 libgl1-mesa-dri)")
    opened.set_up()
    from practice import Practice

    for name in SCREENS.split():  # to stay to the end, with all of Kivy
        importlib.import_module(f"screens.{name}")
    practice = Practice(tmp_path_factory.mktemp("window"), speaker="silence")
    practice.courses()  # what is read of courses, ragas and talas stays too
    practice.close()
    gc.collect()
    gc.freeze()
    gc.set_threshold(4 * GARBAGE, 10, 10)  # as `swept` does it instead
    opened.draw_only_when_told()  # which each test does at its end
    from kivy.core.window import Window

    return Window


@pytest.fixture(autouse=True)
def swept():
    """Looks for garbage when a test's screens have become so, not again and again while they are
    there: that took a third of the time. Nor do screens of many tests before follow changes."""
    yield
    opened.let_go()
    if gc.get_count()[0] > GARBAGE:
        gc.collect()


@pytest.fixture
def open_app(window, tmp_path, monkeypatch):
    """Open the app: `open_app(size, cautions_seen=True, speaker="silence", **settings)`; with
    `seed` its practice draws the same questions each time."""
    from dataclasses import replace

    from practice import Practice, sounding
    from tests.no_drone import loop_for

    with ExitStack() as stack:

        def open_it(size=(600, 960), *, speaker="silence", seed=None, **settings):
            monkeypatch.setattr(sounding, "_loop", loop_for(speaker))
            drawn = {} if seed is None else {"seeds": partial(next, count(seed))}
            practice = Practice(tmp_path / "student", speaker=speaker, **drawn)
            stack.callback(practice.close)
            settings = {"cautions_seen": True, **settings}
            practice.save(replace(practice.settings, **settings))
            return stack.enter_context(opened.app_on(practice, size))

        yield open_it


@pytest.fixture(scope="session")
def kept_app(window, tmp_path_factory):
    """The app whose drill is asked, one for a process."""
    from dataclasses import replace

    from practice import Practice

    practice = Practice(tmp_path_factory.mktemp("kept") / "student", speaker="silence")
    practice.save(replace(practice.settings, cautions_seen=True))
    app = opened.KeptApp(practice)
    gc.collect()
    gc.freeze()
    yield app
    practice.close()


@pytest.fixture
def ask(kept_app):
    """The app on a drill that asks given steps: `ask(step(...), size=(600, 960))`.

    Gives (drill screen, session).
    """
    from tests.window.hands import frames
    from tests.window.scripted import ScriptedSession

    with ExitStack() as stack:

        def ask_it(*steps, size=(600, 960), **settings):
            stack.close()  # what was asked before
            drill = stack.enter_context(kept_app.drill(size, **settings))
            session = ScriptedSession(*steps)
            drill.begin(session)
            frames(4)
            return drill, session

        yield ask_it


@pytest.fixture(scope="module")
def heard(window, tmp_path_factory):
    """The app of a student who takes some things for others; one for a module."""
    from tests.window.so_far import confused_app

    with confused_app(tmp_path_factory.mktemp("taken") / "student") as app:
        yield app


@pytest.fixture
def open_tab(heard):
    """A tab in a window of this size: (screen, tab)."""
    from screens.look import look
    from tests.window.so_far import show_tab

    yield partial(show_tab, heard)
    look.text = 1.0
