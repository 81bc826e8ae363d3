"""A column that may be longer than its room, and how it rolls."""

from __future__ import annotations

from functools import cache
from typing import Any

from kivy.effects.dampedscroll import DampedScrollEffect
from kivy.effects.scroll import ScrollEffect
from kivy.graphics.texture import Texture
from kivy.metrics import dp
from kivy.properties import NumericProperty
from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget

from screens import theme
from screens.look import load_kv, look

PAGE = 0.8
"""The share of what is on view by which it is read on."""
FADING = 16
"""In so many steps what is cut fades out."""


class Rolling(DampedScrollEffect):
    """Rolls on once let go, and springs back from beyond the end; where all is to be still it goes
    with the finger alone, and no further than the end."""

    def on_value(self, *args: Any) -> None:
        if look.still:
            ScrollEffect.on_value(self, *args)
        else:
            super().on_value(*args)

    def update_velocity(self, dt: float) -> None:
        if look.still:
            self.velocity = self.overscroll = 0.0
        else:
            super().update_velocity(dt)


def read_on(roll: Any, way: int = -1) -> bool:
    """Roll by most of what is on view, up (1) or down (-1); False where all is on view."""
    beyond = roll.viewport_size[1] - roll.height
    if beyond <= 1:
        return False
    roll.scroll_y = min(1.0, max(0.0, roll.scroll_y + way * PAGE * roll.height / beyond))
    return True


class Roll(ScrollView):
    """A column that may be longer than its room: it rolls, with a thin brass bar at its side.

    What is cut at its foot fades out above a small sign, so that nobody takes it for the end.
    """

    hidden = NumericProperty(0.0)
    """How much lies below what is on view, in pixels."""

    def __init__(self, **kwargs: Any) -> None:
        self.fading = _fading(theme.GROUND)
        super().__init__(**{"effect_cls": Rolling, **kwargs})
        for name in ("scroll_y", "height", "viewport_size"):
            self.fbind(name, self._look_below)

    def _look_below(self, *_: Any) -> None:
        beyond = self.viewport_size[1] - self.height
        self.hidden = max(0.0, min(1.0, self.scroll_y)) * beyond if beyond > dp(2) else 0.0

    def on_touch_down(self, touch: Any) -> bool:
        """A finger on what carries rows about does not roll."""
        if self.collide_point(*touch.pos) and not touch.is_mouse_scrolling:
            x, y = self.to_local(*touch.pos)
            for thing in self.walk(restrict=True):
                if getattr(thing, "carries", False) and thing.collide_point(x, y):
                    touch.push()
                    touch.apply_transform_2d(self.to_local)
                    used = thing.on_touch_down(touch)
                    touch.pop()
                    return bool(used)
        return bool(super().on_touch_down(touch))

    def to_top(self) -> None:
        """Show the first of what is in it, and end what a finger or a spring still moves."""
        self.effect_y.velocity = self.effect_y.overscroll = 0.0
        self.scroll_y = 1.0
        self.effect_y.value = self.effect_y.max

    def scroll_to(self, widget: Widget, padding: Any = 10, animate: Any = True) -> None:
        """Bring a widget on view. Where that is done at once, nothing moves it any further: kivy's
        own leaves the effect where it was, which springs back to there."""
        animate = animate and not look.still
        self.update_from_scroll()  # it measures from what is on view: two keys may come in a frame
        super().scroll_to(widget, padding, animate)
        if not animate:
            self.effect_y.velocity = self.effect_y.overscroll = 0.0
            self.effect_y.value = self.effect_y.max * self.scroll_y


@cache
def _fading(ground: theme.Colour) -> Texture:
    """From nothing, at the top, to the ground."""
    texture = Texture.create(size=(1, FADING), colorfmt="rgba", bufferfmt="ubyte")
    parts = [round(255 * part) for part in ground[:3]]
    rows = [bytes([*parts, round(255 * (1 - row / (FADING - 1)))]) for row in range(FADING)]
    texture.blit_buffer(b"".join(rows), colorfmt="rgba", bufferfmt="ubyte")
    return texture


load_kv("roll")
