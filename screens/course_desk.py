"""The ways between the screens on courses."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from screens.course import CourseScreen
from screens.course_adding import CourseAddingScreen
from screens.course_editing import CourseEditing
from screens.course_look import CourseLookScreen
from screens.course_step import StepScreen
from screens.courses import CoursesScreen
from screens.keys import KaanScreen
from screens.ways import Ways


class CourseDesk(Ways):
    """Those from the list of courses to one course, its steps, and back."""

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
            on_folder=partial(self.choose_folder, "course"),
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
