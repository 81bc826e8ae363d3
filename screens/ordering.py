"""The answer pad for orders: plates one below the other, each carried to the place it belongs in.

A finger drags a plate, and the others make room at once; let go outside, it returns. A plate that
is only touched stays lifted until another place is touched. By the keyboard, Enter lifts the plate
that the keys stand on, the arrows carry it and Enter sets it down; the number of a place lifts what
stands there, and a second number says where to. The answer goes out only when it is sent.
"""

from __future__ import annotations

from typing import Any

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import (
    BooleanProperty,
    ListProperty,
    NumericProperty,
    StringProperty,
)
from kivy.uix.boxlayout import BoxLayout

from audio.speakers import Playing
from quizzes.question import KEYS_APART, Question
from screens import theme
from screens.key_words import ENTER, UP_DOWN, Said
from screens.keys import focus_on
from screens.look import load_kv
from screens.order_places import OrderPlaces
from screens.order_plate import OrderPlate
from words import say

STILL = 8
"""A finger that has moved less than this, in dp, has touched and not dragged."""
BESIDE = 28
"""So far beside the list, in dp, a plate can still be let go into it."""
EDGE = 44
"""So near to an edge, in dp, or beyond it, a dragged plate makes the list roll."""
POLL_S = 0.1
"""So often it is looked whether the cue has been heard out."""
ROLLS_PX_S = 7.0
"""How fast it then rolls, in pixels a second for each pixel that the finger is past that line."""


