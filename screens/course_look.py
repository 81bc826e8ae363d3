"""A shipped course, to look at, to take, or to copy and change."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.widget import Widget

from practice import Practice, PracticeError
from quizzes.course_words import about_words
from quizzes.courses import load_course, path_of
from quizzes.errors import CourseError
from screens.keys import KaanScreen
from screens.look import load_kv
from screens.widgets import Words
from words import say, to_say

LINES_TOGETHER = 25
"""Steps in one run of text: a longer one would be a picture too high for some devices."""
COPIED = to_say("{course}, our own")


class CourseLookScreen(KaanScreen):
    """`on_copy` is told the text of the course and what the copy is to be called."""

    course_id = StringProperty("")
    title = StringProperty("")
    about = StringProperty("")
    source = StringProperty("")
    state = StringProperty("")
    trouble = StringProperty("")
    taken = BooleanProperty(False)

    def __init__(
        self,
        practice: Practice,
        *,
        on_close: Callable[[], None],
        on_copy: Callable[[str, str], None],
        **kwargs: Any,
    ) -> None:
        self.practice = practice
        self._on_close, self._on_copy = on_close, on_copy
        super().__init__(**kwargs)

    def look_at(self, course: str) -> None:
        """Show this course."""
        self.course_id, self.trouble = course, ""
        steps = self.ids.steps
        steps.clear_widgets()
        self.taken = self.practice.course.id == course
        self.ids.roll.to_top()
        try:
            found = load_course(course)
        except CourseError as error:
            self.title, self.trouble = course, str(error)
            return
        self.title, self.about = say(found.name), say(" ".join(found.about.split()))
        self.source = say("After: {source}", source=found.source) if found.source else ""
        self.state = about_words(found)
        lines = [f"{number}. {say(step.name)}" for number, step in enumerate(found.steps, 1)]
        for begun in range(0, len(lines), LINES_TOGETHER):
            steps.add_widget(Words(text="\n".join(lines[begun : begun + LINES_TOGETHER])))

    def take_here(self) -> None:
        """Let the student of this device take the course."""
        try:
            self.practice.save(replace(self.practice.settings, course=self.course_id))
        except (PracticeError, OSError) as error:
            self.trouble = str(error)
            return
        self.taken = True

    def copy(self) -> None:
        """Begin a course of one's own as this one."""
        try:
            text = path_of(self.course_id).read_text("utf-8")
        except (CourseError, OSError) as error:
            self.trouble = str(error)
            return
        self._on_copy(text, say(COPIED, course=self.title))

    def back(self) -> None:
        self._on_close()

    def main_thing(self) -> Widget | None:
        return self.ids.copy


load_kv("course_look")
