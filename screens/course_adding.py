"""Ticking ragas, talas, kinds and decks that become steps of a course."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.widget import Widget

from practice import Practice
from quizzes.course_words import FIELDS, name_of
from quizzes.names import counted, listed
from screens.course_editing import CourseEditing, Ticked
from screens.course_ticks import TITLES, NamesPart
from screens.keys import KaanScreen
from screens.look import load_kv
from words import say, to_say

NO_DECK = to_say("There is no deck yet: make one at the desk, or bring one in.")


class CourseAddingScreen(KaanScreen):
    """`on_close` leads back to the course."""

    field = StringProperty("ragas")
    """Of what is ticked now."""
    words = StringProperty("")
    count = NumericProperty(0)
    can_be_one = BooleanProperty(False)
    """Whether all that is ticked may stand in one step."""
    none = StringProperty("")

    def __init__(self, practice: Practice, *, on_close: Callable[[], None], **kwargs: Any) -> None:
        self.practice, self._on_close = practice, on_close
        self._parts: dict[str, NamesPart] = {}
        self.ticked: list[Ticked] = []
        """In the order in which it was ticked."""
        super().__init__(**kwargs)
        self.ids.sorts.options = [(field, say(TITLES[field])) for field in FIELDS]

    def add_to(self, editing: CourseEditing) -> None:
        """Tick what is to be added to this course."""
        self.editing = editing
        self.ticked, self._parts = [], {}
        self.choose(self.field)

    def choose(self, field: str) -> None:
        """Show ragas, talas, kinds or decks."""
        self.field = self.ids.sorts.value = field
        if field not in self._parts:
            part = NamesPart(field, self.practice)
            part.bind(on_change=lambda _, values: self._tick(values))
            self._parts[field] = part
        self.ids.part.clear_widgets()
        self.none = say(NO_DECK) if field == "decks" and not self.practice.given.decks else ""
        if not self.none:
            self.ids.part.add_widget(self._parts[field])
        self._show()
        self.ids.roll.to_top()

    def _tick(self, values: dict[str, Any]) -> None:
        for field, ids in values.items():
            kept = [one for one in self.ticked if one[0] != field or one[1] in (ids or ())]
            self.ticked = [*kept, *((field, id) for id in ids or () if (field, id) not in kept)]
        self._show()

    def _show(self) -> None:
        part = self._parts[self.field]
        part.show({self.field: [id for field, id in self.ticked if field == self.field]})
        given, fields = self.practice.given, {field for field, _ in self.ticked}
        names = [name_of(f, id, given.decks, given.tradition) for f, id in self.ticked]
        self.count = len(names)
        self.words = listed(names) if names else say("Nothing is ticked yet.")
        self.can_be_one = self.count > 1 and not {"ragas", "talas"} <= fields
        self.ids.add.text = (
            counted(self.count, "Add {number} step", "Add {number} steps")
            if names
            else say("Add steps")
        )

    def add(self, *, as_one: bool = False) -> None:
        """Add what is ticked to the course."""
        if self.ticked:
            self.editing.add(self.ticked, as_one=as_one)
            self.ticked = []
        self._on_close()

    def back(self) -> None:
        self._on_close()

    def main_thing(self) -> Widget | None:
        return self.ids.add


load_kv("course_adding")
