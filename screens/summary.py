"""The end of a session: what was answered, what moved, how finely tune is heard, and rest."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from practice import Summary
from screens.keys import KaanScreen
from screens.look import load_kv
from screens.widgets import Panel, Words


class MovedLine(BoxLayout):
    """A skill that is now called otherwise."""

    name = StringProperty("")
    before = StringProperty("")
    after = StringProperty("")


class TunedPanel(Panel):
    """How finely tune is heard, a line for each swara asked."""

    def __init__(self, *, lines: tuple[str, ...], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        for text in lines:
            self.add_widget(Words(text=text))


class SummaryScreen(KaanScreen):
    """`on_close` is called when the student has read it."""

    headline = StringProperty("")
    answered = StringProperty("")
    caution = StringProperty("")

    def __init__(self, *, on_close: Callable[[], None], **kwargs: Any) -> None:
        self.on_close = on_close
        super().__init__(**kwargs)

    def show(self, summary: Summary) -> None:
        """Put a session's end on view."""
        minutes = round(summary.minutes)
        self.headline = (
            "Less than a minute" if minutes < 1 else f"{minutes} minute{'s' * (minutes != 1)}"
        )
        self.answered = f"{summary.answered} answered, {summary.right} of them right."
        self.caution = summary.caution
        lines = self.ids.moved
        lines.clear_widgets()
        for moved in summary.moved:
            lines.add_widget(MovedLine(name=moved.name, before=moved.before, after=moved.after))
        if not summary.moved:
            lines.add_widget(
                Words(text="Nothing yet: what you hear settles over days.", tone="soft")
            )
        tuned = self.ids.tuned
        tuned.clear_widgets()
        if summary.thresholds:
            tuned.add_widget(TunedPanel(lines=summary.thresholds))
        self.ids.roll.scroll_y = 1.0

    def back(self) -> None:
        self.on_close()

    def main_thing(self) -> Widget | None:
        return self.ids.done


load_kv("summary")
