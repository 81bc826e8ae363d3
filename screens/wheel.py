"""The wheel beside the words: the answer pad on which a matra is chosen, or a picture.

A touch chooses the nearest matra and may slide on to another; by the keyboard the arrows walk
round, and digits choose by number as they are typed. The answer goes out only when it is sent.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from quizzes.explanation import Explanation
from quizzes.question import Question
from quizzes.wheel import Turning, Wheel
from screens import theme
from screens.following import Following
from screens.key_words import ARROWS, BACKSPACE, Said
from screens.look import load_kv
from screens.wheel_drawing import face_of
from screens.wheel_places import answered_on, name_of
from words import say, say_as

WAYS = {"right": 1, "down": 1, "left": -1, "up": -1}
"""By key, how many matras on."""


class WheelPad(BoxLayout):
    """Shows a wheel; where it asks, `on_answer` is sent with the matra chosen."""

    __events__ = ("on_answer",)

    live = BooleanProperty(False)
    """Whether a matra can be chosen and sent."""
    asks = BooleanProperty(False)
    """Whether it is answered on the wheel at all."""
    unsaid = StringProperty("")
    """What stands below the wheel, for want of room on it."""
    edge_px = NumericProperty(0.0)
    """Room all round its things, for the ring that shows where the keys stand."""

    def __init__(self, **kwargs: Any) -> None:
        self._typed = ""
        self._shown: Wheel | None = None
        self._room = 0.0, 0.0
        super().__init__(**kwargs)

    def on_kv_post(self, base_widget: Any) -> None:
        """The plate is there only where the wheel asks."""
        self._plate = self.ids.answer.__self__
        self.remove_widget(self._plate)
        self._plate.fbind("height", self._fit_again)
        self.fbind("live", self._refresh)
        self.ids.face.fbind("chosen", self._refresh)
        self._refresh()

    @property
    def wheel(self) -> Wheel | None:
        """The wheel that is shown."""
        return self.ids.face.wheel

    @property
    def turns(self) -> bool:
        """Whether it would turn with the sound that belongs to it."""
        return self.wheel is not None and self.wheel.turning is not None

    def show(self, wheel: Wheel | None, *, was: Sequence[int] = (), given: int = 0) -> None:
        """Show a wheel, or none, to be looked at, with the matras of an answer."""
        face = self.ids.face
        self.asks, self.live = False, False
        if self._plate.parent is not None:
            self.remove_widget(self._plate)
        face.following, face.chosen = None, 0
        self._shown = wheel
        face.wheel, face.was, face.given = wheel, list(was), given

    def ask(self, question: Question) -> None:
        """Offer the matras of a question's wheel, none of them chosen."""
        self.show(question.wheel)
        self.asks = True
        self.add_widget(self._plate)
        self._typed = ""
        self._refresh()

    def tell(self, question: Question, given: str, explanation: Explanation) -> None:
        """Show the wheel of an explanation, with what was and what was answered where that is a
        matra of it."""
        told = explanation.wheel
        if told is None and question.answer_on == "wheel" and question.wheel is not None:
            told = question.wheel.still()
        if told is None:
            self.show(None)
            return
        was = (answered_on(told, question, answer) for answer in question.right)
        here = answered_on(told, question, given)
        self.show(told, was=[matra for matra in was if matra], given=here)

    def turn(self, following: Following | None, *, like: Turning | None = None) -> None:
        """Turn with what plays, `like` another wheel where that plays which it turns with, or stand
        still."""
        face = self.ids.face
        if self._shown is not None:
            face.wheel = self._shown if like is None else replace(self._shown, turning=like)
        face.following = following

    def answer(self) -> None:
        """Send the matra that is chosen."""
        if self.live and self.ids.face.chosen:
            self.dispatch("on_answer", str(int(self.ids.face.chosen)))

    def on_answer(self, line: str) -> None:
        """The student answered with `line`."""

    # Keys.

    def take_key(self, name: str) -> bool:
        """A key while a matra is to be chosen; True if it was used."""
        if not self.live or self.wheel is None:
            return False
        typed, self._typed = self._typed, ""
        face, count = self.ids.face, self.wheel.matras
        if name in WAYS:
            way, here = WAYS[name], int(face.chosen)
            start = 0 if way > 0 else count + 1
            face.chosen = ((here or start) - 1 + way) % count + 1
            return True
        if name == "backspace":
            face.chosen = 0
            return True
        if not name.isdecimal():
            return False
        self._type(typed + name, name)
        return True

    def key_words(self) -> tuple[Said, ...]:
        """The keys that choose."""
        count = 0 if self.wheel is None else self.wheel.matras
        return (
            (f"1–{count}", say("Choose the point of this number")),
            (say(ARROWS), say("From point to point")),
            (BACKSPACE, say("Choose none")),
        )

    def _type(self, longer: str, digit: str) -> None:
        """Digits that follow each other are one number as long as the wheel has so many matras."""
        assert self.wheel is not None
        for typed in (longer, digit):
            if 1 <= int(typed) <= self.wheel.matras:
                self.ids.face.chosen, self._typed = int(typed), typed
                return

    # Showing.

    def _refresh(self, *_: Any) -> None:
        face, plate = self.ids.face, self._plate
        face.live = face.can_focus = self.live
        chosen = int(face.chosen)
        plate.text = say_as("to send it", "Answer")
        if chosen and self.wheel is not None:
            plate.text = say("Answer: {what}", what=name_of(self.wheel, chosen))
        plate.disabled = not (self.live and chosen)
        plate.can_focus = self.live

    def _fit_again(self, *_: Any) -> None:
        """The plate may need more lines for one matra than for another."""
        if self.asks and self._room[0]:
            self.fit(*self._room)

    def fit(self, width: float, room: float) -> None:
        """Lay the wheel out in this width, in as much of the height `room` as it can use.

        The edge comes on top, on either side.
        """
        if self.wheel is None:
            return
        self._room = width, room
        self.width = width + 2 * self.edge_px
        side, below = self._side_in(width, room)
        self.ids.face.size = side, side
        self.height = side + below

    def side_in(self, width: float, room: float) -> float:
        """How large the wheel itself would be, laid out so."""
        return self._side_in(width, room)[0]

    def _side_in(self, width: float, room: float) -> tuple[float, float]:
        """The side of the wheel, and how high everything below it is."""
        assert self.wheel is not None
        ids, gap = self.ids, dp(theme.THIN)
        plate = 0.0
        if self.asks:
            self._plate.width = width
            self._plate.texture_update()
            plate = self._plate.height + gap
        ids.below.width = width
        side, words = min(width, room - plate - gap), 0.0
        for _ in range(2):  # words below take room from the wheel, which may leave it with more
            face = face_of(self.wheel, (0.0, 0.0), side, was=ids.face.was, given=ids.face.given)
            self.unsaid = "\n".join(face.unsaid)
            ids.below.texture_update()
            words = ids.below.texture_size[1] if self.unsaid else 0.0
            side = max(1.0, min(width, room - plate - gap - words))
        return side, gap + words + plate


load_kv("wheel")
