"""One course of one's own: its steps in order, its pace, taking it here and handing it over."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from practice import Practice, PracticeError
from quizzes.course import MOST_PACE
from quizzes.course_words import FIELDS, size_words
from quizzes.decks.faults import DeckError
from quizzes.names import capital, counted
from screens.course_editing import CourseEditing
from screens.edited import EditingScreen
from screens.form_parts import TextPart
from screens.grip import Rows
from screens.handing import file_name, free_path, handed_words
from screens.keys import focus_on
from screens.look import load_kv
from screens.modes import AT_A_TIME
from words import say, say_many, to_say

PACES = (0, *range(1, 13), 15, 20, 25, 30, MOST_PACE)
"""New skills a day; 0 stands for leaving it to the plan."""
LEFT_TO_PLAN = to_say("Left to Kaan")
NO_STEP = to_say("It has no step yet.")
IS_TAKEN = to_say("It is taken on this device: what you change here is asked in the next practice.")


class StepRow(BoxLayout):
    """A step in the list, with its grip and a way to take it out."""

    __events__ = ("on_open", "on_carry", "on_remove")

    number = NumericProperty(0)
    text = StringProperty("")
    about = StringProperty("")
    fault = StringProperty("")

    def on_open(self) -> None:
        """It is to be edited."""

    def on_carry(self, to: int) -> None:
        """It is to move to another place."""

    def on_remove(self) -> None:
        """It is to go."""


class CourseScreen(EditingScreen):
    """`on_step` is told the place of the step to edit, `on_add` that steps are to be added;
    `on_folder` lets a folder be chosen."""

    title = StringProperty("")
    state = StringProperty("")
    is_well = BooleanProperty(True)
    empty = BooleanProperty(True)
    taken = BooleanProperty(False)
    """Whether the student of this device takes it."""
    taken_words = StringProperty("")
    has_tradition = BooleanProperty(False)
    with_tradition = BooleanProperty(True)
    """Whether the teacher's word goes out with it."""
    done = StringProperty("")
    """What was just done, such as where the course was written."""

    def __init__(
        self,
        practice: Practice,
        *,
        on_close: Callable[[], None],
        on_step: Callable[[CourseEditing, int], None],
        on_add: Callable[[CourseEditing], None],
        on_folder: Callable[[Callable[[Path], None], str], None],
        **kwargs: Any,
    ) -> None:
        self.practice = practice
        self._on_close, self._on_step = on_close, on_step
        self._on_add, self._on_folder = on_add, on_folder
        super().__init__(**kwargs)
        self._filling = Clock.create_trigger(lambda _: self._fill(), 0)
        self.ids.pace.steps = PACES
        self._texts = (
            TextPart("name", title=say("Name")),
            TextPart("about", title=say("About"), hint=say("For the student; may stay empty.")),
        )
        for part, place in zip(self._texts, (self.ids.name, self.ids.about), strict=True):
            part.bind(on_change=lambda _, values: self.editing.put_head(**values))
            place.add_widget(part)

    def edit(self, editing: CourseEditing) -> None:
        """Show this course."""
        self.done = ""
        self.watch(editing)
        self.ids.roll.to_top()

    @property
    def rows(self) -> Rows:
        """The steps, in order."""
        return self.ids.rows

    # Showing.

    def show(self) -> None:
        editing: CourseEditing = self.editing
        self.title, self.is_well = editing.name, not editing.faults
        self.empty = not editing.entries
        for part in self._texts:
            part.show(editing.head)
        self._show_pace()
        self._show_rows()
        self.state = self._state()
        self.taken = self.practice.settings.course == editing.id
        self.taken_words = say(IS_TAKEN) if self.taken else ""
        self.has_tradition = bool(self.practice.given.tradition)

    def _state(self) -> str:
        editing: CourseEditing = self.editing
        if not editing.entries:
            return say(NO_STEP)
        if editing.course is None:
            outside = [f"{fault.field}: {fault.wrong}." for fault in editing.faults_of(None)]
            things = counted(
                len(editing.faults),
                "{number} thing still to mend.",
                "{number} things still to mend.",
            )
            return "\n".join([capital(things), *outside])
        return size_words(len(editing.course.skills), editing.course.pace)

    def _show_pace(self) -> None:
        pace = self.editing.head.get("pace", 0)
        stepper = self.ids.pace
        stepper.value = pace if type(pace) is int else 0
        stepper.words = (
            say_many("{count} new skill a day", "{count} new skills a day", int(stepper.value))
            if stepper.value
            else say(LEFT_TO_PLAN)
        )

    def _show_rows(self) -> None:
        rows, steps = self.rows, self.editing.entries
        while len(rows.children) > len(steps):
            rows.remove_widget(rows.children[0])
        for number, row in enumerate(rows.children[::-1]):
            self._show_row(row, number)
        self._fill()

    def _fill(self) -> None:
        """A few rows more, where some are missing; others in the next frame."""
        rows, steps = self.rows, self.editing.entries
        begun = len(rows.children)
        for number in range(begun, min(begun + AT_A_TIME, len(steps))):
            row = self._row()
            self._show_row(row, number)
            rows.add_widget(row)
        if len(rows.children) < len(steps):
            self._filling()

    def _show_row(self, row: StepRow, number: int) -> None:
        name = self.editing.entries[number].get("name")
        row.number = number
        row.text = name if isinstance(name, str) and name.strip() else say("Without a name")
        row.about = self._about(number, row.text)
        row.fault = self._wrong(number)

    def _about(self, at: int, name: str) -> str:
        """What a step brings in, where its name does not say that, and how many skills."""
        words, count = self.editing.words_of(at), self.editing.skills_of(at)
        skills = "" if count is None else say_many("{count} skill", "{count} skills", count)
        says_more = words != name and any(field in self.editing.entries[at] for field in FIELDS)
        return ": ".join(filter(None, [words if says_more else "", skills]))

    def _wrong(self, at: int) -> str:
        faults = [fault.wrong for fault in self.editing.faults_of(at)]
        missing = [
            say("the deck {deck} is not here", deck=deck) for deck in self.editing.missing_of(at)
        ]
        wrong = "; ".join(dict.fromkeys([*faults, *missing]))
        return f"{wrong[:1].upper()}{wrong[1:]}." if wrong else ""

    def _row(self) -> StepRow:
        row = StepRow()
        row.bind(
            on_open=lambda row: self._on_step(self.editing, row.number),
            on_carry=lambda row, to: self._carry(row.number, to),
            on_remove=lambda row: self.editing.remove(row.number),
        )
        return row

    # Doing.

    def _carry(self, at: int, to: int) -> None:
        by_keys = self.rows.children[::-1][at].ids.grip.focused
        self.editing.move(at, to)
        if by_keys:
            focus_on(self, self.rows.children[::-1][to].ids.grip)

    def set_pace(self, pace: float) -> None:
        """At most so many new skills a day; 0 for as many as the plan brings."""
        self.editing.put_head(pace=int(pace) or None)

    def add(self) -> None:
        """Steps more, of what is ticked first."""
        self._on_add(self.editing)

    def take_here(self) -> None:
        """Let the student of this device take the course."""
        try:
            self.practice.save(replace(self.practice.settings, course=self.editing.id))
        except (PracticeError, OSError) as error:
            self.trouble = str(error)
            return
        self.show()
        self.ids.roll.to_top()  # there it is said

    def hand_over(self) -> None:
        """Write the course, with its decks, into a folder that is chosen first."""
        self._on_folder(self.write_into, self._file_name())

    def _file_name(self) -> str:
        others = (one for one in self.practice.courses() if one.id != self.editing.id)
        return file_name(self.title, self.editing.id, [other.name for other in others])

    def write_into(self, folder: Path) -> None:
        """Write the course, with its decks, into a file in this folder."""
        path = free_path(folder / self._file_name())
        self.ids.roll.to_top()  # there stands what came of it
        tradition = self.has_tradition and self.with_tradition
        try:
            files = self.practice.shelf.hand_over(
                [], path, course=self.editing.id, tradition=tradition
            )
        except (PracticeError, DeckError, OSError) as error:
            self.done, self.trouble = "", str(error)
            return
        self.done = handed_words(path, files)

    def on_leave(self, *_: Any) -> None:
        """Where the course is taken here, what is asked follows."""
        super().on_leave()
        self._filling.cancel()
        if self.editing is not None and self.practice.settings.course == self.editing.id:
            self.practice.take_given()

    def back(self) -> None:
        if self.may_leave():
            self._on_close()

    def main_thing(self) -> Widget | None:
        return self.ids.add


load_kv("course")
