"""A phrase as it is shown while it is made: a box for each swara, as broad as it is long, and over
them how each is reached and how it sways. A touch chooses one; so do the arrow keys.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

import numpy as np
from kivy.clock import Clock
from kivy.graphics import Color, Line, Rectangle, RoundedRectangle
from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty
from kivy.uix.widget import Widget

from audio.line import REST
from audio.ornaments import GHASEETS, MEENDS
from quizzes.names import in_letters
from screens import theme
from screens.look import TextImage, look, text_px, type_px
from screens.phrase import Item, Phrase, figure
from words import say

LEAST_BOX = 48
"""How broad a box is at least, in dp."""
PER_MATRA = 0.5
"""How much of a box's breadth each matra above one adds, up to four."""
LOUD, TONE = {1: "^", -1: "_", 0: ""}, {1: "*", -1: "o", 0: ""}


def words_of(item: Item) -> tuple[str, str, str]:
    """What stands in a box: small before its swara, the swara, and small after it."""
    tone = item.tone
    if tone is None:
        return "", say("rest") if item.part == REST else str(item.part), ""
    before = "".join(in_letters([swara]) for swara in tone.touches)
    swara = in_letters([tone.swara]) + (in_letters([tone.shaken]) if tone.shaken else "")
    return before, swara, LOUD[tone.loud] + TONE[tone.tone]


