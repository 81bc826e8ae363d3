"""The answer pad for shares: a bar divided among things in turn, and below it a list of them.

A border of the bar is dragged, or in the list minutes are taken and given. By the keyboard the
arrows left and right walk along the list, or the number of a thing leads to it; up and down, or
+ and -, give it more or less. The answer goes out only when it is sent.
"""

from __future__ import annotations

from typing import Any

from kivy.metrics import dp
from kivy.properties import (
    BooleanProperty,
    ListProperty,
    NumericProperty,
    ObjectProperty,
    OptionProperty,
    StringProperty,
)
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from quizzes.question import KEYS_APART, Question
from quizzes.stages.sharing import evenly_shared
from screens import theme
from screens.key_words import ENTER, UP_DOWN, Said
from screens.keys import focus_on
from screens.look import load_kv, look, text_px
from screens.share_bar import minutes_text
from screens.shares import borders, with_border, with_more
from screens.widgets import Touchable
from words import say

BAR_HIGH = 72
NEAR = 32
"""So far from a border, in dp, a finger takes hold of it."""
HARDLY = 10
"""Of borders so much nearer or further, in dp, the finger's first step tells which is meant."""
APART = 6
"""Between rows, in dp."""
WAYS = {"up": 1, "+": 1, "=": 1, "down": -1, "-": -1}
"""By key: more or less. On many keyboards + is = with shift."""


class StepPlate(Touchable, Widget):
    """A plate that gives one minute more or takes one; the keys reach it by its row."""

    sign = OptionProperty("more", options=("more", "less"))
    can_focus = BooleanProperty(False)


class ShareRow(Touchable, BoxLayout):
    """One thing with its number, its minutes, and less and more beside them."""

    number = NumericProperty(1)
    label = StringProperty("")
    minutes = NumericProperty(0)
    pad = ObjectProperty(None)

    def on_kv_post(self, base_widget: Any) -> None:
        """Less and more lie under the hand that answers."""
        if look.left_handed:
            for part in (self.ids.more, self.ids.less):
                self.remove_widget(part)
                self.add_widget(part, index=len(self.children))

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        return theme.CLEAR, theme.CLEAR, theme.FAINT_INK if self.disabled else theme.INK

    def take_key(self, name: str) -> bool:
        """More or less for it; Enter sends all, since there is nothing to press."""
        if name == "enter":
            self.pad.answer()
            return True
        if name not in WAYS:
            return False
        self.pad.step(self.number - 1, WAYS[name])
        return True

    def fit(self, width: float, minutes_px: float) -> float:
        """How high it must be in this width, in pixels."""
        ids = self.ids
        ids.minutes.width = minutes_px
        beside = ids.number.width + minutes_px + ids.less.width + ids.more.width
        ids.words.width = width - beside - 4 * self.spacing
        ids.words.texture_update()
        return float(max(dp(theme.TOUCH) * look.room, ids.words.texture_size[1] + dp(4)))


