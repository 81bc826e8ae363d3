"""What a key does: walks from thing to thing, presses, goes back; first the screen itself is asked.

F1, and "?" where the screen has no other use for it, lists the keys of what is on view; Escape and
a tablet's back key go back one step, from a sheet or a toast first.

Kivy's own focus asks the system for a keyboard, which on a tablet shows one; only fields that are
written in need that. Everything else is focused here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from kivy.core.window import Window
from kivy.uix.screenmanager import Screen
from kivy.uix.scrollview import ScrollView
from kivy.uix.textinput import TextInput
from kivy.uix.widget import Widget

from screens.key_sign import KeySign
from screens.key_words import ESCAPE, Said, common_keys
from screens.look import look
from screens.roll import read_on
from screens.said import Sheet, Toast
from words import say

NAMES = {
    8: "backspace",
    9: "tab",
    13: "enter",
    27: "escape",
    32: "space",
    271: "enter",
    273: "up",
    274: "down",
    275: "right",
    280: "pageup",
    281: "pagedown",
    276: "left",
    282: "f1",
    1001: "escape",  # the back key of a tablet, by its older number; by its newer one it is 27
}
ONCE = {"enter", "space", "escape", "t", "T", *"0123456789"}
"""Keys that do one thing however long they are held; T taps in time."""
BACKWARD, FORWARD = ("up", "left"), ("down", "right")
PAGES = {"pageup": 1, "pagedown": -1}


def key_name(key: int, modifiers: list[str]) -> str:
    """A key's name: "enter", "left", or the letter as it would be written, "R" with shift."""
    if key in NAMES:
        return NAMES[key]
    if not 32 < key < 127:
        return ""
    letter = chr(key)
    if letter == "/" and "shift" in modifiers:  # on many keyboards; F1 is on all
        return "?"
    raised = ("shift" in modifiers) != ("capslock" in modifiers)
    return letter.upper() if raised else letter


class KaanScreen(Screen):
    """One screen: knows where back leads, what Enter does when nothing is focused, and its keys."""

    back_to = ""
    """The screen that Escape leads to; empty where it leads nowhere."""
    tells_of_keys = False
    """Whether it says itself, among its own things, which key lists them all."""

    def __init__(self, **kwargs: Any) -> None:
        self.lies_over: Sheet | None = None
        """What lies over it until it is answered."""
        super().__init__(**kwargs)
        self.bind(on_leave=lambda _: self.close_sheet())

    def ask(self, question: str, about: str, do: tuple[str, Callable[[], None]], stay: str) -> None:
        """Ask before something is done: `do` says and does it, `stay` leaves it."""
        self._lay_over(
            Sheet(
                title=question, about=about, ways=(do, (stay, _nothing)), on_close=self.close_sheet
            )
        )

    def list_keys(self) -> None:
        """Tell what keys do here; asked again, no more."""
        if self.lies_over is not None:
            self.close_sheet()
            return
        common = (said for said in common_keys() if said[0] != ESCAPE or self.leads_back())
        rows = list(dict.fromkeys((*keys_of(self), *common)))
        ways = ((say("Back"), _nothing),)
        self._lay_over(Sheet(title=say("Keys"), rows=rows, ways=ways, on_close=self.close_sheet))

    def _lay_over(self, sheet: Sheet) -> None:
        self.close_sheet()
        focus_on(self, None)
        self.lies_over = sheet
        self.add_widget(sheet)

    def close_sheet(self) -> None:
        """Take away what lies over it."""
        if self.lies_over is not None:
            self.remove_widget(self.lies_over)
            self.lies_over = None

    def put_by(self) -> bool:
        """Take away a sheet, or else what was said in passing; whether there was any."""
        if self.lies_over is not None:
            self.close_sheet()
            return True
        for part in self.walk(restrict=True):
            if isinstance(part, Toast) and part.shown:
                part.put_by()
                return True
        return False

    def keys_said(self) -> Sequence[Said]:
        """The keys that are the screen's own just now."""
        return ()

    def leads_back(self) -> bool:
        """Whether there is a way back just now."""
        return bool(self.back_to) or type(self).back is not KaanScreen.back

    def back(self) -> None:
        """Leave for the screen before."""
        if self.back_to:
            self.manager.current = self.back_to

    def take_key(self, name: str) -> bool:
        """A key that is the screen's own; True if it was used."""
        return False

    def take_shortcut(self, name: str) -> bool:
        """A key with Ctrl, "Z" with Shift besides; it comes before a field that is written in."""
        return False

    def keeps_cursor(self, touch: Any) -> bool:
        """Whether a finger here writes into the field that has the cursor."""
        return False

    def main_thing(self) -> Widget | None:
        """What Enter presses while nothing is focused."""
        return None

    def put_away(self) -> None:
        """The app is put away while this is on view."""

    def let_go(self) -> None:
        """It is to be shown no more: let go of threads and of what is still going on."""


