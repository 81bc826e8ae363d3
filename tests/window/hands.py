"""Hands for the window tests: touches and keys that take the way of a real device."""

from __future__ import annotations

import itertools
import time
from collections.abc import Callable
from typing import Any

from kivy.app import App
from kivy.base import EventLoop
from kivy.core.window import Window
from kivy.input.motionevent import MotionEvent

KEYS = {"tab": 9, "enter": 13, "escape": 27, "space": 32, "up": 273, "down": 274, "right": 275}
KEYS |= {"left": 276, "backspace": 8, "pageup": 280, "pagedown": 281, "f1": 282}
_ids = itertools.count(1)


class Finger(MotionEvent):
    """One finger on the glass, at pixels of the window."""

    def __init__(self, x: float, y: float) -> None:
        number = next(_ids)
        place = self._place(x, y)
        super().__init__("test", number, place, is_touch=True, type_id="touch")

    @staticmethod
    def _place(x: float, y: float) -> dict[str, float]:
        return {"sx": x / Window.width, "sy": y / Window.height}

    def depack(self, args: dict[str, float]) -> None:
        self.sx, self.sy = args["sx"], args["sy"]
        self.profile = ["pos"]
        super().depack(args)

    def go_down(self) -> Finger:
        EventLoop.post_dispatch_input("begin", self)
        return self

    def slide_to(self, x: float, y: float) -> Finger:
        self.move(self._place(x, y))
        EventLoop.post_dispatch_input("update", self)
        return self

    def come_up(self) -> None:
        EventLoop.post_dispatch_input("end", self)


def hold(name: str, times: int) -> None:
    """Hold a key of `KEYS` down until it has come so many times; let go."""
    for _ in range(times):
        Window.dispatch("on_key_down", KEYS[name], KEYS[name], None, [])
        frames(2)
    Window.dispatch("on_key_up", KEYS[name], KEYS[name])


def frames(count: int = 3) -> None:
    """Let the window draw so many frames."""
    for _ in range(count):
        EventLoop.idle()


def wait_for(fact: Callable[[], Any], *, what: str = "it", patience_s: float = 30.0) -> Any:
    """Draw frames until `fact` holds; what it returned. Patience ends only what is broken."""
    give_up_at = time.monotonic() + patience_s
    while time.monotonic() < give_up_at:
        if found := fact():
            return found
        EventLoop.idle()
        time.sleep(0.005)  # let other threads work
    raise AssertionError(f"{what} did not come within {patience_s:g} s")


def touch(widget: Any) -> None:
    """Touch a widget in its middle and let go."""
    touch_at(*widget.to_window(*widget.center))


def touch_at(x: float, y: float) -> None:
    finger = Finger(x, y).go_down()
    frames(2)
    finger.come_up()
    frames(2)


def touch_fret(pad: Any, swara: str) -> None:
    """Touch the string at the fret of a swara in the saptak shown."""
    touch_at(*pad.to_window(*pad.middle_of(swara)))


def slide(pad: Any, *swaras: str) -> None:
    """Touch the string at a fret, slide from there to others, and let go."""
    first, *others = [pad.to_window(*pad.middle_of(swara)) for swara in swaras]
    finger = Finger(*first).go_down()
    frames(2)
    before = first
    for there in others:
        for part in (0.25, 0.5, 0.75, 1.0):
            finger.slide_to(*(a + (b - a) * part for a, b in zip(before, there, strict=True)))
            frames(1)
        before = there
    finger.come_up()
    frames(2)


def key(name: str, *modifiers: str) -> None:
    """Strike a key: a name of `KEYS`, or a letter; capitals are struck with shift."""
    held = list(modifiers)
    if len(name) == 1:
        code = ord(name.lower())
        held += ["shift"] if name.isupper() else []
    else:
        code = KEYS[name]
    Window.dispatch("on_key_down", code, code, None, held)
    Window.dispatch("on_key_up", code, code)
    frames(2)


def tab_to(fact: Callable[[], Any]) -> None:
    """Strike Tab, and arrows along a row of choices, until `fact` holds; no screen has so many
    things to walk through as 100."""
    from screens.keys import focused_in, row_of  # after Kivy has its window

    for _ in range(100):
        if fact():
            return
        row = row_of(focused_in(App.get_running_app().manager.current_screen))
        for _ in row.children if row is not None else ():
            key("right")
            if fact():
                return
        key("tab")
    raise AssertionError("the keys did not come there")
