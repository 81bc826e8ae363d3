"""Where a wheel to be looked at stands in the drill: in free room, or else among the words.

Words are never cut for it: where they leave too little room for a wheel that can be read, it rolls
with them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from kivy.metrics import dp
from kivy.uix.widget import Widget

from quizzes.question import Question
from quizzes.wheel import Turning, Wheel
from screens import theme
from screens.look import look

if TYPE_CHECKING:
    from screens.drill import DrillScreen
    from screens.drill_parts import Part
    from screens.wheel import WheelPad

GAP = theme.GAP
BAR = 14
"""Beside a roll's words, for its bar, in dp."""
LEAST_WHEEL = 210
"""A wheel smaller than this, in dp at the usual text size, says too little."""
AMONG_WORDS = 260, 0.8
"""How high it is among the words: in dp at the usual text size, and at most of their room."""
WORDS_AIR = 24


def turning_of_cue(question: Question, told: Wheel | None) -> Turning | None:
    """How a wheel that is told turns with the cue of its question, where that one's wheel knows."""
    asked = question.wheel
    same = asked is not None and told is not None and asked.matras == told.matras
    return asked.turning if asked is not None and same else None


def pictured(screen: DrillScreen) -> bool:
    """Whether a wheel is on view that is not answered on."""
    asks = screen.stage == "asking" and not screen.wheel.asks
    return screen.wheel.wheel is not None and (asks or screen.stage in ("new", "answered"))


def wheel_least() -> float:
    """How high a wheel that can be read is at least, in pixels."""
    return float(dp(LEAST_WHEEL) * look.scale)


def words_high(screen: DrillScreen) -> float:
    """How high the words on view are, without a wheel that rolls with them."""
    return sum(_high_without(part, screen.wheel) for part in screen.ids.words.children)


def _high_without(part: Part, wheel: WheelPad) -> float:
    """Of a column; it may not yet be laid out with the wheel as it is now."""
    if wheel.parent is not part:
        return float(part.height)
    others = [child.height for child in part.children if child is not wheel]
    return float(sum(others) + part.spacing * (len(others) - 1))


def bring_home(screen: DrillScreen) -> None:
    """Take the wheel out of the words, to stand by itself."""
    wheel, ground = screen.wheel, screen.ground
    if wheel.parent is not ground:
        if wheel.parent is not None:
            wheel.parent.remove_widget(wheel)
        wheel.pos_hint = {}
        ground.add_widget(wheel, index=screen.wheel_index)


def _let_roll(screen: DrillScreen) -> None:
    """Put the wheel among the words, below what they say first."""
    wheel, roll = screen.wheel, screen.ids.roll
    part = screen.ids.words.children[0]
    if wheel.parent is not part:
        screen.ground.remove_widget(wheel)
        told = part.ids.get("reason") if screen.met else None  # first how taps came, and why
        above: Widget = (told or part.ids.above_wheel).__self__  # ids hold proxies
        wheel.pos_hint = {"center_x": 0.5}
        part.add_widget(wheel, index=part.children.index(above))
    high, of_room = AMONG_WORDS
    broad = roll.width - dp(BAR) - 2 * wheel.edge_px
    wheel.fit(broad, min(dp(high) * look.scale, of_room * roll.height))


def place_picture(
    screen: DrillScreen, words_least: float, *, choices_beside: bool, top: float
) -> None:
    """Give the wheel what the words leave of their room, or the choices beside them of theirs, up
    to `top`; or let it roll. `words_least` is how high the words must be."""
    roll, wheel, choices = screen.ids.roll, screen.wheel, screen.ids.choices_roll
    by_words = roll.height - dp(GAP) - words_least - dp(WORDS_AIR)
    by_choices = top - dp(theme.SPACE) - choices.height - dp(GAP) if choices_beside else 0.0
    beside = by_choices > by_words
    broad = choices.width - dp(BAR) if beside else roll.width - dp(BAR)
    room, least = max(by_words, by_choices), wheel_least()
    if room < least or wheel.side_in(broad, room) < least:
        _let_roll(screen)
        return
    bring_home(screen)
    wheel.fit(broad, room)
    if beside:
        choices.y = dp(theme.SPACE)
        wheel.pos = choices.x - wheel.edge_px, choices.top + dp(GAP)
        return
    wheel.pos = roll.x - wheel.edge_px, roll.y
    roll.y += wheel.height + dp(GAP)
    roll.height -= wheel.height + dp(GAP)
