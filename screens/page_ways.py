"""The ways to the pages on students: one's own, the class, and from there to each student's."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

from practice import Practice
from practice.phrases import KeptPhrase
from practice.students import Known
from screens.class_page import ClassPageScreen
from screens.keys import KaanScreen
from screens.lesson_page import LessonPageScreen
from screens.log_ways import LogWays
from screens.phrase_ways import PhraseWays
from screens.ways import Ways

LESSON_PAGE, CLASS_PAGE = "lesson page", "class page"


class PageWays(Ways):
    """From what the answers tell to the page for the lesson, and from the desk to the class, to
    which answers of others are brought by `logs`; from a student's page on to the `phrases` that
    they have kept."""

    def __init__(
        self,
        practice: Practice,
        go: Callable[[str], None],
        screen: Callable[[str], Any],
        logs: LogWays,
        phrases: PhraseWays,
    ) -> None:
        super().__init__(practice, go, screen)
        self._logs, self._phrases = logs, phrases

    def makers(self) -> dict[str, Callable[[], KaanScreen]]:
        """What makes each screen, by its name, when it is first wanted."""
        return {LESSON_PAGE: self._lesson_page, CLASS_PAGE: self._class_page}

    def _lesson_page(self) -> KaanScreen:
        return LessonPageScreen(
            self.practice,
            on_phrases=self._show_phrases,
            on_folder=partial(self.choose_folder, LESSON_PAGE),
            on_close=self._leave,
            name=LESSON_PAGE,
        )

    def _class_page(self) -> KaanScreen:
        return ClassPageScreen(
            self.practice,
            on_open=self.open,
            on_bring=lambda: self._logs.choose(CLASS_PAGE, self._tell_class),
            on_folder=partial(self.choose_folder, CLASS_PAGE),
            on_close=lambda: self._go("desk"),
            name=CLASS_PAGE,
        )

    def _tell_class(self, said: str) -> None:
        self._go(CLASS_PAGE)
        self._screen(CLASS_PAGE).done = said

    def open(self, student: Known) -> None:
        """Show a student's page, as from the class."""
        self._screen(LESSON_PAGE).look_at(student)
        self._go(LESSON_PAGE)

    def _show_phrases(self, student: Known | None, phrases: Sequence[KeptPhrase]) -> None:
        def back() -> None:
            page = self._screen(LESSON_PAGE)
            if not page.is_choosing:  # a deck was looked for meanwhile, and the page is gone
                page.look_at(student)
            self._go(LESSON_PAGE)

        self._phrases.show(student, phrases, on_close=back)

    def _leave(self) -> None:
        """To where the page was wanted."""
        screen = self._screen(LESSON_PAGE)
        was_of_class = screen.student is not None
        screen.look_at(None)
        self._go(CLASS_PAGE if was_of_class else "weak")
