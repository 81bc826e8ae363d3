"""What the steps of the first start have in common, and the two that are only looked at."""

from __future__ import annotations

from typing import Any

from kivy.properties import ListProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from screens.look_words import CONTRAST_WORDS, TEXT_SIZE_WORDS, said
from screens.widgets import Column
from words import LANGUAGES, language


class Beside(BoxLayout):
    """Two parts of a step side by side where there is room, else one below the other."""


class StepPart(Column):
    """What a step holds, on the `screen` whose step it is."""

    screen = ObjectProperty()

    def fill(self) -> None:
        """Show what is set."""

    def keep_typed(self) -> bool:
        """Keep what still stands in a field; False, and said why, where it cannot be used."""
        return True

    def main_thing(self) -> Widget | None:
        """What Enter presses before what leads on, if anything."""
        return None

    def fall_silent(self) -> None:
        """It is left, or the app is put away."""
        self.screen.practice.speaker.stop()


class WhoStep(StepPart):
    """Language, name, and how large and how strong type is to be."""

    language_options = ListProperty([(code, each.name) for code, each in LANGUAGES.items()])
    text_size_options = ListProperty()
    contrast_options = ListProperty()

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            text_size_options=said(TEXT_SIZE_WORDS),
            contrast_options=said(CONTRAST_WORDS),
            **kwargs,
        )

    def fill(self) -> None:
        settings, ids = self.screen.practice.settings, self.ids
        ids.language.value, ids.name.text = language(), settings.student_name
        ids.size.value, ids.contrast.value = settings.text_size, settings.high_contrast

    def keep_typed(self) -> bool:
        """What the student is called; nothing, too."""
        return bool(self.screen.set_name(self.ids.name.text))

    def set_language(self, code: str) -> None:
        """Say everything in this language from now on."""
        self.keep_typed()
        if code != language() and self.screen.change(language=code, letters=""):
            self.screen.on_words()

    def set_text_size(self, size: str) -> None:
        """Show larger or smaller type."""
        if self.screen.change(text_size=size):
            self.screen.on_look()

    def set_contrast(self, high: bool) -> None:
        """Set ink and edges off more strongly, or as usual."""
        self.keep_typed()
        if self.screen.change(high_contrast=high):
            self.screen.on_words()


class CourseStep(StepPart):
    """The courses that there are, and what the one that is taken is about."""

    course_options = ListProperty()
    course_words = StringProperty("")

    def fill(self) -> None:
        self._courses = {course.id: course for course in self.screen.practice.courses()}
        self.course_options = [(c.id, c.name) for c in self._courses.values() if not c.why_not]
        self._show()

    def choose(self, course: str) -> None:
        """Take this course."""
        if self.screen.change(course=course):
            self._show()

    def _show(self) -> None:
        taken = self.screen.practice.course.id
        self.ids.course.value = taken
        self.course_words = self._courses[taken].about if taken in self._courses else ""
