"""Putting many rows into a column, a few in each frame, so that no frame takes long."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from kivy.clock import Clock
from kivy.uix.widget import Widget

AT_A_TIME = 12


class Filling:
    """Adds to one column at a time, so many rows in a frame; the first of them at once."""

    def __init__(self, at_a_time: int = AT_A_TIME) -> None:
        self._at_a_time = at_a_time
        self._waiting: list[Any] = []
        self._column: Widget | None = None
        self._make: Callable[[Any], Widget] = lambda _: Widget()
        self._go_on = Clock.create_trigger(self._some, 0)

    @property
    def is_going_on(self) -> bool:
        """Whether rows are still missing."""
        return bool(self._waiting)

    def add(self, column: Widget, of: Iterable[Any], make: Callable[[Any], Widget]) -> None:
        """Put a row for each of these below what is in the column."""
        self._column, self._waiting, self._make = column, list(of), make
        self._some()

    def leave(self) -> None:
        """What is still missing is not wanted any more."""
        self._waiting = []
        self._go_on.cancel()

    def _some(self, *_: Any) -> None:
        many = self._at_a_time
        now, self._waiting = self._waiting[:many], self._waiting[many:]
        if self._column is not None:
            for one in now:
                self._column.add_widget(self._make(one))
        if self._waiting:
            self._go_on()
