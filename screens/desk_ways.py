"""The ways between the screens of the teacher's desk, and what is dropped onto the window."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from practice import Practice
from practice.bundle import AUDIO
from practice.students import Known
from quizzes.decks.deck import Deck
from scheduler.carrying import is_log_file
from screens.adding import AddingScreen
from screens.arriving import ENDINGS, SHEET, ArrivingScreen
from screens.arriving_log import ENDINGS as LOG_ENDINGS
from screens.chooser import ChooserScreen
from screens.course_desk import CourseDesk
from screens.deck import DeckScreen
from screens.desk import DeskScreen
from screens.editing import Editing
from screens.forms import new_entry
from screens.keys import KaanScreen
from screens.log_ways import LogWays
from screens.page_ways import PageWays
from screens.phrase_ways import PhraseWays
from screens.preview import PreviewScreen
from screens.question import QuestionScreen
from screens.tradition import TraditionScreen
from screens.ways import Ways
from words import say

BUSY = ("drill", "preview", "cautions")
"""On these screens nothing is taken that is dropped."""


class DeskWays(Ways):
    """Those from the desk to decks, questions, files, the tradition and courses; `on_practise` is
    told whom to let practise, where the first answers come to a device."""

    def __init__(
        self,
        practice: Practice,
        go: Callable[[str], None],
        screen: Callable[[str], Any],
        on_practise: Callable[[Known], None],
    ) -> None:
        super().__init__(practice, go, screen)
        self.logs = LogWays(practice, go, screen, on_practise)
        self._phrases = PhraseWays(practice, go, screen, self.edit_in)

    def makers(self) -> dict[str, Callable[[], KaanScreen]]:
        """What makes each screen, by its name, when it is first wanted."""
        return {
            "desk": self._desk,
            "deck": self._deck,
            "question": self._question,
            "adding": lambda: AddingScreen(name="adding"),
            "chooser": lambda: ChooserScreen(name="chooser"),
            "arriving": lambda: ArrivingScreen(self.practice, name="arriving"),
            "preview": self._preview,
            "tradition": lambda: TraditionScreen(
                self.practice, on_close=lambda: self._go("desk"), name="tradition"
            ),
            **CourseDesk(self.practice, self._go, self._screen).makers(),
            **PageWays(self.practice, self._go, self._screen, self.logs, self._phrases).makers(),
            **self._phrases.makers(),
            **self.logs.makers(),
        }

    def _desk(self) -> KaanScreen:
        return DeskScreen(
            self.practice,
            on_open=self.open,
            on_bring=self._choose_to_bring,
            on_away=self._go,
            on_close=lambda: self._go("practice"),
            name="desk",
        )

    def _deck(self) -> KaanScreen:
        return DeckScreen(
            self.practice,
            on_close=self._leave_deck,
            on_edit=self.edit,
            on_add=self._choose_kind,
            on_sheet=self._choose_sheet,
            on_folder=partial(self.choose_folder, "deck"),
            name="deck",
        )

    def _question(self) -> KaanScreen:
        return QuestionScreen(
            self.practice,
            on_close=lambda: self._go("deck"),
            on_preview=self.preview,
            on_bring_in=self._choose_recording,
            name="question",
        )

    def _preview(self) -> KaanScreen:
        practice = self.practice
        return PreviewScreen(
            on_done=lambda _: self._go("question"),
            trouble=lambda: practice.sound_trouble,
            name="preview",
        )

    # Decks and questions.

    def open(self, editing: Editing) -> None:
        """Edit a deck."""
        self._screen("deck").edit(editing)
        self._go("deck")

    def _leave_deck(self) -> None:
        """What is asked follows what was written."""
        self.practice.take_given()
        self._go("desk")

    def edit(self, editing: Editing, at: int) -> None:
        """Edit one question of a deck."""
        self._screen("question").edit(editing, at)
        self._go("question")

    def edit_in(self, editing: Editing, at: int) -> None:
        """The same from elsewhere than from its deck, to which it leads then."""
        self._screen("deck").edit(editing)
        self.edit(editing, at)

    def _choose_kind(self, editing: Editing) -> None:
        self._go("adding")
        self._screen("adding").choose(
            on_chosen=lambda kind: self.edit(editing, editing.add(new_entry(kind))),
            on_close=lambda: self._go("deck"),
        )

    def preview(self, deck: Deck, skill: str) -> None:
        """Ask one question as a student will see it, and come back."""
        session = self.practice.preview(deck, skill)
        self._go("preview")
        self._screen("preview").begin(session)

    # Files.

    def _choose_to_bring(self) -> None:
        self._go("chooser")
        self._screen("chooser").choose_file(
            say("What is to come in"),
            tuple(dict.fromkeys((*ENDINGS, *LOG_ENDINGS))),
            on_chosen=lambda path: self.bring(path, back="desk"),
            on_close=lambda: self._go("desk"),
        )

    def bring(self, path: Path, *, back: str) -> None:
        """Show what a file would bring, to be taken or left; then go back."""
        if is_log_file(path):
            self.logs.bring(path, tell=partial(self._come, back))
            return
        self._go("arriving")
        self._screen("arriving").look(path, on_done=lambda said: self._come(back, said))

    def _come(self, to: str, said: str) -> None:
        """To a screen, which says what was done."""
        self._go(to)
        self._screen(to).done = said

    def _choose_sheet(self, editing: Editing) -> None:
        self._go("chooser")
        self._screen("chooser").choose_file(
            say("A sheet of questions"),
            (SHEET,),
            on_chosen=lambda path: self._look_into(editing, path),
            on_close=lambda: self._go("deck"),
        )

    def _look_into(self, editing: Editing, path: Path) -> None:
        self._go("arriving")
        arriving = self._screen("arriving")
        arriving.look_into(editing, path, on_done=lambda said: self._come("deck", said))

    def _choose_recording(self, take: Callable[[Path], None]) -> None:
        def chosen(path: Path) -> None:
            self._go("question")
            take(path)

        self._go("chooser")
        self._screen("chooser").choose_file(
            say("A recording"), AUDIO, on_chosen=chosen, on_close=lambda: self._go("question")
        )

    def drop(self, path: Path, *, onto: str) -> bool:
        """Take a file that was dropped onto the screen of this name; whether it could be."""
        suffix = path.suffix.lower()
        if onto in BUSY:
            return False
        if onto == "question" and suffix in AUDIO:
            self._screen("question").bring_in(path)
            return True
        if suffix == SHEET and onto in ("deck", "question"):
            self._look_into(self._screen("deck").editing, path)
            return True
        self.bring(path, back="desk")
        return True
