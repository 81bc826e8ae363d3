"""The class on view: who of a device's students is ready, what many share, and each one's page."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, ListProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from practice import Practice, PracticeError
from practice.pages.class_page import ClassPage, Shared, Student
from practice.pages.class_sheet import STATES_SAID, class_paper
from practice.pages.gathering import whole_class
from practice.students import Known, Students
from scheduler import SchedulerError
from screens.filling import Filling
from screens.look import load_kv
from screens.on_thread import OnThread
from screens.page_parts import PagePanel, TwoLines
from screens.page_screen import OnFolder, OnPaper, PageScreen
from screens.widgets import Touchable, Words

READING = "Reading the answers of all students"
IN_STEP = "Looking into the folder kept in step"
IN_STEP_S = 20.0
"""For so long it is waited for what lies there; what comes later is on the page the next time."""
SHARED = 6


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
        about = [student.spent.words if student.spent.of_days else student.ready.figures]
        about += [student.worst] if student.worst else []
        super().__init__(
            student=student,
            name=student.name,
            word=STATES_SAID[student.state],
            is_ready=student.state == "ready",
            about="" if student.trouble else "\n".join(about),
            fault=student.trouble,
            counts=list(student.states._replace(unheard=0)),
            disabled=not student.spent.of_days,
            **kwargs,
        )


class ClassPageScreen(PageScreen):
    """`on_open` is told whose page is to be shown."""

    page: ClassPage | None = ObjectProperty(None, allownone=True)
    looking = StringProperty("")

    def __init__(
        self,
        practice: Practice,
        *,
        on_open: Callable[[Known], None],
        on_folder: OnFolder,
        on_close: Callable[[], None],
        **kwargs: Any,
    ) -> None:
        self.practice, self._on_open = practice, on_open
        self._thread = OnThread()
        self._filling = Filling()
        super().__init__(on_folder=on_folder, on_close=on_close, **kwargs)

    def on_pre_enter(self, *_: Any) -> None:
        """Read afresh, but for who comes back with a folder, or from one student's page."""
        if self.is_choosing:
            self.is_choosing = False
            return
        self.done = self.trouble = ""
        self.page = None
        self.ids.roll.to_top()
        self.looking = READING
        self.practice.refresh()
        self._thread.do(self._read, self._show)

    def on_leave(self, *_: Any) -> None:
        """Nothing is read any more."""
        self._thread.leave()

    def let_go(self) -> None:
        self._thread.leave()
        self._filling.leave()

    def _read(self) -> ClassPage:
        """On a thread: first what lies in the folder kept in step, then all students."""
        practice = self.practice
        practice.syncing.look()
        if practice.syncing.is_looking:
            Clock.schedule_once(lambda _: self._say(IN_STEP), 0)
            practice.syncing.wait(IN_STEP_S)
        now = practice.standing().now
        return whole_class(practice.home, now, given=practice.given, on_each=self._reading)

    def _reading(self, name: str, at: int, count: int) -> None:
        """Which one is being read; from the thread."""
        said = f"Reading the answers of {name}, {at + 1} of {count}"
        Clock.schedule_once(lambda _: self._say(said), 0)

    def _say(self, said: str) -> None:
        if self.looking:
            self.looking = said

    def _show(self, coming: Future[ClassPage]) -> None:
        self.looking = ""
        try:
            self.page = coming.result()
        except (PracticeError, SchedulerError, OSError) as error:
            self.trouble = str(error)

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

    @property
    def waiting(self) -> bool:
        """Whether it is still being read, or rows are missing."""
        return bool(self.looking or self._filling.is_going_on)

    def open(self, student: Student) -> None:
        """Show this one's page."""
        known = [one for one in Students(self.practice.home).all() if one.id == student.id]
        if not known:
            self.trouble = f"{student.name} is not on this device any more."
            return
        self.is_choosing = True
        self._on_open(known[0])

    def on_paper(self) -> OnPaper | None:
        page = self.page
        return None if page is None else OnPaper(page.title, class_paper(page), page.made)

    def main_thing(self) -> Widget | None:
        return self.ids.pdf


def _shared(title: str, shared: tuple[Shared, ...]) -> Widget:
    panel = PagePanel(title=title)
    for each in shared[:SHARED]:
        panel.add_widget(TwoLines(text=each.words, figure=each.figure))
    return panel


load_kv("class_page")
