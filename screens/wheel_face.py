"""A wheel of matras in the window: at rest, chosen on by a finger, and alight with the sound."""

from __future__ import annotations

from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, Line
from kivy.metrics import dp
from kivy.properties import BooleanProperty, ListProperty, NumericProperty, ObjectProperty
from kivy.uix.widget import Widget

from quizzes.wheel import Wheel
from screens import theme
from screens.following import Following
from screens.look import look
from screens.wheel_drawing import (
    Face,
    draw_chosen,
    draw_face,
    draw_point,
    face_of,
    hand,
)
from screens.wheel_places import angle_of, lit_at, matra_at, place_at

LEAST = 60
"""A wheel smaller than this, in dp, is not drawn."""
HAND = 1.1


class WheelFace(Widget):
    """Draws `wheel`; a touch chooses the matra nearest to it, as long as it is `live`.

    While `following` is set and the wheel turns, the matra that sounds is lit: the light steps from
    matra to matra. Where spans begin and end between them, a hand sweeps over all.
    """

    __events__ = ("on_press",)

    wheel: Wheel | None = ObjectProperty(None, allownone=True)
    following: Following | None = ObjectProperty(None, allownone=True)
    live = BooleanProperty(False)
    chosen = NumericProperty(0)
    """The matra that is chosen; 0 for none, as in what follows."""
    was = ListProperty()
    """The matras that would have been right."""
    given = NumericProperty(0)
    lit = NumericProperty(0)
    can_focus = BooleanProperty(False)
    focused = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        self.face: Face | None = None
        self._finger: Any = None
        self._running: Any = None
        self._hand: Line | None = None
        super().__init__(**kwargs)
        self._draw = Clock.create_trigger(self._drawn, -1)
        for name in ("pos", "size", "wheel", "was", "given"):
            self.fbind(name, self._changed)
        for name in ("chosen", "focused"):
            self.fbind(name, self._draw_chosen)
        self.fbind("focused", self._watch_keys)
        self.fbind("lit", self._draw_light)
        look.bind(scale=self._changed)

    def _changed(self, *_: Any) -> None:
        self._draw()

    # Drawing: at rest below, what is chosen over it, and the light above all.

    def _drawn(self, *_: Any) -> None:
        self.canvas.before.clear()
        self.face = None
        side = min(self.size)
        if self.wheel is not None and side >= dp(LEAST):
            middle = self.center_x, self.center_y
            given = int(self.given)
            self.face = face_of(self.wheel, middle, side, was=self.was, given=given)
            with self.canvas.before:
                draw_face(self.face)
        self._draw_chosen()
        self._draw_light()

    def _draw_chosen(self, *_: Any) -> None:
        self.canvas.clear()
        if self.face is None:
            return
        with self.canvas:
            if self.chosen:
                draw_chosen(self.face, int(self.chosen))
            if self.focused and look.by_keys:
                Color(*theme.FOCUS)
                circle = (*self.face.middle, min(self.size) / 2 + dp(theme.TIGHT))
                Line(circle=circle, width=dp(theme.FOCUS_LINE))

    # Keys.

    def _watch_keys(self, *_: Any) -> None:
        """Only while they may stand on it."""
        (look.bind if self.focused else look.unbind)(by_keys=self._draw_chosen)

    def press(self) -> None:
        """Enter was struck while the keys stand on it."""
        self.dispatch("on_press")

    def on_press(self) -> None:
        """What is chosen is meant."""

    def take_key(self, name: str) -> bool:
        """Keys choose wherever they stand: see the pad."""
        return False

    def _draw_light(self, *_: Any) -> None:
        self.canvas.after.clear()
        self._hand = None
        face, lit = self.face, int(self.lit)
        if face is None or not lit:
            return
        with self.canvas.after:
            Color(*theme.BRASS)
            self._hand = Line(width=dp(HAND), cap="round")
            draw_point(face, lit, lit=True)
        self._point_hand(angle_of(lit - 1, face.wheel.matras))

    def _point_hand(self, angle: float) -> None:
        if self.face is not None and self._hand is not None:
            self._hand.points = hand(self.face, angle)

    # Turning.

    def on_following(self, *_: Any) -> None:
        """Turn with it, or stop."""
        if self._running is not None:
            self._running.cancel()
            self._running = None
        self.lit = 0
        if self.following is not None and self.wheel is not None and self.wheel.turning:
            self._running = Clock.schedule_interval(self._run, 0)
            self._run()

    def _run(self, *_: Any) -> bool:
        wheel = self.wheel
        on_view = self.get_parent_window() is not None
        at_s = self.following.at_s() if self.following is not None and on_view else None
        if wheel is None or at_s is None:
            self.lit = 0
            return False
        self.lit = lit_at(wheel, at_s)
        place = place_at(wheel, at_s)
        if wheel.spans and place is not None:
            self._point_hand(angle_of(place, wheel.matras))
        return True

    # Touch.

    def point_of(self, matra: int) -> tuple[float, float]:
        """A point that touches this matra. Only of a wheel that is drawn."""
        assert self.face is not None
        return self.face.point(matra)

    def _choose(self, touch: Any) -> bool:
        if self.face is None:
            return False
        (x, y), points = self.face.middle, self.face.sizes.points
        matra = matra_at(touch.x - x, touch.y - y, self.face.wheel.matras, points)
        if matra is not None:
            self.chosen = matra
        return matra is not None

    def on_touch_down(self, touch: Any) -> bool:
        mine = self.collide_point(*touch.pos) and not touch.is_mouse_scrolling
        if not mine or not self.live or self.disabled or self._finger is not None:
            return False
        if self._choose(touch):
            touch.grab(self)
            self._finger = touch
        return True

    def on_touch_move(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return False
        self._choose(touch)
        return True

    def on_touch_up(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return False
        self._let_go()
        return True

    def _let_go(self) -> None:
        if self._finger is not None:
            self._finger.ungrab(self)
            self._finger = None

    def on_live(self, *_: Any) -> None:
        """What is no longer asked is not held."""
        if not self.live:
            self.focused = False
            self._let_go()
