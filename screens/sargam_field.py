"""A field for a line of sargam: read on every change, with a mark under the swara at fault."""

from __future__ import annotations

from typing import Any

from kivy.graphics import Color, Line, Rectangle
from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.utils import platform

from audio.errors import SargamError
from audio.sargam import parse
from screens import theme
from screens.controls import Lines
from screens.look import look, text_px
from screens.sargam_writing import placed

NO_FAULT = -1


class SargamField(Lines):
    """`fault` says what is wrong with what is written, and `fault_at` at which character, from 0.

    An empty field has no fault. `on_write` is sent as by any other field.
    """

    plain = BooleanProperty(False)
    """Whether it is for swaras alone, without rhythm and without the left hand."""
    fault = StringProperty("")
    fault_at = NumericProperty(NO_FAULT)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        if platform in ("android", "ios"):
            self.keyboard_mode = "managed"  # its keypad is on view: no second one over it
        for name in ("pos", "size", "text", "fault_at", "scroll_y"):
            self.fbind(name, self._mark)
        look.bind(scale=self._mark)
        self.fbind("text", self._read)
        self._read()

    def on_focus(self, _: Any, focus: bool) -> None:
        """Tell the screen that has a keypad for it."""
        above = self.parent
        while above is not None and above.parent is not above:
            if hasattr(above, "write_in"):
                above.write_in(self, focus=focus)
                return
            above = above.parent

    def _read(self, *_: Any) -> None:
        """The fault of the line as it stands."""
        try:
            if self.text.strip():
                parse(self.text)
        except SargamError as error:
            # A fault at the end of the line is marked at its last character.
            self.fault_at = max(0, min(error.position, len(self.text) - 1))
            self.fault = str(error).partition("\n")[0]
        else:
            self.fault, self.fault_at = "", NO_FAULT

    def _mark(self, *_: Any) -> None:
        """A veil over the character at fault, and a bar under it."""
        self.canvas.after.remove_group("fault")
        if not 0 <= self.fault_at < len(self.text):
            return
        x, y, broad = self.place_of(self.fault_at)
        x, broad = x - dp(2), broad + dp(4)
        with self.canvas.after:
            Color(*theme.veil(theme.OTHERWISE, 0.3), group="fault")
            Rectangle(pos=(x, y), size=(broad, self.line_height), group="fault")
            Color(*theme.OTHERWISE, group="fault")
            Line(points=(x, y, x + broad, y), width=dp(1.8), group="fault")

    def place_of(self, at: int) -> tuple[float, float, float]:
        """Left, foot and breadth of a character, in pixels of the parent."""
        _, row = self.get_cursor_from_index(at)
        begins = self.cursor_index((0, row))
        left = text_px(self.text[begins:at], self.font_name, theme.BODY) if at > begins else 0.0
        broad = max(dp(8), text_px(self.text[at], self.font_name, theme.BODY))
        x = self.x + self.padding[0] + left
        y = self.top - self.padding[1] + self.scroll_y
        return x, y - (row + 1) * (self.line_height + self.line_spacing), broad

    def strike(self, key: str, *, apart: bool) -> None:
        """Write what a key of the keypad stands for, where the cursor is."""
        self.delete_selection()
        before = self.text[: self.cursor_index()]
        self.insert_text(placed(before, key, apart=apart))

    def take_back(self) -> None:
        """Take the character before the cursor away, and a space that ended there too."""
        if self.selection_text:
            self.delete_selection()
            return
        self.do_backspace()
        if self.text[: self.cursor_index()].endswith(" "):
            self.do_backspace()
