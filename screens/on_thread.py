"""Doing what takes long on a thread of its own, while the window lives on."""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import Future
from typing import Any, TypeVar

from kivy.clock import Clock

Given = TypeVar("Given")


class OnThread:
    """One thing at a time; what comes of it is handed on in a frame to come, unless it was left or
    another was begun meanwhile. What is left is done to its end all the same, and then keeps nobody
    alive who waited for it."""

    def __init__(self) -> None:
        self._now: tuple[Future[Any], Callable[[Future[Any]], None]] | None = None

    def do(self, work: Callable[[], Given], then: Callable[[Future[Given]], None]) -> None:
        """Do the work; then `then` is called, on the window's thread, with what came of it."""
        coming: Future[Given] = Future()
        self._now = coming, then

        def run() -> None:
            try:
                coming.set_result(work())
            except BaseException as error:
                coming.set_exception(error)
            Clock.schedule_once(lambda _: self._hand_on(coming), 0)

        threading.Thread(target=run, name="at-work", daemon=True).start()

    def leave(self) -> None:
        """What comes of it is not wanted any more."""
        self._now = None

    def _hand_on(self, coming: Future[Any]) -> None:
        if self._now is not None and self._now[0] is coming:
            then, self._now = self._now[1], None
            then(coming)
