"""A column of a page: things are set into it one below the other, in signs that the fonts draw."""

from __future__ import annotations

from collections.abc import Sequence

from practice.pages.setting import broken, cut, drawable, width_of
from practice.pages.sheets import BOLD, MM_A_POINT, SANS, Box, Run, Stroke
from practice.pages.states import NAMES, States

LEADING = 1.3
"""From one baseline to the next, in sizes of type."""
BODY, SMALL, TINY = 9.5, 8.5, 7.0
PATTERN_OF = {"firm": "full", "coming": "slanted", "shaky": "dotted", "unheard": "none"}
MOST_LINES = 99


def leading(size: float) -> float:
    """In mm."""
    return size * MM_A_POINT * LEADING


class Column:
    """`y`, in mm, is where the next thing goes; nothing is to pass `foot`."""

    def __init__(self, x: float, y: float, width: float, foot: float) -> None:
        self.x, self.y, self.width, self.foot = x, y, width, foot
        self.parts: list[Run | Stroke | Box] = []

    @property
    def room(self) -> float:
        return self.foot - self.y

    def words(
        self,
        text: str,
        *,
        size: float = BODY,
        font: str = SANS,
        most: int = MOST_LINES,
        indent: float = 0.0,
    ) -> None:
        """A text in as many lines as it needs, at most so many and as there is room for."""
        step = leading(size)
        most = min(most, int(self.room / step + 1e-6))
        lines = broken(drawable(text), self.width - indent, most, font, size) if most > 0 else []
        for line in lines:
            self.y += step
            baseline = self.y - 0.25 * step
            self.parts.append(Run(self.x + indent, baseline, line, font, size))

    def heading(self, text: str) -> None:
        """What the next things are about, over a thin line."""
        self.words(text, size=10.5, font=BOLD, most=1)
        self.y += 0.6
        self.parts.append(Stroke(self.x, self.y, self.x + self.width, self.y))
        self.y += 1.2

    def gap(self, mm: float) -> None:
        self.y += mm


def height_of(
    text: str, width: float, *, size: float = BODY, font: str = SANS, most: int = MOST_LINES
) -> float:
    """How high a text stands in a column of this width, in mm."""
    return len(broken(drawable(text), width, most, font, size)) * leading(size)


def to_the_right(x: float, y: float, text: str, size: float, font: str = SANS) -> Run:
    """A text that ends at `x`."""
    return Run(x - width_of(text, font, size), y, text, font, size)


def bar(x: float, y: float, width: float, height: float, states: States) -> list[Box]:
    """How much is firm, coming, shaky and unheard, side by side in one bar, by pattern."""
    boxes, at = [], x
    for name, count in zip(NAMES, states, strict=True):
        broad = width * count / states.total if states.total else 0.0
        if count:
            boxes.append(Box(at, y, broad, height, PATTERN_OF[name]))
        at += broad
    return boxes


def legend(x: float, y: float, columns: Sequence[float], size: float) -> list[Run | Box]:
    """The name of each state above its column of numbers, which ends there; its pattern beside."""
    parts: list[Run | Box] = []
    for name, right in zip(NAMES, columns, strict=True):
        run = to_the_right(x + right, y, name, size)
        parts += [run, Box(run.x + width_of(name, SANS, size) - 4.0, y - 5.4, 4.0, 2.4,
                           PATTERN_OF[name])]  # fmt: skip
    return parts


def pattern_key(x: float, y: float, names: Sequence[str], size: float) -> list[Run | Box]:
    """States with their patterns before them, side by side from `x` on."""
    parts: list[Run | Box] = []
    for name in names:
        parts += [Box(x, y - 2.0, 3.0, 2.0, PATTERN_OF[name]), Run(x + 3.6, y, name, SANS, size)]
        x += 3.6 + width_of(name, SANS, size) + 2.2
    return parts


def cut_run(x: float, y: float, text: str, room: float, size: float, font: str = SANS) -> Run:
    """A text on one line, cut where it is too long."""
    return Run(x, y, cut(drawable(text), room, font, size), font, size)