def _nothing() -> None:
    """Leave everything as it was."""


class Keys:
    """Brings the window's keys to the screen on view. One for a window."""

    def __init__(self, manager: Any) -> None:
        self._manager = manager
        self._held = ""
        self._sign = KeySign(manager)
        Window.bind(
            on_key_down=self._on_key_down,
            on_key_up=self._on_key_up,
            on_touch_down=self._on_touch_down,
        )

    def close(self) -> None:
        """Let go of the window."""
        self._sign.close()
        Window.unbind(
            on_key_down=self._on_key_down,
            on_key_up=self._on_key_up,
            on_touch_down=self._on_touch_down,
        )

    def _on_touch_down(self, _: Any, touch: Any) -> bool:
        """A finger takes over from the keys: what they stood on is left."""
        look.by_keys = False
        if self._manager.current_screen.keeps_cursor(touch):
            return False
        for thing in things_in(self._manager.current_screen):
            thing.focused = False
        return False

    def _on_key_down(
        self, window: Any, key: int, scancode: int, text: str | None, modifiers: list[str]
    ) -> bool:
        name = key_name(key, modifiers)
        if not name or {"ctrl", "alt", "meta"} & set(modifiers):
            # Else it is meant for a field, or for the system.
            return {"ctrl", "meta"} & set(modifiers) != set() and self._shortcut(name)
        again, self._held = name == self._held, name
        return self.take(name, backward="shift" in modifiers, again=again)

    def _shortcut(self, name: str) -> bool:
        screen = self._manager.current_screen
        return bool(name) and screen.lies_over is None and bool(screen.take_shortcut(name))

    def _on_key_up(self, *_: Any) -> bool:
        self._held = ""
        return False

    def take(self, name: str, *, backward: bool = False, again: bool = False) -> bool:
        """Use one key; True if it was used. `again` says that it has been held since before."""
        screen = self._manager.current_screen
        here = focused_in(screen)
        if isinstance(here, TextInput) and here.focus and name not in ("tab", "f1"):
            if name == "escape":
                here.focus = False
            return name == "escape"
        if again and name in ONCE:
            return True  # else it would run through what has not been read yet
        if name == "escape":  # a tablet has this key, too, without any others
            if not screen.put_by():
                screen.back()
            return True
        look.by_keys = True
        if name == "f1":
            screen.list_keys()
            return True
        if name == "tab":
            return _walk(screen, here, -1 if backward else 1)
        if screen.lies_over is None and screen.take_key(name):
            return True
        if here is not None and _offer(here, name):
            return True
        if name == "?":
            screen.list_keys()
            return True
        if name in PAGES:
            return _roll(screen.lies_over or screen, PAGES[name])
        if name in ("enter", "space"):
            main = screen.main_thing if screen.lies_over is None else lambda: screen.lies_over.main
            thing = here if here is not None else main()
            if thing is not None and hasattr(thing, "press"):
                thing.press()
            return True
        if name in BACKWARD + FORWARD:
            way = -1 if name in BACKWARD else 1
            return _along(screen, here, way) or _walk(screen, here, way)
        return False


def _offer(thing: Any, name: str) -> bool:
    return bool(thing.take_key(name)) if hasattr(thing, "take_key") else False


