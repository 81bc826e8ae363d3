"""Doing what takes long only once the screen was seen to say so."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.clock import Clock


class Soon:
    """One thing that is about to be done; another takes its place."""

    def __init__(self) -> None:
        self._coming: Any = None

    def do(self, thing: Callable[[], None]) -> None:
        """Do it once a frame was drawn with all that has changed by now."""
        self.leave()

        def drawn(_: float) -> None:
            self._coming = Clock.schedule_once(lambda _: thing(), 0)

        self._coming = Clock.schedule_once(drawn, 0)

    def leave(self) -> None:
        """Do it no more."""
        if self._coming is not None:
            self._coming.cancel()
            self._coming = None
