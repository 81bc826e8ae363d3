"""The first start, in four short steps: who, how loud, where Sa is, what to learn; then it begins.

What is chosen is kept at once, so that nothing is lost where the app is closed in between; the
steps come again until the last one is done.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, OptionProperty, StringProperty
from kivy.uix.widget import Widget

from audio import render
from practice import Practice
from practice.listening import sa_score
from screens import theme
from screens.changing import Changing
from screens.keys import KaanScreen, focus_on
from screens.look import load_kv
from screens.roll import read_on
from screens.welcome_loud import LoudStep
from screens.welcome_parts import CourseStep, StepPart, WhoStep
from screens.welcome_sa import SaStep
from words import say, to_say

STEPS = ("who", "loud", "sa", "course")
TITLES = {
    "who": to_say("Who are you?"),
    "loud": to_say("How loud?"),
    "sa": to_say("Where is your Sa?"),
    "course": to_say("What do you want to learn?"),
}
ONWARD = {
    "who": to_say("Next"),
    "loud": to_say("I have read this: next"),
    "sa": to_say("Next"),
    "course": to_say("To the first question"),
}
READ_ON = to_say("Read on")
"""Where cautions lie below what is on view."""
PARTS: dict[str, type[StepPart]] = {
    "who": WhoStep,
    "loud": LoudStep,
    "sa": SaStep,
    "course": CourseStep,
}


class WelcomeScreen(Changing, KaanScreen):
    """`on_begin` is called when all is chosen and practice is to begin, `on_close` where it is not
    to begin yet; `on_look` when type of another size was chosen; `on_words` when another language
    or contrast was, as all screens are then made anew."""

    step = OptionProperty("who", options=STEPS)
    count = StringProperty("")
    title = StringProperty("")
    onward = StringProperty("")
    trouble = StringProperty("")
    busy = BooleanProperty(False)
    """Whether the listening check is going on."""
    has_before = BooleanProperty(False)
    broad = NumericProperty(0.0)
    """What is left free on either side, in pixels."""

    def __init__(
        self,
        practice: Practice,
        *,
        on_begin: Callable[[], None],
        on_close: Callable[[], None],
        on_look: Callable[[], None],
        on_words: Callable[[], None],
        **kwargs: Any,
    ) -> None:
        self.practice, self.on_begin, self.on_close = practice, on_begin, on_close
        self.on_look, self.on_words = on_look, on_words
        self.part: StepPart | None = None
        super().__init__(**kwargs)
        self.ids.roll.fbind("hidden", self._say_onward)

    def on_pre_enter(self, *_: Any) -> None:
        """From the first step."""
        self.show("who")

    def show(self, step: str) -> None:
        """Put one step on view."""
        self._fall_silent()
        self.step, at = step, STEPS.index(step)
        self.count = say("{step} of {steps}", step=at + 1, steps=len(STEPS))
        self.title = say(TITLES[step])
        self.has_before, self.busy, self.trouble = at > 0, False, ""
        self.ids.place.clear_widgets()
        self.part = PARTS[step](screen=self)
        self.ids.place.add_widget(self.part)
        self.part.fill()
        self.ids.roll.to_top()
        self._say_onward()
        focus_on(self, None)

    @property
    def _is_unread(self) -> bool:
        """Whether cautions lie below what is on view."""
        return self.step == "loud" and bool(self.ids.roll.hidden > dp(theme.GAP))

    def _say_onward(self, *_: Any) -> None:
        self.onward = say(READ_ON if self._is_unread else ONWARD[self.step])

    def next(self) -> None:
        """To the next step; from the last one to the first question. Cautions are read first."""
        if self._is_unread:
            read_on(self.ids.roll)
            return
        at = STEPS.index(self.step)
        if self.part is None or not self.part.keep_typed():
            return
        if at + 1 < len(STEPS):
            self.show(STEPS[at + 1])
        elif self._done():
            self.on_begin()

    def leads_back(self) -> bool:
        return bool(self.has_before)

    def back(self) -> None:
        """To the step before."""
        at = STEPS.index(self.step)
        if at and self.part is not None:
            self.part.keep_typed()
            self.show(STEPS[at - 1])

    def later(self) -> None:
        """All is chosen; practice is not to begin yet."""
        if self._done():
            self.on_close()

    def _done(self) -> bool:
        self._fall_silent()
        return self.change(cautions_seen=True)

    # Sound.

    def hear(self) -> None:
        """Sa and Pa over the drone, as they are set."""
        settings, speaker = self.practice.settings, self.practice.speaker
        speaker.volume_db = settings.volume_db
        score = sa_score(settings)
        speaker.play(render.blocks(score), frames=render.frames_of(score))
        self.tell_of_sound()

    def tell_of_sound(self) -> None:
        """Say what keeps sound from being heard, if anything does."""
        self.trouble = self.practice.sound_trouble or ""

    def _fall_silent(self) -> None:
        if self.part is not None:
            self.part.fall_silent()

    # Keys, and being left.

    def main_thing(self) -> Widget | None:
        first = self.part.main_thing() if self.part is not None else None
        return first or self.ids.onward

    def put_away(self) -> None:
        """Fall silent; what stands in a field is kept."""
        if self.part is not None:
            self.part.keep_typed()
        self._fall_silent()

    def on_leave(self, *_: Any) -> None:
        """Fall silent."""
        self._fall_silent()

    def let_go(self) -> None:
        self._fall_silent()


load_kv("welcome")