class PhraseStrip(Widget):
    """Shows `phrase`; `on_choose` is sent with the number of the box that is touched, and `on_hear`
    when the one that is chosen is to be heard."""

    __events__ = ("on_choose", "on_hear")

    phrase = ObjectProperty(Phrase())
    live = BooleanProperty(True)
    can_focus = BooleanProperty(True)
    focused = BooleanProperty(False)
    room_px = NumericProperty(100.0)
    """How broad the rows may be."""
    told = BooleanProperty(False)
    """Whether it only tells a phrase that was made; then, without one, it takes no room."""
    sounding = NumericProperty(-1)
    """Which item sounds just now; -1 for none."""
    inset_px = NumericProperty(0.0)
    """So far from the left they begin."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.boxes: list[tuple[float, float, float]] = []
        """Of each item its left side and breadth in pixels, and its row from above."""
        self._draw = Clock.create_trigger(lambda _: self._draw_all(), -1)
        for name in (
            "pos",
            "size",
            "phrase",
            "focused",
            "room_px",
            "inset_px",
            "live",
            "told",
            "sounding",
        ):
            self.fbind(name, self._changed)
        look.bind(scale=self._changed, by_keys=self._changed)
        self._changed()

    def _changed(self, *_: Any) -> None:
        self._lay_out()
        self._draw()

    # Where things are.

    @property
    def row_px(self) -> float:
        """How high a row is: boxes, and what is drawn over them."""
        return self.over_px + self.box_px + dp(6)

    @property
    def over_px(self) -> float:
        return float(dp(20) * look.room)

    @property
    def box_px(self) -> float:
        return float(max(dp(theme.TOUCH), type_px(theme.LEAD) * 1.25 + type_px(theme.SMALL) * 1.3))

    @property
    def rows(self) -> int:
        return int(self.boxes[-1][2]) + 1 if self.boxes else 1

    def _lay_out(self) -> None:
        gap, x, row = dp(6), 0.0, 0
        self.boxes = []
        for item in self.phrase.items:
            broad = min(self._broad(item), self.room_px)
            if x and x + broad > self.room_px:
                x, row = 0.0, row + 1
            self.boxes.append((x, broad, row))
            x += broad + gap
        self.height = 0.0 if self.told and not self.boxes else self.rows * self.row_px

    def _broad(self, item: Item) -> float:
        before, swara, after = words_of(item)
        words = text_px(swara, theme.SANS_BOLD, theme.LEAD)
        words += text_px(before, theme.SANS, theme.SMALL) + text_px(after, theme.SANS, theme.SMALL)
        one = dp(LEAST_BOX + 8) * look.room
        if item.matras > 1:
            words = max(words, text_px(_length(item), theme.SANS, theme.SMALL))
        longer = 1.0 + PER_MATRA * float(min(item.matras, Fraction(4)) - 1)
        return max(dp(LEAST_BOX), one * longer, words + dp(16))

    def box_of(self, at: int) -> tuple[float, float, float, float]:
        """A box in the window: x, y, breadth and height."""
        x, broad, row = self.boxes[at]
        return (
            self.x + self.inset_px + x,
            self.top - (row + 1) * self.row_px + dp(6),
            broad,
            self.box_px,
        )

    # Touch and keys.

    def on_touch_down(self, touch: Any) -> bool:
        if not self.live or touch.is_mouse_scrolling or not self.collide_point(*touch.pos):
            return False
        for at in range(len(self.boxes)):
            x, y, broad, high = self.box_of(at)
            if x <= touch.x <= x + broad and y <= touch.y <= y + high + self.over_px:
                self.dispatch("on_choose", at)
                return True
        return False

    def take_key(self, name: str) -> bool:
        """Left and right choose the one before and the one after."""
        if name not in ("left", "right") or not self.live or not self.boxes:
            return False
        self.dispatch("on_choose", self.phrase.at + (1 if name == "right" else -1))
        return True

    def press(self) -> None:
        """Enter plays the swara that is chosen."""
        if self.live and self.phrase.tone is not None:
            self.dispatch("on_hear")

    def on_choose(self, at: int) -> None:
        """This box was chosen."""

    def on_hear(self) -> None:
        """The swara that is chosen is to be heard."""

    # Drawing.

    def _draw_all(self) -> None:
        self.canvas.clear()
        with self.canvas:
            if not self.boxes and not self.told:
                self._empty()
            for at, item in enumerate(self.phrase.items):
                self._box(at, item)
                self._over(at, item)

    def _empty(self) -> None:
        """The place of the first swara."""
        Color(*theme.BRASS)
        x, y = self.x + self.inset_px, self.top - self.row_px + dp(6)
        broad = dp(LEAST_BOX + 8) * look.room
        Line(
            rounded_rectangle=(x + 1, y, broad, self.box_px, dp(theme.SMALL_RADIUS)), width=dp(1.3)
        )
        Line(points=(x + broad / 2, y + 0.3 * self.box_px, x + broad / 2, y + 0.7 * self.box_px))

    def _box(self, at: int, item: Item) -> None:
        x, y, broad, high = self.box_of(at)
        is_chosen = at == self.phrase.at and self.live
        ground = theme.RAISED if item.tone else theme.PANEL
        Color(*(theme.BRASS_TOUCHED if at == self.sounding else ground))
        RoundedRectangle(pos=(x, y), size=(broad, high), radius=[dp(theme.SMALL_RADIUS)])
        if is_chosen:
            Color(*(theme.FOCUS if self.focused and look.by_keys else theme.BRASS))
            line = (x + dp(1), y + dp(1), broad - dp(2), high - dp(2), dp(8))
            Line(rounded_rectangle=line, width=dp(1.8))
        self._letters(at, item)

    def _letters(self, at: int, item: Item) -> None:
        """What stands in a box: its swara, small before it what is touched, after it the signs of
        its stroke, and below it how long it is."""
        x, y, broad, high = self.box_of(at)
        sounds = at == self.sounding
        soft = theme.ON_BRASS if sounds else theme.SOFT_INK
        ink = theme.ON_BRASS if sounds else theme.INK if item.tone else soft
        bold = (theme.LEAD, theme.SANS_BOLD) if item.tone else (theme.SMALL, theme.SANS)
        small = theme.SMALL, theme.SANS
        before, swara, after = words_of(item)
        parts = ((before, small, soft, 0.35), (swara, bold, ink, 0.0), (after, small, soft, 0.25))
        drawn = [(_image(text, *type_), ink, up) for text, type_, ink, up in parts if text]
        length = _length(item)
        middle = y + high * (0.66 if length else 0.5)
        left = x + (broad - sum(image.texture.size[0] for image, *_ in drawn)) / 2
        for image, ink, up in drawn:
            left = _put(image, left, middle + up * type_px(theme.SMALL), ink)
        if length:
            image = _image(length, *small)
            broad_px, high_px = image.texture.size
            _put(image, x + (broad - broad_px) / 2, y + dp(4) + high_px / 2, soft)

    def _over(self, at: int, item: Item) -> None:
        """The bow of a meend from the swara before, a slide, a finger; and what sways."""
        tone = item.tone
        if tone is None:
            return
        x, y, broad, high = self.box_of(at)
        top, middle = y + high, x + broad / 2
        Color(*theme.BRASS_TOUCHED)
        if tone.by:
            begin = x - dp(16)
            if at and self.boxes[at - 1][2] == self.boxes[at][2]:
                before_x, _, before_broad, _ = self.box_of(at - 1)
                begin = before_x + before_broad / 2
            Line(
                points=_bow(tone.by, begin, middle, top + dp(2), 0.8 * self.over_px), width=dp(1.6)
            )
        if tone.sway or tone.shaken:
            turns = 2 if tone.sway == "andolan" else 5
            t = np.linspace(0.0, 1.0, 40)
            left = middle + dp(2) if tone.by else x + dp(8)  # there ends the bow
            rise = dp(3.5) * np.sin(2 * np.pi * turns * t)
            xs, ys = left + (x + broad - left) * t, top + dp(7) + rise
            Line(points=np.stack((xs, ys), 1).ravel().tolist(), width=dp(1.2))


def _length(item: Item) -> str:
    """How long an item is, "" for a matra; a part of one, in its narrow box, by its sign alone."""
    if item.matras == 1:
        return ""
    sign = figure(item.matras)
    return say("{number} matras", number=sign) if item.matras > 1 else sign


def _bow(by: str, begin: float, end: float, foot: float, high: float) -> list[float]:
    """From one swara to the next: a meend as a bow, a slide straight, a finger as a roof."""
    if by in MEENDS:
        t: Sequence[float] = np.linspace(0.0, 1.0, 24).tolist()
        rises = [float(np.sin(np.pi * part)) for part in t]
    elif by in GHASEETS:
        t, rises = (0.0, 1.0), [0.4, 0.4]
    else:
        t, rises = (0.0, 0.5, 1.0), [0.0, 1.0, 0.0]
    inset = 0.06 * (end - begin)
    begin, end = begin + inset, end - inset
    pairs = zip(t, rises, strict=True)
    return [value for at, up in pairs for value in (begin + (end - begin) * at, foot + high * up)]


def _image(text: str, size_sp: float, font: str) -> TextImage:
    image = TextImage(text=text, font_name=font, font_size=type_px(size_sp))
    image.refresh()
    return image


def _put(image: TextImage, left: float, middle: float, ink: theme.Colour) -> float:
    """Draw a text; where it ends."""
    broad, high = image.texture.size
    Color(*ink)
    Rectangle(texture=image.texture, pos=(left, middle - high / 2), size=(broad, high))
    return float(left + broad)
