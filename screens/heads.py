"""The heads of a table that rolls both ways: names of rows or of columns, which roll along with it.

A name stands in one line or two, level over a column where all fit there, or else upright.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, PopMatrix, PushMatrix, Rectangle, Translate
from kivy.graphics.texture import Texture
from kivy.metrics import dp
from kivy.uix.stencilview import StencilView

from screens import theme
from screens.columns import without_last
from screens.look import TextImage, look, text_px, type_px

TYPE = theme.SMALL
AIR = 6
"""Beside a name, in dp."""
CUT = "…"


def name_px(name: str) -> float:
    """How broad a name is at most where it may be broken once, at its best place."""
    return max(map(_px, _broken(name).split("\n")))


def line_px() -> float:
    """The height of one line of a name."""
    return type_px(TYPE) * 1.36


def level_px() -> float:
    """How high names are that stand level, each word in a line of its own."""
    return 2 * line_px() * 0.9 + 2 * dp(AIR)


def fits_level(names: Sequence[str], side_px: float) -> bool:
    """Whether no name has more words than two, each no broader than a column."""
    words = {word for name in names for word in name.split()}
    few = all(len(name.split()) <= 2 for name in names)
    return few and all(_px(word) <= side_px - dp(AIR) / 2 for word in words)


def fitted(name: str, most_px: float) -> str:
    """The name in one line, or in two, no broader than so many pixels; cut where it must be."""
    if _px(name) <= most_px:
        return name
    return "\n".join(_cut(line, most_px) for line in _broken(name).split("\n"))


def _broken(name: str) -> str:
    """In two lines as equal as can be, broken at a space, if there is one."""
    words = name.split()
    ways = [(" ".join(words[:at]), " ".join(words[at:])) for at in range(1, len(words))]
    return "\n".join(min(ways, key=lambda way: max(map(len, way)))) if ways else name


def _cut(line: str, most_px: float) -> str:
    if _px(line) <= most_px:
        return line
    while line and _px(line + CUT) > most_px:
        line = without_last(line)
    return line.rstrip() + CUT


def _px(text: str) -> float:
    return _px_at(text, look.scale)


@lru_cache(maxsize=1024)
def _px_at(text: str, scale: float) -> float:
    """How broad a text is, at a size of text; the same names are measured again and again."""
    return text_px(text, theme.SANS, TYPE)


@lru_cache(maxsize=256)
def _drawn_name(lines: str, align: str, size_px: float) -> Texture:
    image = TextImage(
        text=lines, font_name=theme.SANS, font_size=size_px, halign=align, line_height=0.9
    )
    image.refresh()
    return image.texture


class Heads(StencilView):
    """The names along one side. `show` draws them anew; `roll` shifts what is drawn."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._draw = Clock.create_trigger(lambda _: self._drawn(), -1)
        self._shift = Translate()
        self._shown: tuple[Sequence[str], float, str] = ((), 0.0, "rows")
        self._rolled = (0.0, 0.0)
        self.picked = -1
        for name in ("pos", "size"):
            self.fbind(name, self._changed)

    def _changed(self, *_: Any) -> None:
        self._draw()

    def show(self, names: Sequence[str], side_px: float, way: str) -> None:
        """Names, each beside or over `side_px` of the table; `way` is "rows", "level" or
        "upright"."""
        self._shown = names, side_px, way
        self._draw()

    def pick(self, number: int) -> None:
        """Let one name stand out, or, below 0, none."""
        if number != self.picked:
            self.picked = number
            self._draw()

    def roll(self, x: float, y: float) -> None:
        """By so many pixels the table has been shifted."""
        self._rolled = x, y
        self._shift.x, self._shift.y = x, y

    def _drawn(self) -> None:
        names, side, way = self._shown
        self.canvas.clear()
        with self.canvas:
            PushMatrix()
            self._shift = Translate(*self._rolled)
            for number, name in enumerate(names):
                Color(*theme.BRASS if number == self.picked else theme.INK)
                self._name(number, name, side, way)
            PopMatrix()

    def _name(self, number: int, name: str, side: float, way: str) -> None:
        air = dp(AIR)
        room = {"rows": self.width - 2 * air, "level": side - air}.get(way, self.height - 2 * air)
        align = {"rows": "right", "level": "center"}.get(way, "left")
        lines = name.replace(" ", "\n") if way == "level" else fitted(name, room)
        texture = _drawn_name(lines, align, type_px(TYPE))
        width, height = texture.size
        if way == "rows":
            middle = self.top - (number + 0.5) * side
            Rectangle(
                texture=texture,
                pos=(round(self.right - air - width), round(middle - height / 2)),
                size=(width, height),
            )
            return
        middle = self.x + (number + 0.5) * side
        if way == "level":
            pos = (round(middle - width / 2), round(self.y + air))
            Rectangle(texture=texture, pos=pos, size=(width, height))
            return
        # Turned by a quarter, to be read from below: its left end is at the foot.
        left, foot, end, _, _, top, _, _ = texture.tex_coords
        Rectangle(
            texture=texture,
            pos=(round(middle - height / 2), round(self.y + air)),
            size=(height, width),
            tex_coords=(left, top, left, foot, end, foot, end, top),
        )
