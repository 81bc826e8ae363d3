"""Where a screen stood: how far it was rolled and what the keys stood on, to stand there again."""

from __future__ import annotations

from typing import Any, NamedTuple

from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget

from screens.keys import focus_on, focused_in, things_in


class Stood(NamedTuple):
    """The share that was rolled, 1 at the top, and the place of what was focused among all that can
    be, if anything was."""

    rolled: float
    focused: int | None


def where(screen: Widget) -> Stood:
    """How a screen stands now."""
    roll, thing = _roll_of(screen), focused_in(screen)
    return Stood(
        1.0 if roll is None else roll.scroll_y,
        things_in(screen).index(thing) if thing is not None else None,
    )


def stand(screen: Widget, stood: Stood) -> None:
    """Let a screen like the one before stand as that did."""
    roll, things = _roll_of(screen), things_in(screen)
    if roll is not None:
        roll.scroll_y = stood.rolled
    if stood.focused is not None and stood.focused < len(things):
        focus_on(screen, things[stood.focused])


def _roll_of(screen: Widget) -> Any:
    return next((w for w in screen.walk(restrict=True) if isinstance(w, ScrollView)), None)