class OrderList(BoxLayout):
    """Puts `line`, a list of ids, in order; `on_answer` is sent with them, joined."""

    __events__ = ("on_answer",)

    line = ListProperty()
    lifted = StringProperty("")
    """The id of what is lifted, if anything."""
    live = BooleanProperty(True)
    """False while nothing can be moved."""
    settled = BooleanProperty(False)
    """Whether something was moved or the cue heard out: until then the order may be sent as it
    lies, but nothing asks for it."""
    edge_px = NumericProperty(0.0)
    """Room all round its things, for the ring that shows where the keys stand."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._before: list[str] = []
        self._finger: Any = None
        self._rolling: Any = None
        self._look_whether_ended = Clock.create_trigger(self._hear_out, POLL_S, interval=True)
        self.fbind("live", self._set_live)

    @property
    def places(self) -> OrderPlaces:
        """Where its plates stand."""
        return self.ids.places

    def ask(self, question: Question) -> None:
        """Offer the things of a question, in the order in which it has them."""
        self._let_go()
        self.lifted, self.settled = "", False
        self._look_whether_ended.cancel()
        self.places.fill(question.choices, on_touch=self.touch_place, pad=self)
        self.line = self.places.line
        self.ids.roll.to_top()
        self._set_live()

    def _set_live(self, *_: Any) -> None:
        if not self.live and self._finger is not None:
            self.put_back()
        self.places.set_live(self.live)
        self.ids.answer.disabled = not self.live
        self.ids.answer.can_focus = self.live

    def hear_out(self, playing: Playing) -> None:
        """The cue has begun to sound."""
        self._playing = playing
        if self._hear_out():
            self._look_whether_ended()

    def _hear_out(self, *_: Any) -> bool:
        """For the clock: whether it still sounds."""
        self.settled = self.settled or self._playing.ended
        return not self.settled

    # Moving.

    def touch_place(self, number: int) -> None:
        """Lift what stands at this place, from 1; or put what is lifted there and set it down."""
        if not self.live or not 1 <= number <= len(self.line):
            return
        if self.lifted:
            self.carry_to(number)
            self.set_down()
        else:
            self.lift(self.line[number - 1])

    def lift(self, key: str) -> None:
        """Lift one thing; where it stood is kept until it is set down."""
        self._before = list(self.line)
        self.lifted = key

    def carry_to(self, number: int) -> None:
        """Move what is lifted to this place, from 1, or to the nearest there is."""
        line = [key for key in self.line if key != self.lifted]
        line.insert(min(max(number - 1, 0), len(line)), self.lifted)
        self.settled = self.settled or line != self.line
        self.line = line

    def set_down(self) -> None:
        """What is lifted stays where it is."""
        self.lifted = ""

    def put_back(self) -> bool:
        """What is lifted goes back to where it stood; False where nothing is."""
        if not self.lifted:
            return False
        self._let_go()
        self.line, self.lifted = self._before, ""
        return True

    def answer(self) -> None:
        """Send the order as it stands."""
        if self.live and self._finger is None:
            self.set_down()
            self.dispatch("on_answer", KEYS_APART.join(self.line))

    def on_answer(self, line: str) -> None:
        """The student answered with `line`."""

    # Touch.

    def _under(self, touch: Any) -> OrderPlate | None:
        """The plate that a finger here would drag: where the list rolls, only by its grip."""
        roll = self.ids.roll
        if not self.live or self.disabled or touch.is_mouse_scrolling:
            return None
        if not roll.collide_point(*touch.pos):
            return None
        x, y = roll.to_local(*touch.pos)
        for plate in self.places.plates:
            if plate.collide_point(x, y):
                by = plate.ids.grip if self._rolls else plate
                return plate if by.collide_point(x, y) else None
        return None

    def on_touch_down(self, touch: Any) -> bool:
        plate = self._under(touch)
        if plate is None:
            return bool(super().on_touch_down(touch))
        if self._finger is not None:
            return True  # one thing at a time
        touch.grab(self)
        _, y = self.ids.roll.to_local(*touch.pos)
        touch.ud[self] = {
            "grip": y - plate.center_y,
            "key": plate.key_id,
            "lifted": self.lifted,
            "dragged": False,
        }
        self._finger = touch
        if not self.lifted:
            self.lift(plate.key_id)
        return True

    def on_touch_move(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return bool(super().on_touch_move(touch))
        held = touch.ud[self]
        if not held["dragged"]:
            if abs(touch.y - touch.oy) + abs(touch.x - touch.ox) < dp(STILL):
                return True
            held["dragged"] = True
            if self.lifted != held["key"]:
                self.set_down()
                self.lift(held["key"])
            self._rolling = Clock.schedule_interval(self._roll_on, 0)
        self._drag()
        return True

    def on_touch_up(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return bool(super().on_touch_up(touch))
        held = touch.ud[self]
        outside = self._outside
        if held["dragged"]:
            self._drag()
        self._let_go()
        if not held["dragged"]:
            if held["lifted"]:  # this finger says where to
                self.touch_place(self.places.plate(held["key"]).number)
        elif outside:
            self.put_back()
        else:
            self.set_down()
        return True

    @property
    def _outside(self) -> bool:
        """Whether the finger is so far from the list that what it drags would return."""
        roll, finger = self.ids.roll, self._finger
        beyond = dp(EDGE + BESIDE)
        return not (
            roll.x - dp(BESIDE) <= finger.x <= roll.right + dp(BESIDE)
            and roll.y - beyond <= finger.y <= roll.top + beyond
        )

    def _drag(self) -> None:
        """The dragged plate follows the finger; the others make room."""
        if self._outside:
            self.line = self._before
        else:
            self.carry_to(self.places.place_at(self._dragged_y()))
        self.places.dragged_y = self._dragged_y()

    def _dragged_y(self) -> float:
        """Where the middle of the dragged plate is, among the places."""
        _, y = self.ids.roll.to_local(*self._finger.pos)
        return float(y - self._finger.ud[self]["grip"])

    def _roll_on(self, elapsed_s: float) -> None:
        """Near an edge the list rolls by itself."""
        roll, y = self.ids.roll, self._finger.y
        hidden = self.places.height - roll.height
        past = max(0.0, y - (roll.top - dp(EDGE))) - max(0.0, roll.y + dp(EDGE) - y)
        if hidden <= 1 or not past or self._outside:
            return
        rolled = roll.scroll_y + past * ROLLS_PX_S * elapsed_s / hidden
        roll.scroll_y = min(1.0, max(0.0, rolled))
        roll.update_from_scroll()
        self._drag()

    def _let_go(self) -> None:
        """No finger drags any more."""
        if self._rolling is not None:
            self._rolling.cancel()
            self._rolling = None
        if self._finger is not None:
            self._finger.ungrab(self)
            self._finger = None
        self.places.dragged_y = None

    # Keys.

    def take_key(self, name: str) -> bool:
        """A key of the keyboard; True if it was used."""
        if not self.live or self._finger is not None:
            return False
        if name.isdecimal():
            return self._take_number(int(name))
        here = next((plate for plate in self.places.plates if plate.focused), None)
        if name in ("up", "down"):
            if self.lifted:
                at = self.line.index(self.lifted) + 1
                self.carry_to(at + (1 if name == "down" else -1))
                self._focus(self.lifted)
                return True
            if here is None and not self.ids.answer.focused:
                self._focus(self.line[0 if name == "down" else -1])
                return True
            return False
        if name in ("enter", "space") and self.lifted:
            self._focus(self.lifted)
            self.set_down()
            return True
        if name in ("enter", "space") and here is not None:
            self.lift(here.key_id)
            return True
        return False

    def key_words(self) -> tuple[Said, ...]:
        """The keys that put in order."""
        return (
            (f"1–{len(self.line)}", say("Lift what stands there, or put there what is lifted")),
            (say(UP_DOWN), say("From place to place, or carry what is lifted")),
            (ENTER, say("Lift, or set down")),
        )

    def _take_number(self, number: int) -> bool:
        if not 1 <= number <= len(self.line):
            return False
        lifts = not self.lifted
        self.touch_place(number)
        self._focus(self.line[number - 1])
        if not lifts:
            focus_on(self, None)  # so that Enter sends the order
        return True

    def walk_from(self, plate: OrderPlate, way: int) -> bool:
        """From one plate to the next; False beyond the last."""
        there = plate.number - 1 + way
        if not way or not 0 <= there < len(self.line):
            return False
        self._focus(self.line[there])
        return True

    def _focus(self, key: str) -> None:
        focus_on(self, self.places.plate(key))

    # Room.

    @property
    def _rolls(self) -> bool:
        return bool(self.places.height > self.ids.roll.height + 1)

    def fit(self, width: float, room: float) -> None:
        """Lay the plates out in this width, in as much of the height `room` as they can use.

        The edge comes on top, on either side.
        """
        if not self.places.plates:
            return
        self.width = width + 2 * self.edge_px
        gap = dp(theme.THIN)
        room -= self.ids.answer.height + gap
        self.places.fit(width, room)
        self.ids.roll.height = min(self.places.height, room)
        self.height = self.ids.roll.height + gap + self.ids.answer.height


load_kv("ordering")
