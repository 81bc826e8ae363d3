"""The ways of answers: from the settings into a file, and, after a look, from a file to here."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from practice import Practice
from practice.students import Known
from screens.arriving_log import ENDINGS, ArrivingLogScreen
from screens.keys import KaanScreen
from screens.ways import Ways
from words import say

NAME = "arriving log"


class LogWays(Ways):
    """Files that come while another is looked at wait for their turn."""

    def __init__(
        self,
        practice: Practice,
        go: Callable[[str], None],
        screen: Callable[[str], Any],
        on_practise: Callable[[Known], None],
    ) -> None:
        super().__init__(practice, go, screen)
        self._on_practise = on_practise
        self._waiting: list[Path] = []
        self._said: list[str] = []

    def makers(self) -> dict[str, Callable[[], KaanScreen]]:
        return {NAME: self._arriving}

    def _arriving(self) -> KaanScreen:
        return ArrivingLogScreen(
            self.practice,
            on_practise=self._on_practise,
            is_any_waiting=lambda: bool(self._waiting),
            name=NAME,
        )

    def hand_over_into(self, take: Callable[[Path], None], name: str) -> None:
        """Let a folder be chosen for one's own answers, from the settings."""
        self.choose_folder("settings", take, name)

    def choose_in_step(self, take: Callable[[Path], None]) -> None:
        """Let the folder be chosen that is to be kept in step, from the settings."""

        def chosen(folder: Path) -> None:
            self._go("settings")
            take(folder)

        self._go("chooser")
        self._screen("chooser").choose_folder(
            say("A folder to keep in step"),
            say("Keep this one in step"),
            on_chosen=chosen,
            on_close=lambda: self._go("settings"),
        )

    def choose_to_bring(self) -> None:
        """Let a file of answers be chosen, from the settings."""
        self.choose("settings", self._tell_settings)

    def choose(self, back: str, tell: Callable[[str], None]) -> None:
        """Let a file of answers be chosen, from the screen called `back`; then `tell` what was
        taken."""
        self._go("chooser")
        self._screen("chooser").choose_file(
            say("Answers to bring in"),
            ENDINGS,
            on_chosen=lambda path: self.bring(path, tell=tell),
            on_close=lambda: self._go(back),
        )

    def _tell_settings(self, said: str) -> None:
        self._go("settings")
        self._screen("settings").ids.answers.said = said

    def bring(self, path: Path, *, tell: Callable[[str], None]) -> None:
        """Show what a file of answers would bring, to be taken or left; then `tell` what was
        taken."""
        arriving = self._screen(NAME)
        if arriving.manager.current_screen is arriving and arriving.is_looked_at:
            self._waiting.append(path)
            return
        self._go(NAME)

        def done(said: str) -> None:
            self._said += [said] if said else []
            if self._waiting:
                self.bring(self._waiting.pop(0), tell=tell)
                return
            said, self._said = "\n".join(self._said), []
            tell(said)

        arriving.look(path, on_done=done)
