"""What all ways between the desk's screens have in common."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from practice import Practice
from words import say


class Ways:
    """Leads from screen to screen: `go` shows one by its name, `screen` gives one. A screen that
    lets folders be chosen is there by the name "chooser"."""

    def __init__(
        self, practice: Practice, go: Callable[[str], None], screen: Callable[[str], Any]
    ) -> None:
        self.practice, self._go, self._screen = practice, go, screen

    def choose_folder(self, back: str, take: Callable[[Path], None], name: str) -> None:
        """Let a folder be chosen into which a file of this `name` is written by `take`, on the
        screen called `back`."""

        def chosen(folder: Path) -> None:
            self._go(back)
            take(folder)

        self._go("chooser")
        self._screen("chooser").choose_folder(
            say("Where {name} is to be written", name=name),
            say("Write it here"),
            on_chosen=chosen,
            on_close=lambda: self._go(back),
        )
