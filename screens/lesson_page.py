"""The page for the lesson on view: what a student's answers tell, as it is printed, to be written
as PDF or as a picture."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from practice import Practice
from practice.pages.confusions import Confusion
from practice.pages.lesson_page import ABOUT_FIGURES, LessonPage, lesson_page
from practice.pages.lesson_sheet import lesson_paper
from practice.pages.phrases import SIGNS
from practice.pages.said import glued, so_many, some
from practice.pages.states import Part, all_begun, most_wanting
from practice.phrases import KeptPhrase
from practice.standing import standing_in
from practice.students import Known
from quizzes.names import capital
from screens.drawn import plainly
from screens.look import load_kv
from screens.page_parts import (
    MinutesBars,
    PagePanel,
    StateKeys,
    StatesRow,
    counts_words,
)
from screens.page_screen import OnPaper, PageScreen
from screens.widgets import Words
from words import in_english, say

ROWS, MORE_ROWS = 12, 24
"""So many parts of the course are shown, and so many more each time that more are wanted."""
NAMED = 8


class SuggestionRow(BoxLayout):
    """One suggestion with its number and its figure."""

    number = StringProperty("")
    text = StringProperty("")
    figure = StringProperty("")


class LessonPageScreen(PageScreen):
    """Of the student who practises here, or, after `look_at`, of another one of this device.

    `on_phrases` is told of whom the phrases that they have kept are to be shown.
    """

    def __init__(
        self,
        practice: Practice,
        *,
        on_phrases: Callable[[Known | None, Sequence[KeptPhrase]], None],
        **kwargs: Any,
    ) -> None:
        self.student: Known | None = None
        self._on_phrases = on_phrases
        self._left: list[Part] = []
        """Parts that are not shown yet."""
        super().__init__(practice, **kwargs)

    def look_at(self, student: Known | None) -> None:
        """Show this student's page when it is entered next; None stands for who practises here."""
        self.student, self.page = student, None

    def be_left(self) -> None:
        """Whoever comes the next time by a way of their own sees their own page."""
        self.look_at(None)

    def begin(self) -> str:
        if self.student is None:
            self.practice.refresh()
            return say("Reading the answers")
        name = plainly(self.student.words, say("this student"))
        return say("Reading the answers of {student}", student=name)

    def read(self) -> LessonPage:
        practice, student = self.practice, self.student
        if student is None:
            return lesson_page(practice.standing())
        now, home, given = practice.standing().now, practice.home, practice.given
        with standing_in(student.folder, now, home=home, given=given) as standing:
            return lesson_page(standing)

    @in_english()
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
        told.add_widget(Words(text=f"{SIGNS} {ABOUT_FIGURES}", role="small", tone="faint"))

    def show_phrases(self) -> None:
        """On to those that the student has kept."""
        student, phrases = self.student, self.page.kept
        self.be_away(lambda: self._on_phrases(student, phrases))

    # The panels.

    def _suggestions(self, page: LessonPage) -> Widget:
        panel = PagePanel(title="Three suggestions for the lesson")
        for number, one in enumerate(page.suggestions, 1):
            figure = f"{capital(one.figure)}."
            panel.add_widget(SuggestionRow(number=str(number), text=one.text, figure=figure))
        return panel

    def _parts(self, page: LessonPage) -> Widget:
        panel = PagePanel(title="The course by its parts")
        if page.of_course:
            panel.add_widget(Words(text=page.of_course))
        panel.add_widget(StateKeys())
        self._rows = PartRows()
        self._rows.ids.more.bind(on_release=lambda _: self._add_parts(MORE_ROWS))
        panel.add_widget(self._rows)
        shown, left = most_wanting(page.parts, ROWS)
        begun = [Part("All that is begun", all_begun(page.parts))] if shown else []
        fresh = [part for part in page.parts if not part.states.begun]
        self._left = [*begun, *shown, *left, *fresh]
        self._add_parts(len(begun) + len(shown))
        return panel

    def _add_parts(self, count: int) -> None:
        """So many more: first those begun that want most attention, then the others, all in the
        order of the course."""
        now, self._left = self._left[:count], self._left[count:]
        self._filling.add(self._rows.ids.rows, now, _part_row)
        more = self._rows.ids.more
        left = len(self._left)
        more.text = (
            f"Show {so_many(min(MORE_ROWS, left), 'more part')} of the course" if left else ""
        )
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
        for guessed in guessing.found:
            panel.add_widget(Words(text=f"{guessed.words}.", role="small", tone="soft"))
        return panel

    def _practised(self, page: LessonPage) -> Widget:
        practised = page.practised
        panel = PagePanel(title=practised.heading)
        panel.add_widget(Words(text=practised.words))
        bars = MinutesBars(minutes=list(practised.minutes), come=practised.come)
        scale = f"Up to {bars.most:.0f} minutes a day, week by week from a Monday on"
        panel.add_widget(Words(text=scale, role="small", tone="faint"))
        panel.add_widget(bars)
        told = (practised.noted, practised.known, practised.kinds)
        for text in filter(None, told):
            panel.add_widget(Words(text=text, role="small", tone="soft"))
        return panel

    def on_paper(self) -> OnPaper | None:
        page = self.page
        return None if page is None else OnPaper(page.heading, lesson_paper(page), page.made)


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
        right = f"{confusion.how}  {confusion.play_right}" if confusion.play_right else ""
        given = f"against  {confusion.play_given}" if confusion.play_given else ""
        played = "\n".join(filter(None, (right, given)))
        super().__init__(
            words=confusion.words, figure=glued(confusion.figures), play=played, **kwargs
        )


load_kv("lesson_page")
