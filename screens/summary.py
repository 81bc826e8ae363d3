"""The end of a session: what was answered, what moved, how finely tune is heard, rest, and the
instrument.

Where somebody else answered in between, the answers can be left out here, and put back.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from practice import Summary
from scheduler import LogError
from screens.keys import KaanScreen
from screens.look import load_kv
from screens.said import Empty
from screens.widgets import Panel, QuietPlate, Words
from words import say, say_many


class MovedLine(BoxLayout):
    """A skill that is now called otherwise."""

    name = StringProperty("")
    before = StringProperty("")
    after = StringProperty("")


class ToldPanel(Panel):
    """What there is to be told of one thing, a line each."""

    title = StringProperty("")

    def __init__(self, *, lines: Iterable[Widget], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        for line in lines:
            self.add_widget(line)


class QuietLine(QuietPlate):
    """A small way elsewhere whose words may take more than one line.

    Where it stands then, another may undo what it did: of two taps at once the second does nothing.
    """

    def on_touch_down(self, touch: Any) -> bool:
        if touch.is_double_tap and self.collide_point(*touch.pos):
            return True
        return bool(super().on_touch_down(touch))


class SummaryScreen(KaanScreen):
    """`on_close` is called when the student has read it, `on_instrument` when the day's palta is to
    be played, `on_leave_out` when somebody else has answered, and `on_put_back` when that was a
    mistake; these two may raise LogError.
    """

    headline = StringProperty("")
    answered = StringProperty("")
    caution = StringProperty("")
    answers = NumericProperty(0)
    """Answers given, what was only shown included: so many rows stand in the log."""
    left_out = BooleanProperty(False)
    """Whether the answers count for nothing; then nothing has moved."""
    trouble = StringProperty("")

    def __init__(
        self,
        *,
        on_close: Callable[[], None],
        on_instrument: Callable[[], None],
        on_leave_out: Callable[[], None],
        on_put_back: Callable[[], None],
        **kwargs: Any,
    ) -> None:
        self.on_close, self.on_instrument = on_close, on_instrument
        self._on_leave_out, self._on_put_back = on_leave_out, on_put_back
        super().__init__(**kwargs)

    def show(self, summary: Summary) -> None:
        """Put a session's end on view."""
        minutes = round(summary.minutes)
        self.headline = (
            say("Less than a minute")
            if minutes < 1
            else say_many("{count} minute", "{count} minutes", minutes)
        )
        self.answered = say("{text}.", text=summary.counts)
        self.caution, self.answers = summary.caution, summary.answered
        self._summary, self.left_out, self.trouble = summary, False, ""
        self._tell()

    def turn(self) -> None:
        """Leave the answers out, or put them back."""
        try:
            if self.left_out:
                self._on_put_back()
            else:
                self._on_leave_out()
        except LogError as error:
            self.trouble = str(error)
            return
        self.left_out, self.trouble = not self.left_out, ""
        self._tell()

    def _tell(self) -> None:
        """What moved and how finely tune is heard: nothing where the answers count for nothing."""
        told, summary = self.ids.told, self._summary
        told.clear_widgets()
        self.ids.roll.scroll_y = 1.0
        if self.left_out:
            return
        lines: list[Widget] = [
            MovedLine(name=moved.name, before=moved.before, after=moved.after)
            for moved in summary.moved
        ]
        if summary.met:
            lines.insert(0, Words(text=say("{text}.", text=summary.met)))
        nothing = Empty(text=say("Nothing yet: what you hear settles over days."))
        told.add_widget(ToldPanel(title=say("What moved"), lines=lines or [nothing]))
        if summary.thresholds:
            tuned = [Words(text=text) for text in summary.thresholds]
            told.add_widget(ToldPanel(title=say("How finely you hear tune"), lines=tuned))

    def back(self) -> None:
        self.on_close()

    def main_thing(self) -> Widget | None:
        return self.ids.done


load_kv("summary")
