"""A teacher's hands at the desk: things brought on view and touched, and fields written in."""

from __future__ import annotations

import time
from typing import Any

from kivy.core.window import Window

from tests.window.hands import Finger, frames, key, touch

TOUCHED_S = 0.08
"""A roll waits for so long whether a finger is to move it; a shorter touch it hands on later."""


def press(screen: Any, thing: Any) -> None:
    """Roll a thing of a screen into view, as a finger would, and touch it."""
    thing = screen.ids[thing] if isinstance(thing, str) else thing
    parent = thing.parent
    while parent is not screen:
        if hasattr(parent, "scroll_to"):
            parent.scroll_to(thing, padding=60, animate=False)
            frames(3)
            break
        parent = parent.parent
    finger = Finger(*thing.to_window(*thing.center)).go_down()
    lifted_at = time.monotonic() + TOUCHED_S
    while time.monotonic() < lifted_at:
        time.sleep(0.02)
        frames(1)
    finger.come_up()
    frames(2)


def type_text(text: str) -> None:
    """Write into the field that has the cursor, letter by letter, as a keyboard does."""
    for letter in text:
        Window.dispatch("on_textinput", letter)
    frames(2)


def write(screen: Any, field: Any, text: str) -> None:
    """Touch a field and write at the end of what stands there."""
    press(screen, field)
    field.cursor = field.get_cursor_from_index(len(field.text))
    type_text(text)


def wipe(field: Any) -> None:
    """Take away, by the keyboard, all that stands in the field that has the cursor."""
    field.cursor = field.get_cursor_from_index(len(field.text))
    for _ in range(len(field.text)):
        key("backspace")


def strike(screen: Any, *signs: str) -> None:
    """Touch keys of the sargam keypad."""
    grids = [screen.pad.ids[row] for row in ("swaras", "marks", "hands")]
    plates = {plate.sign: plate for grid in grids for plate in grid.children}
    for sign in signs:
        touch(plates[sign])


def part_of(screen: Any, field: str) -> Any:
    """The part of a question's form that shows this field."""
    return next(part for part in screen._parts if part.fields[0] == field)


def rows_of(part: Any) -> list[Any]:
    """The rows of a list in a form, from above."""
    return part.rows.children[::-1]
