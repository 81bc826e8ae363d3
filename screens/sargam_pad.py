"""A keypad for a line of sargam: twelve swaras, marks, holds, rests, and what the left hand does.

It writes into `field`; the keyboard writes there by itself, so its keys are for fingers only, but
for those at its foot.
"""

from __future__ import annotations

from typing import Any

from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.behaviors.focus import FocusBehavior
from kivy.uix.boxlayout import BoxLayout

from audio.tuning import SWARAS
from screens import theme
from screens.grid import columns_of, fitting
from screens.look import load_kv, look, text_px
from screens.phrase_keys import swara_about
from screens.widgets import Touchable
from words import say, to_say

MARKS = (
    (",", to_say("lower")),
    ("'", to_say("upper")),
    ("-", to_say("hold")),
    (".", to_say("rest")),
    ("|", to_say("bar")),
)
SAPTAKS = MARKS[:2]
"""What may stand beside a swara where swaras alone are written."""
TOGETHER = ("SR", to_say("together"))
"""The key that runs swaras together into one matra."""
HANDS = (
    ("/", to_say("meend up")),
    ("\\", to_say("meend down")),
    ("//", to_say("slide up")),
    ("\\\\", to_say("slide down")),
    ("<", to_say("hammer")),
    (">", to_say("pull off")),
    ("~", to_say("andolan")),
    ("~~", to_say("gamak")),
    ("(", to_say("kan")),
    (")", to_say("its end")),
    ("{", to_say("zamzama")),
    ("}", to_say("its end")),
    ("c", to_say("chikari")),
)
"""Signs and what each stands for; to be said."""
LEAST_KEY = 50
"""The least breadth of a key, in dp."""


class SignPlate(Touchable, BoxLayout):
    """One key: its sign, and below it in small letters what it stands for."""

    sign = StringProperty("")
    about = StringProperty("")
    can_focus = BooleanProperty(False)
    chosen = BooleanProperty(False)
    brief = BooleanProperty(False)
    """Without what it stands for, where there is no room for that."""

    def on_chosen(self, *_: Any) -> None:
        self._repaint()

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        if self.chosen:
            return theme.BRASS, theme.BRASS, theme.ON_BRASS
        return super().paint()


class SargamPad(BoxLayout):
    """Writes into `field`. `on_hear` is sent when the line is to be played, `on_done` when the pad
    is to be put away."""

    __events__ = ("on_hear", "on_done")

    field = ObjectProperty(None, allownone=True)
    apart = BooleanProperty(True)
    """Whether each swara takes a matra of its own."""
    plain = BooleanProperty(False)
    """Whether swaras alone are written."""
    hands = BooleanProperty(False)
    """Whether the signs for the left hand are on view."""
    sounding = BooleanProperty(False)
    """Whether the line is being played: then the plate that plays it stops it."""
    window_px = NumericProperty(0.0)
    """How high the screen is; of a good part of it no more is taken, and its keys roll."""

    def on_kv_post(self, base_widget: Any) -> None:
        """Its keys are made once its parts are there."""
        self._fill("swaras", [(letter, swara_about(letter)) for letter in SWARAS])
        self._fill_marks()
        self._fill_hands()
        self.bind(plain=self._fill_marks, hands=self._fill_hands, width=self._fit)
        look.bind(scale=self._fit)
        self._fit()

    def _fill(self, row: str, keys: Any) -> None:
        for key, about in keys:
            plate = SignPlate(sign=key, about=about)
            plate.bind(on_release=lambda plate: self.strike(plate.sign))
            self.ids[row].add_widget(plate)

    def on_field(self, *_: Any) -> None:
        """It offers what may stand there."""
        if self.field is not None:
            self.plain = self.field.plain

    def _fill_marks(self, *_: Any) -> None:
        self.ids.marks.clear_widgets()
        marks = SAPTAKS if self.plain else MARKS
        self._fill("marks", [(sign, say(about)) for sign, about in marks])
        if not self.plain:
            sign, about = TOGETHER
            together = SignPlate(sign=sign, about=say(about), chosen=not self.apart)
            together.bind(on_release=self._turn_apart)
            self.ids.marks.add_widget(together)
        self._fill_hands()

    def _fill_hands(self, *_: Any) -> None:
        self.ids.hands.clear_widgets()
        if self.hands and not self.plain:
            self._fill("hands", [(sign, say(about)) for sign, about in HANDS])
        self._fit()

    def _fit(self, *_: Any) -> None:
        """As many keys in a row as their words leave room for."""
        for row in ("swaras", "marks", "hands"):
            grid = self.ids[row]
            if not grid.children:
                grid.height = 0
                continue
            words = max(text_px(plate.about, theme.SANS, theme.SMALL) for plate in grid.children)
            broad = max(dp(LEAST_KEY) * look.room, words + dp(12))
            most = fitting(self.width - 2 * grid.padding[0], broad, grid.spacing[0])
            grid.cols = columns_of(len(grid.children), most)

    def _turn_apart(self, together: SignPlate) -> None:
        self.apart = not self.apart
        together.chosen = not self.apart

    def strike(self, key: str) -> None:
        """Write what a key stands for."""
        if self.field is not None:
            self.field.strike(key, apart=self.apart or self.plain)

    def take_back(self) -> None:
        """Take away what was written last."""
        if self.field is not None:
            self.field.take_back()

    def on_touch_down(self, touch: Any) -> bool:
        """The field keeps the cursor while its keys are touched."""
        if self.collide_point(*touch.pos) and not self.disabled:
            FocusBehavior.ignored_touch.append(touch)
            super().on_touch_down(touch)
            return True
        return False

    def on_hear(self) -> None:
        """The line is to be played."""

    def on_done(self) -> None:
        """The pad is to be put away."""


load_kv("sargam_pad")
