"""The courses that there are: one's own, to be changed and given to students, and the shipped."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from kivy.clock import Clock
from kivy.properties import NumericProperty

from practice import CourseChoice, Practice, PracticeError
from practice.courses import own_courses
from practice.shelf import Shelf
from quizzes.course_draft import CourseDraft
from screens.course_editing import CourseEditing
from screens.desk import DeckPlate, DeckRow
from screens.look import load_kv
from screens.removing import RemovingScreen
from words import say, to_say

NEW_NAME = to_say("A new course")
TAKEN = to_say("Taken on this device.")


class CoursesScreen(RemovingScreen):
    """`on_open` is told of the course of one's own to edit, `on_look` of the shipped one to look
    at."""

    own = NumericProperty(-1)
    """How many of one's own there are; below 0 until they are listed."""

    def __init__(
        self,
        practice: Practice,
        *,
        on_open: Callable[[CourseEditing], None],
        on_look: Callable[[str], None],
        on_close: Callable[[], None],
        **kwargs: Any,
    ) -> None:
        self.practice = practice
        self._on_open, self._on_look = on_open, on_look
        super().__init__(on_close=on_close, **kwargs)
        self._filling = Clock.create_trigger(lambda _: self._fill(), 0)

    def on_pre_enter(self, *_: Any) -> None:
        """List afresh: courses may have been changed meanwhile."""
        self.trouble = ""
        self.show()

    def show(self) -> None:
        """List the courses: reading all takes a moment, which begins with the next frame."""
        self.ids.rows.clear_widgets()
        self.ids.shipped.clear_widgets()
        self._filling()

    def _fill(self) -> None:
        choices = self.practice.courses()
        own = [choice for choice in choices if choice.is_own]
        for choice in own:
            self.ids.rows.add_widget(self._row(choice))
        for choice in choices:
            if not choice.is_own:
                plate = DeckPlate(text=choice.name, about=self._about(choice))
                plate.bind(on_release=lambda _, course=choice.id: self._on_look(course))
                self.ids.shipped.add_widget(plate)
        self.own = len(own)

    def _row(self, choice: CourseChoice) -> DeckRow:
        row = DeckRow(text=_name_of(choice, self._path(choice)), about=self._about(choice))
        row.fault = (
            "\n".join((say("It cannot be taken yet."), choice.why_not)) if choice.why_not else ""
        )
        row.bind(
            on_open=lambda _: self._open(choice),
            on_remove=lambda row: self._remove(choice, row.text),
        )
        return row

    def _about(self, choice: CourseChoice) -> str:
        taken = say(TAKEN) if choice.id == self.practice.course.id else ""
        return f"{taken} {choice.size}".strip()

    def _path(self, choice: CourseChoice) -> Path:
        return own_courses(self.practice.home) / f"{choice.id}.toml"

    # Doing.

    def make(self) -> None:
        """A new course, at once in its file, to be edited."""
        self._edit(CourseDraft.new(say(NEW_NAME)), write=True)

    def copy(self, text: str, name: str) -> None:
        """A course of one's own that begins as another one."""
        draft = CourseDraft(text, CourseDraft.new(name).file)
        draft.set_head(name=name)
        self._edit(CourseDraft(draft.text, draft.file), write=True)

    def _edit(self, draft: CourseDraft, *, write: bool = False) -> None:
        try:
            if write:
                self.practice.shelf.write_course(draft.id, draft.text)
        except (PracticeError, OSError) as error:
            self.trouble = str(error)
            return
        self._on_open(CourseEditing(self.practice, draft))

    def _open(self, choice: CourseChoice) -> None:
        path = self._path(choice)
        try:
            draft = CourseDraft(path.read_text("utf-8"), path.name)
        except (OSError, UnicodeDecodeError) as error:
            self.trouble = f"{path}: {error}"
            return
        if draft.wrong:
            self.trouble = f"It can only be mended in its file, {path}:\n{draft.faults()[0]}"
            return
        self._edit(draft)

    def _remove(self, choice: CourseChoice, name: str) -> None:
        shelf, path = self.practice.shelf, self._path(choice)
        self.ask_to_remove(name, lambda: Removed(shelf, choice.id, path))

    def follow(self) -> None:
        self.practice.take_given()

    def on_leave(self, *_: Any) -> None:
        """Nothing more is listed."""
        super().on_leave()
        self._filling.cancel()


class Removed:
    """The text of a course, taken out of the folder, so that it can be put back. Raises ShelfError
    and OSError."""

    def __init__(self, shelf: Shelf, course: str, path: Path) -> None:
        self._shelf, self._course = shelf, course
        self._text = path.read_text("utf-8", "surrogateescape")
        shelf.remove_course(course)

    def put_back(self) -> None:
        """Into the folder again. Raises ShelfError."""
        self._shelf.write_course(self._course, self._text)

    def forget(self) -> None:
        """Nothing else is kept of it."""


def _name_of(choice: CourseChoice, path: Path) -> str:
    """What a course is called, as far as that can be read."""
    if not choice.why_not:
        return choice.name
    try:
        draft = CourseDraft(path.read_text("utf-8"), path.name)
        name = "" if draft.wrong else draft.head().get("name")
    except (OSError, UnicodeDecodeError):
        name = ""
    return name if isinstance(name, str) and name.strip() else choice.name


load_kv("courses")
