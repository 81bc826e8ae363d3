"""The first screen: how to practise, what that holds and why, for how long, and one touch to begin.

What a practice holds is worked out on a thread. Where that takes longer than nobody notices, the
screen says so and lives on.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor, wait
from contextlib import suppress
from typing import Any

from kivy.app import App
from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget
from kivy.utils import platform

from practice import Mode, ModeChoice, Outlook, Practice, PracticeError
from practice.broken_off import BrokenOff
from scheduler import LogError
from screens import theme
from screens.desk import is_empty, not_asked_words
from screens.keys import KaanScreen
from screens.look import load_kv, look, text_px
from screens.modes import ModeRow
from screens.students import who_words
from words import say, say_many, to_say

NAME = "Kaan"
NECK = 88
"""How broad the neck is drawn, in dp."""

AT_ONCE_S = 0.08
"""For so long it is waited for what a practice holds before the screen says that it is looking."""
LOOKED_EVERY_S = 0.05
LOOKING = to_say("{minutes} minutes: working out what they hold")
CHANGES = {
    "before-lesson": to_say("Change the lesson"),
    "kind": to_say("Another kind"),
    "part": to_say("Another part"),
}
"""What leads on from a mode, by its id."""


class TodayLine(BoxLayout):
    """One thing that today holds, and why."""

    text = StringProperty("")
    why = StringProperty("")


class PracticeScreen(KaanScreen):
    """`on_begin` is told how many minutes and in which mode; `on_away` the name of the screen to go
    to; `on_which` for which mode, "kind" or "part", it is to be said which one."""

    who = StringProperty("")
    """Who practises, where several do on this device."""
    title = StringProperty("")
    """The app's name, where there is room for it."""
    headline = StringProperty("")
    counts = StringProperty("")
    """How much of it is new, missed or fading."""
    troubles = StringProperty("")
    minutes = NumericProperty(15)
    mode_id = StringProperty("day")
    about = StringProperty("")
    """What the mode asks, where it is not the day's practice."""
    closed = StringProperty("")
    """Why some mode cannot be had."""
    change = StringProperty("")
    """What leads on from the mode."""
    going_on = StringProperty("")
    """What is left of a practice that was broken off; "" where none was."""
    has_phrases = BooleanProperty(False)
    """Whether a phrase was ever kept."""

    def __init__(
        self,
        practice: Practice,
        *,
        on_begin: Callable[[int, Mode], None],
        on_go_on: Callable[[BrokenOff], None],
        on_away: Callable[[str], None],
        on_which: Callable[[Mode], None],
        **kwargs: Any,
    ) -> None:
        self.practice, self.on_begin, self.on_away = practice, on_begin, on_away
        self.on_which, self.on_go_on = on_which, on_go_on
        self._broken_off: BrokenOff | None = None
        self.mode = Mode()
        self._wants_lesson = False  # away to set one, to prepare for it then
        self._choices: dict[str, ModeChoice] = {}
        self._worker = ThreadPoolExecutor(1, thread_name_prefix="look-ahead")
        self._coming: Future[Outlook] | None = None
        self._minding: Any = None
        super().__init__(**kwargs)
        self._arrange = Clock.create_trigger(self._place, -1)
        self.bind(size=self._changed)
        look.bind(scale=self._changed, left_handed=self._changed)
        for name in ("top", "modes", "foot", "words"):
            self.ids[name].bind(height=self._changed)

    def _changed(self, *_: Any) -> None:
        self._arrange()

    def on_pre_enter(self, *_: Any) -> None:
        """Ask afresh: answers and settings may have changed what today holds."""
        self.minutes = 0  # as the mode has it
        self.ask_again()

    def ask_again(self) -> None:
        """The same, while it is on view: the minutes that were chosen stay."""
        self.practice.refresh()
        self.who = who_words(self.practice)
        self.troubles = "\n\n".join(self._told())
        with suppress(LogError):  # which is told as soon as something is to be kept
            self.has_phrases = self.practice.has_kept_phrases()
        self._offer_to_go_on()
        self.ids.roll.scroll_y = 1.0  # troubles stand at its top
        is_set = self._wants_lesson and self.practice.lesson_words()
        self._wants_lesson = False
        self.take(Mode("before-lesson") if is_set else self.mode)

    def on_leave(self, *_: Any) -> None:
        """Nothing is looked for any more."""
        self._let_go()

    def _offer_to_go_on(self) -> None:
        self._broken_off = self.practice.broken_off()
        self.going_on = ""
        if self._broken_off is not None:
            left = math.ceil(self._broken_off.minutes)
            self.going_on = say_many(
                "Go on where you were: {count} minute left",
                "Go on where you were: {count} minutes left",
                left,
            )

    def go_on(self) -> None:
        """Go on with the practice that was broken off; where that cannot be had any more, it is
        offered no longer."""
        try:
            if self._broken_off is not None:
                self.on_go_on(self._broken_off)
        except PracticeError:
            self._broken_off, self.going_on = None, ""

    def _told(self) -> list[str]:
        """What keeps cues from being heard, first, then what had to be mended."""
        silent, unread = self.practice.sound_trouble, self.practice.given.unread
        mended = [
            not_asked_words(unread[text]) if text in unread else text
            for text in self.practice.troubles
            if text != silent and not (text in unread and is_empty(unread[text]))
        ]
        return [silent, *mended] if silent else mended

    # Modes.

    def take(self, mode: Mode) -> None:
        """Show what this mode holds; the day's practice where it cannot be had any more."""
        modes = self.practice.modes()
        self._choices = {choice.id: choice for choice in modes.choices()}
        which = modes.chosen(mode)
        if self._choices[mode.id].why_not or (mode.which and which is None):
            mode, which = Mode(), None
        if mode.id != self.mode.id or not self.minutes:
            self.minutes = mode.minutes_of(self.practice.settings.minutes)
        self.mode, self.mode_id = mode, mode.id
        row: ModeRow = self.ids.modes
        row.offer(tuple(self._choices.values()))
        about = self._choices[mode.id].about
        if which:
            about = say("{part}. {about}", part=which.name, about=which.about)
        self.about = "" if mode == Mode() else about
        why_not = (c.why_not for c in self._choices.values() if c.why_not and not c.first)
        self.closed = "\n".join(why_not)
        self.change = say(CHANGES[mode.id]) if mode.id in CHANGES else ""
        self.look_ahead()

    def choose_mode(self, mode: str) -> None:
        """A mode was touched: take it, or first let it be said what it needs."""
        first = self._choices[mode].first
        if first == "lesson":
            self._wants_lesson = True
            self.on_away("lesson")
        elif first == "which":
            self.on_which(self.mode if self.mode.id == mode else Mode(mode))
        else:
            self.take(Mode(mode))

    def lead_on(self) -> None:
        """To the lesson that is set, or to another kind or part."""
        if self.mode.which:
            self.on_which(self.mode)
        else:
            self.on_away("lesson")

    # Looking ahead.

    def choose_minutes(self, minutes: float) -> None:
        """Show what so many minutes hold."""
        self.minutes = int(minutes)
        self.look_ahead()

    def look_ahead(self) -> None:
        """Show what the minutes hold in the mode: at once, or as soon as it is worked out."""
        self._let_go()
        minutes = int(self.minutes)
        self._coming = self._worker.submit(self.practice.outlook, minutes, self.mode)
        wait([self._coming], AT_ONCE_S)
        if not self._coming.done():
            self.show(Outlook(say(LOOKING, minutes=minutes), ()))
            self._minding = Clock.schedule_interval(self._mind, LOOKED_EVERY_S)
            return
        self._show_coming()

    def _mind(self, *_: Any) -> None:
        if self._coming is not None and self._coming.done():
            self._show_coming()

    def _show_coming(self) -> None:
        coming = self._coming
        self._let_go()
        if coming is None:
            return
        try:
            self.show(coming.result())
        except PracticeError as error:
            self.show(Outlook(str(error), ()))

    def _let_go(self) -> None:
        """Of what is being worked out."""
        if self._coming is not None:
            self._coming.cancel()
            self._coming = None
        if self._minding is not None:
            self._minding.cancel()
            self._minding = None

    def let_go(self) -> None:
        """Look ahead no more."""
        self._let_go()
        self._worker.shutdown(wait=False)

    def show(self, outlook: Outlook) -> None:
        """Put the outlook on view."""
        self.headline, self.counts = outlook.headline, outlook.counts
        lines = self.ids.lines
        lines.clear_widgets()
        for text, why in outlook.lines:
            lines.add_widget(TodayLine(text=text, why=why))

    def begin(self) -> None:
        """Start a session of the minutes chosen, in the mode chosen if it can still be had."""
        try:
            self.on_begin(int(self.minutes), self.mode)
        except PracticeError:
            self.take(self.mode)

    def leads_back(self) -> bool:
        return bool(platform == "android")

    def back(self) -> None:
        """Nowhere to go back to: a tablet puts the app away, as its back key is to do; elsewhere
        that does nothing, and leaving the app is left to the window."""
        app = App.get_running_app()
        if app is not None:
            app.pause()

    def main_thing(self) -> Widget | None:
        return self.ids.go_on if self.going_on else self.ids.begin

    def _place(self, *_: Any) -> None:
        """Modes and words above, minutes and the start at the foot; the neck along one side."""
        width, height = self.size
        if min(width, height) < dp(theme.LEAST_SIDE):
            return  # not in the window yet
        parts = self.ids
        upright = height >= width
        parts.neck.upright = upright
        left, right, foot = 0.0, width, 0.0
        plates = sum(plate.width for plate in (parts.cautions, parts.desk, parts.settings))
        margin = dp(theme.SPACE + (8 if upright else 20))
        neck = dp(NECK) * look.room
        if upright and plates + 2 * margin + neck > width:
            neck = 0.0  # large type in a small window needs the room
        if upright:
            right = width - neck
            parts.neck.size = neck, height
            parts.neck.pos = (0, 0) if look.left_handed else (right, 0)
            if look.left_handed:
                left, right = neck, width
        else:
            parts.neck.size, parts.neck.pos = (width, neck), (0, 0)
            foot = neck
        whole = min(right - left, dp(theme.COLUMN if upright else 1120) * look.scale + 2 * margin)
        x = left + (right - left - whole) / 2 + margin
        room = whole - 2 * margin
        parts.top.pos = x, height - parts.top.height - dp(6)
        parts.top.width = room
        name = text_px(NAME, theme.SERIF, theme.TITLE)
        self.title = NAME if plates + name <= room else ""
        parts.modes.width = room
        parts.modes.pos = x, parts.top.y - parts.modes.height - dp(theme.HAIR)
        below = parts.modes.y - dp(theme.GAP)
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
