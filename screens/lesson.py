"""When the lesson is: its day and time, without typing, the next one's own date where it is out of
turn, and the ragas that it is about."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.widget import Widget

from practice import Practice, PracticeError
from practice.dates import weekday_date_word, weekday_word
from practice.settings import DAYS
from screens.keys import KaanScreen
from screens.look import load_kv
from screens.widgets import ChosenPlate
from words import say, say_as, to_say

STEP_MIN = 15
TIMES = tuple(range(0, 24 * 60, STEP_MIN))
"""Minutes of the day to choose from."""
RAGAS_AT_A_TIME = 12
NOT_SET = to_say("No day is set. Say when your lesson is; practice then makes ready for it.")
DATES_AHEAD = 56
"""A lesson out of turn may be in so many days at most."""


class LessonScreen(KaanScreen):
    """Shows and changes the lesson in `practice.settings`; `on_close` is called to go back."""

    days = ListProperty()
    times = ListProperty(TIMES)
    time_words = StringProperty("")
    said = StringProperty("")
    """When the next lesson is."""
    is_set = BooleanProperty(False)
    minute = NumericProperty(0)
    """Of the day."""
    dates = ListProperty(range(DATES_AHEAD + 2))
    """Days from today, which is 1, of which one may be that of a lesson out of turn; 0 for none."""
    date_at = NumericProperty(0)
    date_words = StringProperty("")
    raga_hint = StringProperty("")
    trouble = StringProperty("")

    def __init__(self, practice: Practice, *, on_close: Callable[[], None], **kwargs: Any) -> None:
        self.practice, self.on_close = practice, on_close
        self._waiting: list[tuple[str, str]] = []
        days = [
            ("", say_as("no day", "None")),
            *zip(DAYS, map(weekday_word, range(7)), strict=True),
        ]
        super().__init__(**{"days": days, **kwargs})
        self._filling = Clock.create_trigger(self._fill, 0)

    def on_pre_enter(self, *_: Any) -> None:
        """Show what is set, and the ragas of the course that is taken."""
        self.trouble = ""
        self.ids.roll.scroll_y = 1.0
        self._show()
        self.ids.ragas.clear_widgets()
        self._waiting = list(self.practice.lesson_ragas())
        self.raga_hint = (
            say(
                "Those that your next lesson is about, where you know it. What your course asks of "
                "them then comes first."
            )
            if self._waiting
            else say("Your course asks of no ragas.")
        )
        self._fill()

    def _show(self) -> None:
        settings = self.practice.settings
        self.ids.day.value = settings.lesson_day
        hour, minute = map(int, settings.lesson_time.split(":"))
        self.minute = 60 * hour + minute
        self.time_words = settings.lesson_time
        today, first, moved = self.practice.lesson_dates()
        self.dates = [0, *range((first - today).days + 1, DATES_AHEAD + 2)]
        self.date_at = (moved - today).days + 1 if moved else 0
        self.date_words = weekday_date_word(moved) if moved else say_as("no day", "None")
        self.is_set = bool(settings.lesson_day or self.date_at)
        words = self.practice.lesson_words()
        self.said = say("{lesson}.", lesson=words) if words else say(NOT_SET)

    def _fill(self, *_: Any) -> None:
        """The next few ragas; the rest in the frames that follow."""
        chosen = self.practice.settings.lesson_ragas
        now, self._waiting = self._waiting[:RAGAS_AT_A_TIME], self._waiting[RAGAS_AT_A_TIME:]
        for raga, name in now:
            plate = ChosenPlate(text=name, chosen=raga in chosen)
            plate.value = raga
            plate.bind(on_release=self._choose_raga)
            self.ids.ragas.add_widget(plate)
        if self._waiting:
            self._filling()

    def change(self, **values: Any) -> bool:
        """Keep new values; False, and said why, where they cannot be kept."""
        try:
            self.practice.save(replace(self.practice.settings, **values))
        except PracticeError as error:
            self.trouble = str(error)
            self._show()
            return False
        self.trouble = ""
        self._show()
        return True

    def set_time(self, minute: float) -> None:
        """So many minutes after midnight."""
        hour, rest = divmod(int(minute), 60)
        self.change(lesson_time=f"{hour:02}:{rest:02}")

    def set_date(self, at: float) -> None:
        """The next lesson out of turn: on the day at this place among `dates`; 0 for none."""
        day = self.practice.today() + timedelta(days=int(at) - 1)
        self.change(lesson_date=day.isoformat() if at else "")

    def _choose_raga(self, plate: ChosenPlate) -> None:
        """Take one among the lesson's ragas, or out of them."""
        kept = [raga for raga in self.practice.settings.lesson_ragas if raga != plate.value]
        wanted = kept if plate.chosen else [*kept, plate.value]
        if self.change(lesson_ragas=tuple(wanted)):
            plate.chosen = not plate.chosen

    def on_leave(self, *_: Any) -> None:
        """Let go of what was listed."""
        self._filling.cancel()
        self._waiting = []
        self.ids.ragas.clear_widgets()

    def back(self) -> None:
        self.on_close()

    def main_thing(self) -> Widget | None:
        return self.ids.done


load_kv("lesson")
