"""The ways to the phrases that students have kept: one's own, and from a student's page into a deck
of the teacher's."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from practice import Practice
from practice.phrase_asked import question_of
from practice.phrases import KeptPhrase
from practice.students import Known
from screens.editing import Editing
from screens.keys import KaanScreen
from screens.phrases import PhrasesScreen, StudentPhrasesScreen
from screens.ways import Ways
from screens.which_deck import WhichDeckScreen
from words import in_script, say

OWN, STUDENTS, WHICH_DECK = "phrases", "student phrases", "which deck"


class PhraseWays(Ways):
    """`on_edit` is told the deck that a phrase was put into, and where its question is in it."""

    def __init__(
        self,
        practice: Practice,
        go: Callable[[str], None],
        screen: Callable[[str], Any],
        on_edit: Callable[[Editing, int], None],
    ) -> None:
        super().__init__(practice, go, screen)
        self._on_edit = on_edit
        self._on_close: Callable[[], None] = lambda: None

    def makers(self) -> dict[str, Callable[[], KaanScreen]]:
        """What makes each screen, by its name, when it is first wanted."""
        return {
            OWN: lambda: PhrasesScreen(
                self.practice, on_close=lambda: self._go("practice"), name=OWN
            ),
            STUDENTS: lambda: StudentPhrasesScreen(
                self.practice,
                on_set=self._choose_deck,
                on_close=lambda: self._on_close(),
                name=STUDENTS,
            ),
            WHICH_DECK: lambda: WhichDeckScreen(self.practice, name=WHICH_DECK),
        }

    def show(
        self,
        student: Known | None,
        phrases: Sequence[KeptPhrase],
        *,
        on_close: Callable[[], None],
    ) -> None:
        """Show the phrases of a student, None for who practises here; then go back."""
        self._on_close = on_close
        self._screen(STUDENTS).show_of(student, phrases)
        self._go(STUDENTS)

    def _choose_deck(self, phrase: KeptPhrase) -> None:
        def set_in(editing: Editing) -> None:
            tradition = self.practice.given.tradition
            self._on_edit(editing, editing.add(question_of(phrase, tradition)))

        self._screen(WHICH_DECK).choose(
            say("It is to ask for {phrase}", phrase=in_script(phrase.sargam)),
            on_chosen=set_in,
            on_close=self._back_to_phrases,
        )
        self._go(WHICH_DECK)

    def _back_to_phrases(self) -> None:
        self._go(STUDENTS)