class SharesPad(BoxLayout):
    """Shares a whole out, evenly at first; `on_answer` is sent with the shares, joined."""

    __events__ = ("on_answer",)

    shares = ListProperty()
    live = BooleanProperty(True)
    """False while nothing can be shared out."""
    edge_px = NumericProperty(0.0)
    """Room all round its things, for the ring that shows where the keys stand."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._rows: list[ShareRow] = []
        self._finger: Any = None
        self.fbind("shares", self._changed)
        self.fbind("live", self._changed)

    def _changed(self, *_: Any) -> None:
        self._show()

    def ask(self, question: Question) -> None:
        """Offer the things of a question, with the whole shared evenly."""
        self._let_go()
        rows = self.ids.rows
        rows.clear_widgets()
        self._rows = []
        for number, choice in enumerate(question.choices, 1):
            row = ShareRow(pad=self, number=number, label=choice.label)
            row.ids.less.bind(on_release=lambda _, row=row: self.step(row.number - 1, -1))
            row.ids.more.bind(on_release=lambda _, row=row: self.step(row.number - 1, 1))
            row.bind(focused=self._changed)
            self._rows.append(row)
            rows.add_widget(row)
        self.ids.roll.to_top()
        self.shares = list(evenly_shared(question.whole, len(question.choices)))

    # Sharing.

    def step(self, at: int, more: int) -> None:
        """One more or one less for a thing."""
        if self.live:
            self.shares = list(with_more(self.shares, at, more))

    def answer(self) -> None:
        """Send the shares as they are."""
        if self.live and self._finger is None:
            self.dispatch("on_answer", KEYS_APART.join(map(str, self.shares)))

    def on_answer(self, line: str) -> None:
        """The student answered with `line`."""

    # Touch.

    def _borders_near(self, x: float) -> list[int]:
        """The borders that a finger here may mean, the nearest first."""
        bar = self.ids.bar
        far = {at: abs(bar.x_of(p) - x) for at, p in enumerate(borders(self.shares))}
        near = sorted((at for at in far if far[at] <= dp(NEAR)), key=lambda at: far[at])
        return [at for at in near if far[at] <= far[near[0]] + dp(HARDLY)]

    def on_touch_down(self, touch: Any) -> bool:
        bar = self.ids.bar
        mine = bar.collide_point(*touch.pos) and not touch.is_mouse_scrolling
        if not mine or self.disabled:
            return bool(super().on_touch_down(touch))
        near = self._borders_near(touch.x)
        if self.live and near and self._finger is None:
            touch.grab(self)
            touch.ud[self] = near, tuple(self.shares)
            self._finger = touch
            bar.held = near[0]
        return True

    def on_touch_move(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return bool(super().on_touch_move(touch))
        bar, (near, began) = self.ids.bar, touch.ud[self]
        if touch.x != touch.ox and len(near) > 1:
            # Of borders that lie together, the outer one on the side where the finger goes.
            near = [max(near) if touch.x > touch.ox else min(near)]
            touch.ud[self] = near, began
        # From where all borders stood at first, so that what was pushed comes back too.
        bar.held = near[0]
        moved = borders(began)[bar.held] + bar.whole_in(touch.x - touch.ox)
        self.shares = list(with_border(began, bar.held, moved))
        return True

    def on_touch_up(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return bool(super().on_touch_up(touch))
        self._let_go()
        return True

    def _let_go(self) -> None:
        if self._finger is not None:
            self._finger.ungrab(self)
            self._finger = None
        self.ids.bar.held = -1

    def on_live(self, *_: Any) -> None:
        if not self.live:
            self._let_go()

    # Keys.

    def take_key(self, name: str) -> bool:
        """A key of the keyboard while it may be meant for the list; True if it was used."""
        if not self.live or self._finger is not None or not self._rows:
            return False
        if name.isdecimal() and 1 <= int(name) <= len(self._rows):
            focus_on(self, self._rows[int(name) - 1])
            return True
        here = any(row.focused for row in self._rows) or self.ids.answer.focused
        if name in ("left", "right", *WAYS) and not here:
            focus_on(self, self._rows[-1 if name == "left" else 0])
            return True
        return False

    def key_words(self) -> tuple[Said, ...]:
        """The keys that share out."""
        return (
            (f"1–{len(self._rows)}", say("Choose whose share is meant")),
            (f"{say(UP_DOWN)}, +, -", say("More or less for it")),
            (ENTER, say("Answer")),
        )

    # Showing.

    def _show(self) -> None:
        bar = self.ids.bar
        bar.shares = self.shares
        bar.at = next((row.number - 1 for row in self._rows if row.focused), -1)
        for row, minutes in zip(self._rows, self.shares, strict=False):
            row.minutes = minutes
            row.disabled, row.can_focus = not self.live, self.live
            for plate, more in ((row.ids.less, -1), (row.ids.more, 1)):
                moved = with_more(self.shares, row.number - 1, more)
                plate.disabled = not self.live or list(moved) == list(self.shares)
        self.ids.answer.disabled = not self.live
        self.ids.answer.can_focus = self.live

    def fit(self, width: float, room: float) -> None:
        """Lay bar and list out in this width, in as much of the height `room` as they can use.

        The edge comes on top, on either side.
        """
        if not self._rows:
            return
        self.width = width + 2 * self.edge_px
        ids = self.ids
        ids.bar.height = dp(BAR_HIGH) * look.room
        room -= ids.above.height + ids.answer.height + 2 * dp(theme.THIN)
        minutes = text_px(minutes_text(sum(self.shares)), theme.SANS, theme.BODY)
        # The roll has its bar at its side.
        row_width = width - dp(theme.HAIR)
        high = max(row.fit(row_width, minutes + dp(2)) for row in self._rows)
        for row in self._rows:
            row.height = high
        ids.rows.height = len(self._rows) * (high + dp(APART)) - dp(APART) + 2 * self.edge_px
        ids.roll.height = min(ids.rows.height, max(high, room))
        self.height = ids.above.height + ids.roll.height + ids.answer.height + 2 * dp(theme.THIN)


load_kv("sharing")