def things_in(screen: Widget) -> list[Any]:
    """Everything on a screen that can be focused, in reading order; where a sheet lies over it,
    what is on that.

    What the keys stand on stays among it when it can no more be used, as a plate at the end of its
    steps: the next Enter is then meant for it and must not press the main thing instead.
    """
    return [
        thing
        for thing in (getattr(screen, "lies_over", None) or screen).walk(restrict=True)
        if getattr(thing, "can_focus", False) and (thing.focused or not thing.disabled)
    ]


def row_of(thing: Any) -> Any:
    """The row of choices that a thing is one of, or None."""
    row = thing.parent if isinstance(thing, Widget) else None
    return row if getattr(row, "is_choice", False) else None


def stops_in(screen: Widget) -> list[Any]:
    """What Tab comes to: of a row of choices the one chosen alone, or the one stood on; as is usual
    for groups of radio buttons (WAI-ARIA Authoring Practices, radio group)."""
    stops: list[Any] = []
    rows: dict[int, int] = {}  # by row, where its stop is among all
    for thing in things_in(screen):
        row = row_of(thing)
        if row is None:
            stops.append(thing)
        elif id(row) not in rows:
            rows[id(row)] = len(stops)
            stops.append(thing)
        elif _is_rather(thing, stops[rows[id(row)]]):
            stops[rows[id(row)]] = thing
    return stops


def _is_rather(thing: Any, other: Any) -> bool:
    """Whether the stop of a row is rather the one than the other, that stands before it."""
    return (thing.focused, thing.chosen) > (other.focused, other.chosen)


def keys_of(screen: Any) -> Iterator[Said]:
    """What the screen says of its keys, and each thing on view on it of its own."""
    yield from screen.keys_said()
    for thing in screen.walk(restrict=True):
        said = getattr(thing, "keys_said", None)
        if said is not None and thing is not screen and _is_on_view(thing):
            yield from said()


def _is_on_view(thing: Any) -> bool:
    """Whether it can be used, as far as its parents let it."""
    return not thing.disabled and min(thing.size) > 0 and thing.opacity > 0


def _roll(root: Widget, way: int) -> bool:
    """Roll by a page, up (1) or down (-1), what can be rolled so."""
    return any(
        read_on(roll, way)
        for roll in root.walk(restrict=True)
        if isinstance(roll, ScrollView) and roll.do_scroll_y and not roll.disabled
    )


def focused_in(screen: Widget) -> Any:
    """The thing on a screen that is focused, or None."""
    things = things_in(screen)
    written_in = (thing for thing in things if getattr(thing, "focus", False))
    # A field that is written in has the keyboard, whatever else the keys stood on before.
    return next(written_in, None) or next((thing for thing in things if thing.focused), None)


def focus_on(screen: Widget, thing: Any) -> None:
    """Focus one thing on a screen, or, with None, nothing; roll it into view."""
    for other in screen.walk(restrict=True):
        if other is not thing and hasattr(other, "can_focus"):  # even if it no longer can
            _set(other, False)
    if thing is not None:
        _set(thing, True)
        parent = thing.parent
        while parent is not None and parent is not screen:
            if hasattr(parent, "scroll_to"):
                parent.scroll_to(thing, padding=24, animate=False)
                break
            parent = parent.parent


def _set(thing: Any, value: bool) -> None:
    thing.focused = value
    if isinstance(thing, TextInput):
        thing.focus = value


def _walk(screen: Widget, here: Any, way: int) -> bool:
    stops = stops_in(screen)
    if not stops:
        return False
    if here in stops:
        focus_on(screen, stops[(stops.index(here) + way) % len(stops)])
    else:
        focus_on(screen, stops[0 if way > 0 else -1])
    return True


def _along(screen: Widget, here: Any, way: int) -> bool:
    """Along a row of choices, and round at its end; whether it is one."""
    row = row_of(here)
    if row is None:
        return False
    things = [thing for thing in things_in(screen) if thing.parent is row]
    focus_on(screen, things[(things.index(here) + way) % len(things)])
    return True
