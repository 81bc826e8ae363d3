"""The class on view: who of a device's students is ready, what many share, and each one's page."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, ListProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from practice import Practice
from practice.pages.class_page import ClassPage, Shared, Student
from practice.pages.class_sheet import STATES_SAID, class_paper
from practice.pages.gathering import whole_class
from practice.pages.said import glued
from practice.students import Known, Students
from screens.drawn import plainly
from screens.look import load_kv
from screens.page_parts import PagePanel
from screens.page_screen import OnPaper, PageScreen
from screens.widgets import Column, Touchable, Words
from words import in_english, say, to_say

READING = to_say("Reading the answers of all students")
IN_STEP = to_say("Looking into the folder kept in step")
IN_STEP_S = 20.0
"""For so long it is waited for what lies there; what comes later is on the page the next time."""


class ClassRow(Touchable, BoxLayout):
    """A student: name, whether ready, what was practised, the bar of what is begun."""

    student: Student = ObjectProperty(None)
    name = StringProperty("")
    word = StringProperty("")
    is_ready = BooleanProperty(False)
    about = StringProperty("")
    fault = StringProperty("")
    counts = ListProperty([0, 0, 0, 0])

    def __init__(self, student: Student, **kwargs: Any) -> None:
        spent = f"In four weeks: {student.spent.words}" if student.spent.days else ""
        about = filter(None, (student.why, spent, student.worst))
        super().__init__(
            student=student,
            name=student.name,
            word=STATES_SAID[student.state],
            is_ready=student.state == "ready",
            about="" if student.trouble else glued("\n".join(about)),
            fault=student.trouble,
            counts=list(student.states._replace(unheard=0)),
            disabled=not student.spent.of_days,
            **kwargs,
        )


class SharedSpot(Column):
    """What several share, its figure, and who they are."""

    text = StringProperty("")
    figure = StringProperty("")
    who = StringProperty("")


class ClassPageScreen(PageScreen):
    """`on_open` is told whose page is to be shown, `on_bring` lets a file of answers be chosen."""

    def __init__(
        self,
        practice: Practice,
        *,
        on_open: Callable[[Known], None],
        on_bring: Callable[[], None],
        **kwargs: Any,
    ) -> None:
        self._on_open, self.on_bring = on_open, on_bring
        super().__init__(practice, **kwargs)

    def begin(self) -> str:
        self.practice.refresh()
        return say(READING)

    def read(self) -> ClassPage:
        """First what lies in the folder kept in step, then all students."""
        practice = self.practice
        practice.syncing.look()
        if practice.syncing.is_looking:
            Clock.schedule_once(lambda _: self._say(say(IN_STEP)), 0)
            practice.syncing.wait(IN_STEP_S)
        now = practice.standing().now
        return whole_class(practice.home, now, given=practice.given, on_each=self._name_read)

    def _name_read(self, name: str, at: int, count: int) -> None:
        """Which one is being read; from the thread."""

        def tell(_: float) -> None:
            told = plainly(name, say("a student"))
            self._say(
                say(
                    "Reading the answers of {student}, {at} of {count}",
                    student=told,
                    at=at + 1,
                    count=count,
                )
            )

        Clock.schedule_once(tell, 0)

    def _say(self, said: str) -> None:
        if self.looking:
            self.looking = said

    @in_english()
    def on_page(self, *_: Any) -> None:
        """Put it on view."""
        shared, page = self.ids.shared, self.page
        shared.clear_widgets()
        self._filling.leave()
        self.ids.rows.clear_widgets()
        if page is None:
            return
        for title, spots in (
            ("Heard as another by several", page.confused),
            ("Shaky for several", page.shaky),
        ):
            if spots:
                shared.add_widget(_shared(title, spots))
        rows: list[str | Student] = []
        for said, students in page.summary:
            rows += [f"{said}: {len(students)} of {len(page.students)}", *students]
        self._filling.add(self.ids.rows, rows, self._row)

    def _row(self, of: str | Student) -> Widget:
        """A student, or what stands above those of one group."""
        if isinstance(of, str):
            return Words(text=of, role="lead")
        row = ClassRow(of)
        row.bind(on_release=lambda row: self.open(row.student))
        return row

    def open(self, student: Student) -> None:
        """Show this one's page."""
        known = [one for one in Students(self.practice.home).all() if one.id == student.id]
        if not known:
            self.trouble = say("{student} is not on this device any more.", student=student.name)
            return
        self.be_away(lambda: self._on_open(known[0]))

    def on_paper(self) -> OnPaper | None:
        page = self.page
        return None if page is None else OnPaper(page.title, class_paper(page), page.made)


def _shared(title: str, shared: tuple[Shared, ...]) -> Widget:
    panel = PagePanel(title=title)
    for each in shared:
        panel.add_widget(SharedSpot(text=each.words, figure=each.figure, who=each.who))
    return panel


load_kv("class_page")
