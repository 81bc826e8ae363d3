"""The first screen: what today holds and why, for how long, and one touch to begin."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from practice import Outlook, Practice
from screens import theme
from screens.keys import KaanScreen
from screens.look import load_kv, look

NECK = 88
"""How broad the neck is drawn, in dp."""


class TodayLine(BoxLayout):
    """One thing that today holds, and why."""

    text = StringProperty("")
    why = StringProperty("")


class PracticeScreen(KaanScreen):
    """`on_begin` is told how many minutes; `on_away` the name of the screen to go to."""

    headline = StringProperty("")
    troubles = StringProperty("")
    minutes = NumericProperty(15)

    def __init__(
        self,
        practice: Practice,
        *,
        on_begin: Callable[[int], None],
        on_away: Callable[[str], None],
        **kwargs: Any,
    ) -> None:
        self.practice, self.on_begin, self.on_away = practice, on_begin, on_away
        super().__init__(**kwargs)
        self._arrange = Clock.create_trigger(self._place, -1)
        self.bind(size=self._changed)
        look.bind(scale=self._changed, left_handed=self._changed)
        for name in ("top", "foot", "words"):
            self.ids[name].bind(height=self._changed)

    def _changed(self, *_: Any) -> None:
        self._arrange()

    def on_pre_enter(self, *_: Any) -> None:
        """Ask afresh: answers and settings may have changed what today holds."""
        self.minutes = self.practice.settings.minutes
        self.troubles = "\n\n".join(self._told())
        self.ids.roll.scroll_y = 1.0  # troubles stand at its top
        self.show(self.practice.outlook(int(self.minutes)))

    def _told(self) -> list[str]:
        """What keeps cues from being heard, first, then what had to be mended."""
        silent = self.practice.sound_trouble
        mended = [text for text in self.practice.troubles if text != silent]
        return [silent, *mended] if silent else mended

    def choose_minutes(self, minutes: float) -> None:
        """Show what so many minutes hold."""
        self.minutes = int(minutes)
        self.show(self.practice.outlook(int(minutes)))

    def show(self, outlook: Outlook) -> None:
        """Put the outlook on view."""
        self.headline = outlook.headline
        lines = self.ids.lines
        lines.clear_widgets()
        for text, why in outlook.lines:
            lines.add_widget(TodayLine(text=text, why=why))

    def begin(self) -> None:
        """Start a session of the minutes chosen."""
        self.on_begin(int(self.minutes))

    def back(self) -> None:
        """Nowhere to go back to; leaving the app is left to the window."""

    def main_thing(self) -> Widget | None:
        return self.ids.begin

    def _place(self, *_: Any) -> None:
        """Words above, minutes and the start at the foot; the neck along one side."""
        width, height = self.size
        if min(width, height) < dp(theme.LEAST_SIDE):
            return  # not in the window yet
        parts = self.ids
        upright = height >= width
        parts.neck.upright = upright
        left, right, foot = 0.0, width, 0.0
        neck = dp(NECK) * look.room
        if upright:
            right = width - neck
            parts.neck.size = neck, height
            parts.neck.pos = (0, 0) if look.left_handed else (right, 0)
            if look.left_handed:
                left, right = neck, width
        else:
            parts.neck.size, parts.neck.pos = (width, neck), (0, 0)
            foot = neck
        margin = dp(theme.SPACE + (8 if upright else 20))
        whole = min(right - left, dp(theme.COLUMN if upright else 1120) * look.scale + 2 * margin)
        x = left + (right - left - whole) / 2 + margin
        room = whole - 2 * margin
        parts.top.pos = x, height - parts.top.height - dp(6)
        parts.top.width = room
        below = parts.top.y - dp(theme.GAP)
        if upright:
            parts.foot.pos, parts.foot.width = (x, foot + dp(theme.WIDE)), room
            parts.roll.pos = x, parts.foot.top + dp(theme.SPACE)
            parts.roll.size = room + dp(14), below - parts.roll.y
            self._centre(0.22)
            return
        side = min(dp(340) * look.scale, room * 0.4)
        parts.foot.width = side
        parts.foot.pos = (
            x + room - side,
            foot + max(dp(theme.SPACE), (below - foot - parts.foot.height) / 2),
        )
        parts.roll.pos = x, foot + dp(theme.GAP)
        parts.roll.size = room - side - dp(40), below - parts.roll.y
        self._centre(0.46)

    def _centre(self, part: float) -> None:
        """Where there is room to spare, so much of it goes above the words."""
        words, sky = self.ids.words, self.ids.sky.__self__  # ids hold proxies
        below = [part.height + words.spacing for part in words.children if part is not sky]
        sky.height = max(0.0, part * (self.ids.roll.height - sum(below)))


load_kv("practice")
