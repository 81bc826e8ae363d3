"""The page for the lesson on view: what a student's answers tell, as it is printed, to be written
as PDF or as a picture."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Future
from typing import Any

from kivy.properties import ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from practice import Practice, PracticeError
from practice.pages.confusions import Confusion
from practice.pages.lesson_page import ABOUT_FIGURES, LessonPage, lesson_page
from practice.pages.lesson_sheet import lesson_paper
from practice.pages.said import some
from practice.pages.states import Part, worst_first
from practice.standing import standing_in
from practice.students import Known
from quizzes.names import capital
from scheduler import SchedulerError
from screens.filling import Filling
from screens.look import load_kv
from screens.on_thread import OnThread
from screens.page_parts import (
    MinutesBars,
    PagePanel,
    StateKeys,
    StatesRow,
    counts_words,
)
from screens.page_screen import OnFolder, OnPaper, PageScreen
from screens.widgets import Words

READING = "Reading the answers"
ROWS, MORE_ROWS = 12, 24
"""So many parts of the course are shown, and so many more each time that more are wanted."""
NAMED = 8


class SuggestionRow(BoxLayout):
    """One suggestion with its number and its figure."""

    number = StringProperty("")
    text = StringProperty("")
    figure = StringProperty("")


class LessonPageScreen(PageScreen):
    """Of the student who practises here, or, after `look_at`, of another one of this device."""

    page: LessonPage | None = ObjectProperty(None, allownone=True)
    looking = StringProperty("")
    """What is said while the answers are read."""

    def __init__(
        self,
        practice: Practice,
        *,
        on_folder: OnFolder,
        on_close: Callable[[], None],
        **kwargs: Any,
    ) -> None:
        self.practice = practice
        self.student: Known | None = None
        self._thread, self._filling = OnThread(), Filling()
        self._left: list[Part] = []
        """Parts that are not shown yet."""
        super().__init__(on_folder=on_folder, on_close=on_close, **kwargs)

    def look_at(self, student: Known | None) -> None:
        """Show this student's page when it is entered next; None stands for who practises here."""
        self.student, self.page = student, None

    def on_pre_enter(self, *_: Any) -> None:
        """Read afresh, but for who comes back with a folder."""
        if self.is_choosing:
            self.is_choosing = False
            return
        self.done = self.trouble = ""
        self.page = None
        self.ids.roll.to_top()
        self.looking = f"{READING} of {self.student.words}" if self.student else READING
        if self.student is None:
            self.practice.refresh()
        self._thread.do(self._read, self._show)

    def on_leave(self, *_: Any) -> None:
        """Nothing is read any more."""
        self._thread.leave()

    def let_go(self) -> None:
        self._thread.leave()
        self._filling.leave()

    @property
    def waiting(self) -> bool:
        """Whether it is still being read, or rows are missing."""
        return bool(self.looking or self._filling.is_going_on)

    def _read(self) -> LessonPage:
        """On a thread."""
        practice, student = self.practice, self.student
        if student is None:
            return lesson_page(practice.standing())
        now, home, given = practice.standing().now, practice.home, practice.given
        with standing_in(student.folder, now, home=home, given=given) as standing:
            return lesson_page(standing)

    def _show(self, coming: Future[LessonPage]) -> None:
        self.looking = ""
        try:
            self.page = coming.result()
        except (PracticeError, SchedulerError, OSError) as error:
            self.trouble = str(error)

    def on_page(self, *_: Any) -> None:
        """Put it on view."""
        told = self.ids.told
        told.clear_widgets()
        self._filling.leave()
        if self.page is None:
            return
        for panel in (self._suggestions, self._parts, self._confusions, self._moves,
                      self._guessing, self._practised):  # fmt: skip
            told.add_widget(panel(self.page))
        told.add_widget(Words(text=ABOUT_FIGURES, role="small", tone="faint"))

    # The panels.

    def _suggestions(self, page: LessonPage) -> Widget:
        panel = PagePanel(title="Three suggestions for the lesson")
        for number, one in enumerate(page.suggestions, 1):
            figure = f"{capital(one.figure)}."
            panel.add_widget(SuggestionRow(number=str(number), text=one.text, figure=figure))
        return panel

    def _parts(self, page: LessonPage) -> Widget:
        panel = PagePanel(title="The course by its parts")
        panel.add_widget(StateKeys())
        self._rows = PartRows()
        self._rows.ids.more.bind(on_release=lambda _: self._add_parts(MORE_ROWS))
        panel.add_widget(self._rows)
        begun = worst_first(page.parts)
        fresh = [part for part in page.parts if not part.states.begun]
        self._left = [Part("All of it", page.states), *begun, *fresh]
        self._add_parts(1 + min(ROWS, len(begun)))
        return panel

    def _add_parts(self, count: int) -> None:
        """So many more: first those begun, the worst first, then the others in their order."""
        now, self._left = self._left[:count], self._left[count:]
        self._filling.add(self._rows.ids.rows, now, _part_row)
        more = self._rows.ids.more
        left = len(self._left)
        more.text = f"Show {min(MORE_ROWS, left)} more of {left} other parts" if left else ""
        more.disabled = not self._left

    def _confusions(self, page: LessonPage) -> Widget:
        panel = PagePanel(title="Heard as another")
        if not page.confusions:
            panel.add_widget(Words(text=page.no_confusions, tone="soft"))
        for confusion in page.confusions:
            panel.add_widget(ConfusionRow(confusion))
        return panel

    def _moves(self, page: LessonPage) -> Widget:
        panel = PagePanel(title="Firm, shaky, slipped")
        for what, names in page.moved:
            said = f"{what}: {some(names, NAMED) if names else 'nothing'}."
            panel.add_widget(Words(text=said))
        return panel

    def _guessing(self, page: LessonPage) -> Widget:
        guessing = page.guessing
        panel = PagePanel(title="When answers came")
        panel.add_widget(Words(text=guessing.words, tone="soft" if not guessing.found else "ink"))
        for hurried in guessing.found:
            panel.add_widget(Words(text=f"{hurried.figure}.", role="small", tone="soft"))
        return panel

    def _practised(self, page: LessonPage) -> Widget:
        practised = page.practised
        panel = PagePanel(title=practised.heading)
        panel.add_widget(Words(text=practised.words))
        bars = MinutesBars(minutes=list(practised.minutes))
        scale = f"Up to {bars.most:.0f} minutes a day, week by week from a Monday on"
        panel.add_widget(Words(text=scale, role="small", tone="faint"))
        panel.add_widget(bars)
        for text in filter(None, (practised.known, practised.kinds)):
            panel.add_widget(Words(text=text, role="small", tone="soft"))
        return panel

    def on_paper(self) -> OnPaper | None:
        page = self.page
        return None if page is None else OnPaper(page.student, lesson_paper(page), page.made)

    def main_thing(self) -> Widget | None:
        return self.ids.pdf


def _part_row(part: Part) -> Widget:
    states = part.states
    return StatesRow(text=part.name, counts=list(states), words=counts_words(states))


class PartRows(BoxLayout):
    """Parts of a course, and the plate that brings the others."""


class ConfusionRow(BoxLayout):
    """One thing heard as another, its figures, and both in sargam."""

    words = StringProperty("")
    figure = StringProperty("")
    play = StringProperty("")

    def __init__(self, confusion: Confusion, **kwargs: Any) -> None:
        before = f"; before {confusion.before}" if confusion.before else ""
        played = _played((confusion.play_right, confusion.play_given))
        super().__init__(
            words=confusion.words, figure=f"{confusion.figure}{before}", play=played, **kwargs
        )


def _played(lines: Sequence[str]) -> str:
    return "\nagainst  ".join(filter(None, (f"Play  {lines[0]}" if lines[0] else "", lines[1])))


load_kv("lesson_page")
