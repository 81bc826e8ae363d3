"""One plate of an order: its number, its label, and a grip under the hand that answers."""

from __future__ import annotations

from typing import Any

from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from screens import theme
from screens.look import load_kv, look
from screens.widgets import Touchable

WORDS_AIR = 12
"""Above and below a label together, in dp."""


class OrderPlate(Touchable, BoxLayout):
    """One thing of the order, with the number of the place where it stands and a grip."""

    key_id = StringProperty("")
    label = StringProperty("")
    number = NumericProperty(1)
    pad = ObjectProperty(None)
    lifted = BooleanProperty(False)

    def on_kv_post(self, base_widget: Any) -> None:
        """The grip lies under the hand that answers."""
        if look.left_handed:
            for part in list(self.children):
                self.remove_widget(part)
                self.add_widget(part)

    def fit(self, width: float) -> float:
        """How high it must be in this width, in pixels."""
        words = self.ids.words
        beside = self.ids.number.width + self.ids.grip.width + 2 * self.spacing
        words.width = width - beside - self.padding[0] - self.padding[2]
        words.texture_update()
        return float(max(dp(theme.TOUCH) * look.room, words.texture_size[1] + dp(WORDS_AIR)))

    def on_lifted(self, *_: Any) -> None:
        self._repaint()

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        if self.lifted:
            return theme.NECK, theme.BRASS, theme.INK
        return super().paint()

    def take_key(self, name: str) -> bool:
        """Up and down walk from place to place, after the last to Answer."""
        return bool(self.pad.walk_from(self, {"up": -1, "down": 1}.get(name, 0)))


load_kv("order_plate")
