"""One step of a course: what it is called, what it brings in, and what of that is asked."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.widget import Widget

from practice import Practice
from quizzes.course_ways import way_of, ways_of
from quizzes.course_words import FIELDS, skill_names
from quizzes.names import capital
from screens.controls import OptionRow
from screens.course_editing import CourseEditing
from screens.course_ticks import TITLES, NamesPart
from screens.edited import EditingScreen
from screens.form_parts import TextPart
from screens.look import load_kv
from words import say, say_many

NAMED = 40
"""So many single skills are listed; the others are counted."""


class StepScreen(EditingScreen):
    """`on_close` leads back to the course."""

    title = StringProperty("")
    holds = StringProperty("")
    single = StringProperty("")
    """The single skills that it names."""
    state = StringProperty("")
    is_well = BooleanProperty(True)

    def __init__(self, practice: Practice, *, on_close: Callable[[], None], **kwargs: Any) -> None:
        self.practice, self._on_close = practice, on_close
        self.at = 0
        self._parts: dict[str, NamesPart] = {}
        super().__init__(**kwargs)
        self.name_part = TextPart("name", title=say("Name"))
        self.name_part.bind(on_change=lambda _, values: self._put(**values))
        self.ids.name.add_widget(self.name_part)
        self.ways: OptionRow = self.ids.ways

    def edit(self, editing: CourseEditing, at: int) -> None:
        """Show the step at this place of a course."""
        self.at = at
        self._parts = {}
        self.ids.parts.clear_widgets()
        self.watch(editing)
        self.ids.roll.to_top()

    @property
    def step(self) -> dict[str, Any]:
        """The step as it stands."""
        found: dict[str, Any] = self.editing.entries[self.at]
        return found

    def show(self) -> None:
        editing: CourseEditing = self.editing
        if self.at >= len(editing.entries):  # it was added, and that was undone
            self.back()
            return
        step = self.step
        self.title = say("Step {number} of {many}", number=self.at + 1, many=len(editing.entries))
        self.holds = editing.words_of(self.at)
        skills = skill_names(step, self.practice.given.name_of)
        more = [say("and {number} more", number=len(skills) - NAMED)] if len(skills) > NAMED else []
        self.single = "\n".join([*skills[:NAMED], *more])
        faults = editing.faults_of(self.at)
        count = editing.skills_of(self.at)
        self.is_well = not faults
        met = (
            ""
            if count is None
            else say_many(
                "{count} skill, met here first.", "{count} skills, met here first.", count
            )
        )
        wrong = "\n".join(capital(f"{fault.wrong}: {fault.remedy}.") for fault in faults)
        self.state = wrong or met
        self.name_part.show(step)
        self._show_ways()
        self._show_parts()

    def _show_ways(self) -> None:
        tradition = self.practice.given.tradition
        self._offered = {way.id: way for way in ways_of(self.step, tradition)}
        options = [(way.id, way.words) for way in self._offered.values()]
        if self.ways.options != options:
            self.ways.options = options
        self.ways.value = way_of(self.step, tradition)
        self.ids.ways_title.text = say("What of it") if len(options) > 1 else ""
        self.ways.opacity = 1 if len(options) > 1 else 0
        self.ways.disabled = len(options) < 2

    def _show_parts(self) -> None:
        """What it holds may be ticked and unticked; a step of nothing else is one of its skills."""
        wanted = [field for field in FIELDS if field in self.step or field in self._parts]
        for field in wanted:
            if field not in self._parts:
                part = NamesPart(field, self.practice, title=say(TITLES[field]))
                part.bind(on_change=lambda _, values: self._put(**values))
                self._parts[field] = part
                self.ids.parts.add_widget(part)
            self._parts[field].show(self.step)

    def _put(self, **values: Any) -> None:
        self.editing.put(self.at, **values)

    def choose_way(self, way: str) -> None:
        """Ask so much of it."""
        ask = self._offered[way].ask
        self._put(ask=list(ask) if ask else None)

    def remove(self) -> None:
        """Take the step out of the course."""
        self.editing.remove(self.at)
        self.back()

    def back(self) -> None:
        self._on_close()

    def main_thing(self) -> Widget | None:
        return self.ids.bar.ids.back


load_kv("course_step")
