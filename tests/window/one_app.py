"""One app for many tests: each asks anew in the same window, at its own size and look."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

from practice import Practice
from tests.window import opened


@contextmanager
def asking(folder: Path) -> Iterator[Callable[..., Any]]:
    """Gives `ask(step(...), size=(600, 960), text_size="usual", left_handed=False)`, which gives
    (drill screen, session)."""
    from kivy.core.window import Window

    from screens import theme
    from screens.look import look
    from tests.window.hands import frames
    from tests.window.scripted import ScriptedSession

    practice = Practice(folder, speaker="silence")
    practice.save(replace(practice.settings, cautions_seen=True))
    with opened.app_on(practice, (600, 960)) as app:
        drill = app._screen("drill")

        def ask(*steps, size=(600, 960), text_size="usual", left_handed=False):
            drill.drop()
            Window.size = size
            look.text, look.left_handed = theme.TEXT_SIZES[text_size], left_handed
            look.by_keys = False
            app.go("drill")
            session = ScriptedSession(*steps)
            drill.begin(session)
            frames(4)
            return drill, session

        yield ask
        drill.drop()
    practice.close()
