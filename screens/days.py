"""How practice has gone, as a tab: day by day, what became firm and what slipped, and how finely
differences are heard over time."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import BooleanProperty, ListProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from practice.pages.said import minutes_words
from practice.progress import (
    Changed,
    DayDone,
    Series,
    changed,
    days_done,
    threshold_series,
)
from practice.standing import Standing
from practice.summary import Moved, threshold_words
from quizzes.names import capital
from scheduler import LogError
from screens.day_bars import DayBars as DayBars
from screens.look import load_kv, look
from screens.threshold_chart import ThresholdChart as ThresholdChart
from screens.widgets import Column, Words

NAMED = 12
"""So many of what became firm or slipped are named."""
LOOKED_EVERY_S = 0.05
BROAD = 860
"""From such a width on there are two columns, in dp."""
NO_THRESHOLDS = (
    "Nothing yet: a figure is given from ten answers on, of what is asked ever finer, as whether a "
    "swara is in tune."
)


class SeriesRow(Column):
    """The threshold of one skill: its name, what it is now, and its chart."""

    name = StringProperty("")
    words = StringProperty("")
    series = ObjectProperty(None, allownone=True)


class DaysTab(BoxLayout):
    """Shows a `Standing`. Thresholds are worked out on a thread, as they read the log."""

    told = StringProperty("")
    since = StringProperty("")
    firm = StringProperty("")
    slipped = ListProperty()
    broad = BooleanProperty(False)
    waiting = BooleanProperty(False)
    """While thresholds are being worked out."""
    heard = StringProperty("")
    """What is said of thresholds where none are shown."""

    def __init__(self, **kwargs: Any) -> None:
        self._days: tuple[DayDone, ...] = ()
        self._coming: Future[tuple[Series, ...]] | None = None
        self._minding: Any = None
        super().__init__(**kwargs)
        self.bind(width=self._fit)
        look.bind(scale=self._fit)

    def _fit(self, *_: Any) -> None:
        self.broad = self.width > dp(BROAD) * look.scale

    def show(self, standing: Standing) -> None:
        """Show how the practice of a student has gone."""
        self.ids.roll.to_top()
        self._days = days_done(standing)
        self.ids.bars.show(self._days)
        self.told = _total_said(self._days)
        self._tell_changed(changed(standing))
        self._look_for_thresholds(standing)

    def let_go(self) -> None:
        """No day is picked any more."""
        self.ids.bars.at = -1
        self.told = _total_said(self._days)

    def tell_day(self, day: DayDone) -> None:
        """What was done in a day."""
        self.told = day_said(day)

    def _tell_changed(self, moved: Changed) -> None:
        self.since = f"Since {moved.since.day} {moved.since:%B}"
        lines = self.ids.moved
        lines.clear_widgets()
        for words, some in (("Became firm", moved.firm), ("Slipped", moved.slipped)):
            lines.add_widget(Words(text=f"{words}: {len(some) or 'nothing'}", role="body"))
            for text in _listed(some):
                lines.add_widget(Words(text=text, role="small", tone="soft"))

    def _look_for_thresholds(self, standing: Standing) -> None:
        self.ids.thresholds.clear_widgets()
        self._let_go()
        self.heard, self.waiting = "", True
        worker = ThreadPoolExecutor(1, thread_name_prefix="thresholds")
        self._coming = worker.submit(threshold_series, standing)
        worker.shutdown(wait=False)
        self._minding = Clock.schedule_interval(self._mind, LOOKED_EVERY_S)

    def _mind(self, *_: Any) -> None:
        coming = self._coming
        if coming is None or not coming.done():
            return
        self._let_go()
        try:
            found = coming.result()
        except LogError as error:
            self.heard = str(error)
            return
        self.heard = "" if found else NO_THRESHOLDS
        for series in found:
            row = SeriesRow(name=series.name, words=series_said(series), series=series)
            self.ids.thresholds.add_widget(row)

    def _let_go(self) -> None:
        """Of what is being worked out."""
        self.waiting = False
        self._coming = None
        if self._minding is not None:
            self._minding.cancel()
            self._minding = None


def day_said(day: DayDone) -> str:
    """`Monday 23 November: 14 minutes, 58 questions, 46 right, 3 only shown.`"""
    at = f"{day.date:%A} {day.date.day} {day.date:%B}"
    if not day.asked and not day.shown:
        return f"{at}: no practice."
    shown = f", {day.shown} only shown" if day.shown else ""
    return f"{at}: {minutes_words(day.minutes)}, {_questions(day.asked)}, {day.right} right{shown}."


def series_said(series: Series) -> str:
    """What the threshold is now, and what it was at the first point."""
    first, last = series.points[0], series.points[-1]
    now = capital(threshold_words(last.known, series.level))
    few = ", few yet" if last.is_few else ""
    if first is last:
        return f"{now}{few}."
    then = threshold_words(first.known, series.level).removeprefix("you hear it ")
    then_few = ", of few answers" if first.is_few else ""
    return f"{now}{few}. On {first.at.day} {first.at:%B} it was {then}{then_few}."


def _total_said(days: Sequence[DayDone]) -> str:
    asked, right = (sum(getattr(day, name) for day in days) for name in ("asked", "right"))
    if not any(day.asked or day.shown for day in days):
        return f"No practice in the last {len(days) // 7} weeks."
    minutes = minutes_words(sum(day.minutes for day in days))
    return (
        f"In the last {len(days) // 7} weeks {minutes}, {_questions(asked)}, {right} right. "
        "Touch a day to read of it."
    )


def _questions(count: int) -> str:
    return f"{count} question{'s' * (count != 1)}"


def _listed(some: Sequence[Moved]) -> list[str]:
    """What each is called, and what it is now where it is firm no more; not more than can be
    read."""
    told = [
        capital(one.name) if one.after == "firm" else f"{capital(one.name)}: {one.after} now"
        for one in some[:NAMED]
    ]
    return [*told, f"and {len(some) - NAMED} more"] if len(some) > NAMED else told


load_kv("days")
