"""A quiet sign, in a corner, of the key that lists all keys; only while keys are in use."""

from __future__ import annotations

from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, InstructionGroup, Rectangle, RoundedRectangle
from kivy.metrics import dp

from screens import theme
from screens.look import TextImage, look, type_px
from words import say


class KeySign:
    """Drawn over what `below`, a manager of screens, shows, and never touched; a screen that
    `tells_of_keys` has a place for the same."""

    def __init__(self, below: Any) -> None:
        self._below = below
        self._drawing = InstructionGroup()
        self._draw = Clock.create_trigger(self._drawn, -1)
        self._follow(bind=True)

    def close(self) -> None:
        """Draw it no more."""
        self._follow(bind=False)
        self._draw.cancel()
        self._below.canvas.after.remove(self._drawing)

    def _follow(self, *, bind: bool) -> None:
        for thing, names in ((look, ("by_keys", "scale")), (self._below, ("size", "current"))):
            for name in names:
                (thing.fbind if bind else thing.funbind)(name, self._changed)
        if bind:
            self._below.canvas.after.add(self._drawing)

    def _changed(self, *_: Any) -> None:
        self._draw()

    def _drawn(self, *_: Any) -> None:
        self._drawing.clear()
        if not look.by_keys or getattr(self._below.current_screen, "tells_of_keys", False):
            return
        text = TextImage(text=say("F1: keys"), font_name=theme.SANS, font_size=type_px(theme.SMALL))
        text.refresh()
        width, height = text.texture.size
        x, y = self._below.right - width - dp(theme.GAP), self._below.y + dp(theme.TIGHT)
        self._drawing.add(Color(*theme.GROUND))
        self._drawing.add(
            RoundedRectangle(
                pos=(x - dp(theme.THIN), y),
                size=(width + 2 * dp(theme.THIN), height),
                radius=[dp(theme.LEAST_RADIUS)],
            )
        )
        self._drawing.add(Color(*theme.FAINT_INK))
        self._drawing.add(Rectangle(texture=text.texture, pos=(x, y), size=(width, height)))
