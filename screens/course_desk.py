"""The ways between the screens on courses."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from practice import Practice
from screens.course import CourseScreen
from screens.course_adding import CourseAddingScreen
from screens.course_editing import CourseEditing
from screens.course_look import CourseLookScreen
from screens.course_step import StepScreen
from screens.courses import CoursesScreen
from screens.keys import KaanScreen


class CourseDesk:
    """Leads from screen to screen: `go` shows one by its name, `screen` gives one. A screen that
    lets folders be chosen is there by the name "chooser"."""

    def __init__(
        self, practice: Practice, go: Callable[[str], None], screen: Callable[[str], Any]
    ) -> None:
        self.practice, self._go, self._screen = practice, go, screen

    def makers(self) -> dict[str, Callable[[], KaanScreen]]:
        """What makes each screen, by its name, when it is first wanted."""
        return {
            "courses": self._courses,
            "course": self._course,
            "course step": lambda: StepScreen(
                self.practice, on_close=self._to_course, name="course step"
            ),
            "course look": self._look,
            "course adding": lambda: CourseAddingScreen(
                self.practice, on_close=self._to_course, name="course adding"
            ),
        }

    def _courses(self) -> KaanScreen:
        return CoursesScreen(
            self.practice,
            on_open=self.open,
            on_look=self.look_at,
            on_close=lambda: self._go("desk"),
            name="courses",
        )

    def _course(self) -> KaanScreen:
        return CourseScreen(
            self.practice,
            on_close=lambda: self._go("courses"),
            on_step=self.edit,
            on_add=self._add,
            on_folder=self._choose_folder,
            name="course",
        )

    def _look(self) -> KaanScreen:
        return CourseLookScreen(
            self.practice,
            on_close=lambda: self._go("courses"),
            on_copy=lambda text, name: self._screen("courses").copy(text, name),
            name="course look",
        )

    def _to_course(self) -> None:
        self._go("course")

    def open(self, editing: CourseEditing) -> None:
        """Edit a course of one's own."""
        self._screen("course").edit(editing)
        self._go("course")

    def look_at(self, course: str) -> None:
        """Look at a shipped course."""
        self._screen("course look").look_at(course)
        self._go("course look")

    def edit(self, editing: CourseEditing, at: int) -> None:
        """Edit one step of a course."""
        self._screen("course step").edit(editing, at)
        self._go("course step")

    def _add(self, editing: CourseEditing) -> None:
        self._screen("course adding").add_to(editing)
        self._go("course adding")

    def _choose_folder(self, take: Callable[[Path], None], name: str) -> None:
        def chosen(folder: Path) -> None:
            self._to_course()
            take(folder)

        self._go("chooser")
        self._screen("chooser").choose_folder(
            f"Where {name} is to be written",
            "Write it here",
            on_chosen=chosen,
            on_close=self._to_course,
        )
