"""How practice has gone, as a tab: day by day, what became firm and what slipped, and how finely
differences are heard over time."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Future
from datetime import date, timedelta
from functools import partial
from typing import Any, NamedTuple

from kivy.metrics import dp
from kivy.properties import BooleanProperty, ListProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from practice.dates import date_word, weekday_date_word
from practice.meanings import state_word
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
from scheduler.history import day_of, first_day, lately
from screens.day_bars import DayBars as DayBars
from screens.look import load_kv, look
from screens.on_thread import OnThread
from screens.threshold_chart import ThresholdChart as ThresholdChart
from screens.widgets import Column, Words
from words import say, say_many, to_say

NAMED = 12
"""So many of what became firm or slipped are named."""
BROAD = 860
"""From such a width on there are two columns, in dp."""
NO_THRESHOLDS = to_say(
    "Nothing yet: a figure is given from ten answers on, of what is asked ever finer, as whether a "
    "swara is in tune."
)

BECAME_FIRM, SLIPPED = to_say("Became firm: {count}"), to_say("Slipped: {count}")


class SeriesRow(Column):
    """The threshold of one skill: its name, what it is now, and its chart."""

    name = StringProperty("")
    words = StringProperty("")
    series = ObjectProperty(None, allownone=True)
    today = ObjectProperty(None, allownone=True)
    """At which its chart ends."""


class Gone(NamedTuple):
    """How practice has gone of late."""

    standing: Standing
    days: tuple[DayDone, ...]
    moved: Changed


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
        self._looking = OnThread()
        super().__init__(**kwargs)
        self.bind(width=self._fit)
        look.bind(scale=self._fit)

    def _fit(self, *_: Any) -> None:
        self.broad = self.width > dp(BROAD) * look.scale

    @staticmethod
    def work_out(standing: Standing) -> Gone:
        """What is to be shown of how a student stands: the days of the same weeks of which all the
        other pictures tell; on any thread."""
        monday = first_day(lately(standing.now).start)
        count = day_of(standing.now) - monday + 1
        return Gone(standing, days_done(standing, count), changed(standing))

    def show(self, gone: Gone) -> None:
        """Show how the practice of a student has gone."""
        self.ids.roll.to_top()
        self._days = gone.days
        self.ids.bars.show(self._days)
        self.told = total_said(self._days)
        self._tell_changed(gone.moved)
        self._look_for_thresholds(gone.standing)

    def let_go(self) -> None:
        """No day is picked any more."""
        self.ids.bars.at = -1
        self.told = total_said(self._days)

    def leave(self) -> None:
        """It is on view no more: no threshold is waited for."""
        self._looking.leave()
        self.waiting = False

    def main_thing(self) -> Widget:
        """What the arrow keys go to first."""
        bars: Widget = self.ids.bars.__self__  # ids are proxies
        return bars

    def tell_day(self, day: DayDone) -> None:
        """What was done in a day."""
        self.told = day_said(day)

    def _tell_changed(self, moved: Changed) -> None:
        self.since = say("Since {date}", date=date_word(moved.since + timedelta(days=1)))
        lines = self.ids.moved
        lines.clear_widgets()
        for words, none, some in (
            (BECAME_FIRM, say("Became firm: nothing"), moved.firm),
            (SLIPPED, say("Slipped: nothing"), moved.slipped),
        ):
            told = say(words, count=len(some)) if some else none
            lines.add_widget(Words(text=told, role="body"))
            for text in _listed(some):
                lines.add_widget(Words(text=text, role="small", tone="soft"))

    def _look_for_thresholds(self, standing: Standing) -> None:
        self.ids.thresholds.clear_widgets()
        self.heard, self.waiting = "", True
        then = partial(self._found, standing.now.date())
        self._looking.do(partial(threshold_series, standing), then)

    def _found(self, today: date, coming: Future[tuple[Series, ...]]) -> None:
        self.waiting = False
        try:
            found = coming.result()
        except LogError as error:
            self.heard = str(error)
            return
        self.heard = "" if found else say(NO_THRESHOLDS)
        for series in found:
            words = series_said(series, today)
            row = SeriesRow(name=series.name, words=words, series=series, today=today)
            self.ids.thresholds.add_widget(row)


def day_said(day: DayDone) -> str:
    """`Monday 23 November: 14 minutes, 58 questions, 46 right, 3 only shown.`"""
    at, played = weekday_date_word(day.date), _played(day.on_instrument)
    if not day.asked and not day.shown:
        return say("{day}: {what}.", day=at, what=played or say("no practice"))
    parts = [minutes_words(day.minutes), _asked(day.asked, day.right)]
    if day.shown:
        parts.append(say("{count} only shown", count=day.shown))
    return say("{day}: {what}.", day=at, what="; ".join(filter(None, (", ".join(parts), played))))


def series_said(series: Series, today: date) -> str:
    """What the threshold is now, or was when last asked, where that was neither in this week nor in
    the one before; and what it was at the first point."""
    first, last = series.points[0], series.points[-1]
    if last.at < today - timedelta(days=today.weekday(), weeks=1):
        once = threshold_words(last.known, series.level, when="once")
        now = say("On {date}: {heard}", date=date_word(last.at), heard=once)
    else:
        now = capital(threshold_words(last.known, series.level))
    if last.is_few:
        now = say("{heard}, few yet", heard=now)
    if first is last:
        return say("{heard}.", heard=now)
    then = threshold_words(first.known, series.level, when="it was")
    if first.is_few:
        then = say("{heard}, of few answers", heard=then)
    return say("{now}. On {date} it was {then}.", now=now, date=date_word(first.at), then=then)


def total_said(days: Sequence[DayDone]) -> str:
    """`In the last four weeks, since Monday 2 November, 213 minutes, …`"""
    played = _played(sum(day.on_instrument for day in days))
    if not any(day.asked or day.shown for day in days):
        if not played:
            return say("No practice in the last four weeks.")
        return say("In the last four weeks: {what}.", what=played)
    asked, right = (sum(getattr(day, name) for day in days) for name in ("asked", "right"))
    minutes = minutes_words(sum(day.minutes for day in days))
    what = "; ".join(filter(None, (f"{minutes}, {_asked(asked, right)}", played)))
    return say(
        "In the last four weeks, since {day}: {what}. Touch a day to read of it.",
        day=weekday_date_word(days[0].date),
        what=what,
    )


def _played(minutes: float) -> str:
    """`20 minutes on the instrument`; "" for none."""
    if not minutes:
        return ""
    whole = round(minutes)
    if not whole:
        return say("less than a minute on the instrument")
    return say_many("{count} minute on the instrument", "{count} minutes on the instrument", whole)


def _asked(count: int, right: int) -> str:
    """`58 questions, 46 right`."""
    return say_many(
        "{count} question, {right} right", "{count} questions, {right} right", count, right=right
    )


def _listed(some: Sequence[Moved]) -> list[str]:
    """What each is called, and what it is now where it is firm no more; not more than can be
    read."""
    told = [
        capital(one.name)
        if one.after == "firm"
        else say("{name}: {state} now", name=capital(one.name), state=state_word(one.after))
        for one in some[:NAMED]
    ]
    if len(some) > NAMED:
        told.append(say("and {number} more", number=len(some) - NAMED))
    return told


load_kv("days")
