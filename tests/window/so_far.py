"""So far, of a student who takes some things for others: the app on it, and its tabs."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from practice import Practice
from quizzes.kinds.swara import SwaraKind
from tests import taken
from tests.window import opened
from tests.window.hands import frames, wait_for

PORTRAIT, LANDSCAPE = (600, 960), (1120, 760)
NOW = datetime(2026, 11, 29, 18, tzinfo=UTC)
SKILLS = [
    *(skill.id for skill in SwaraKind().skills()),
    *taken.skills_of("raga-from-phrase:note", ("bhupali", "yaman", "durga", "alhaiya_bilawal")),
    *taken.skills_of("ornament", ("kan", "sparsh", "meend", "span:3", "span:4", "span:5")),
]


@contextmanager
def confused_app(folder: Path) -> Iterator[Any]:
    """The app of a student who takes some things for others, and hears Pa ever finer."""
    practice = Practice(folder, speaker="silence", now=lambda: NOW)
    practice.save(replace(practice.settings, cautions_seen=True))
    student = practice.settings.student_id
    rows = taken.rows(SKILLS, 1000, until=NOW, student=student)
    rows += taken.tuned("tune:P", 120, (30.0, 10.0), until=NOW, student=student)
    practice._log.append_all(sorted(rows, key=lambda row: row.utc))
    with opened.app_on(practice, PORTRAIT) as app:
        yield app
    practice.close()


def show_tab(
    app: Any, name: str, size: tuple[int, int] = PORTRAIT, *, text_size: str = "usual"
) -> tuple[Any, Any]:
    """A tab, with all looked through afresh, in a window of this size: (screen, tab)."""
    from kivy.app import App
    from kivy.core.window import Window

    from screens import theme
    from screens.look import look

    Window.size = size
    App._running_app = app
    look.text, look.by_keys = theme.TEXT_SIZES[text_size], False
    app.go("practice")
    app.go("weak")
    screen = app.manager.current_screen
    screen.take_tab(name)
    wait_for(lambda: not screen.waiting, what="what the tab shows")
    frames(6)
    return screen, screen._tabs[name]
