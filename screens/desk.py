"""The teacher's desk: the decks there are, new ones, and the ways to tradition and courses."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from practice import Practice, PracticeError
from practice.shelf import Kept, Shelf
from quizzes.decks.draft import Draft
from quizzes.decks.faults import DeckError
from quizzes.names import capital, counted
from screens.editing import Editing, begun, opened
from screens.examples import Example, copy_of, examples
from screens.fault_words import NONE_THERE, is_begun, left_of, placed
from screens.look import load_kv
from screens.removing import RemovingScreen
from screens.widgets import Column, Touchable
from words import say, to_say

NEW_NAME = to_say("A new deck")
AS_HANDED = to_say("Handed over as it is.")
CHANGED = to_say("Changed since it was handed over.")


class DeckPlate(Touchable, BoxLayout):
    """One deck: its name, how many questions, whether it was handed over, what is to mend."""

    text = StringProperty("")
    about = StringProperty("")
    fault = StringProperty("")
    begun = BooleanProperty(False)
    """Whether it is only not written to its end yet."""


class DeckRow(Column):
    """A deck in the list; what can be done with it is shown when that is wanted."""

    __events__ = ("on_open", "on_turn", "on_remove")

    kept: Kept = ObjectProperty(None)
    text = StringProperty("")
    about = StringProperty("")
    fault = StringProperty("")
    begun = BooleanProperty(False)
    more = BooleanProperty(False)

    def on_turn(self) -> None:
        """What can be done with it is wanted, or no more."""
        self.more = not self.more

    def on_open(self) -> None:
        """It is to be edited."""

    def on_remove(self) -> None:
        """It is to go."""


class DeskScreen(RemovingScreen):
    """`on_open` is told of the deck to edit, `on_away` the name of the screen to go to; `on_bring`
    lets a file be chosen that is to be brought in."""

    done = StringProperty("")
    """What was just done, such as which deck has come in."""
    decks = NumericProperty(0)

    def __init__(
        self,
        practice: Practice,
        *,
        on_open: Callable[[Editing], None],
        on_bring: Callable[[], None],
        on_away: Callable[[str], None],
        on_close: Callable[[], None],
        **kwargs: Any,
    ) -> None:
        self.practice = practice
        self._on_open, self._on_bring = on_open, on_bring
        self.on_away = on_away
        super().__init__(on_close=on_close, **kwargs)
        for example in examples():
            about = f"{_questions(example.questions)} {say(example.about)}"
            plate = DeckPlate(text=say(example.name), about=about)
            plate.bind(on_release=lambda _, example=example: self.copy(example))
            self.ids.examples.add_widget(plate)

    def on_pre_enter(self, *_: Any) -> None:
        """List afresh: decks may have been changed meanwhile."""
        self.trouble = self.done = ""
        self.show()

    def show(self) -> None:
        """List the decks as they lie in the folder."""
        rows = self.ids.rows
        rows.clear_widgets()
        shelf = self.practice.shelf
        kept = shelf.decks()
        names = {one.id: name_of(one) for one in kept}
        for one in kept:
            about = about_of(one, shelf.handed(one.id))
            if list(names.values()).count(names[one.id]) > 1:
                about = f"{one.id}. {about}"  # two decks may have one name
            row = DeckRow(kept=one, text=names[one.id], about=about)
            if one.faults:
                row.begun = is_begun(one.faults)
                row.fault = say("{left} Until then it is not asked.", left=left_of(one.faults))
                row.fault += f"\n{placed(one.faults[0])}"
            row.bind(on_open=self._open, on_remove=self._remove)
            rows.add_widget(row)
        self.decks = len(kept)
        if shelf.trouble:
            self.trouble = shelf.trouble

    def make(self) -> None:
        """A new deck, at once in its file, to be edited."""
        self._begin(Draft.new(say(NEW_NAME)))

    def copy(self, example: Example) -> None:
        """A deck of the teacher's own that begins as an example."""
        try:
            self._begin(copy_of(example))
        except OSError as error:
            self.trouble = str(error)

    def _begin(self, draft: Draft) -> None:
        """Put a new deck into its file, to be edited."""
        self._edit(lambda: begun(self.practice, draft))

    def _open(self, row: DeckRow) -> None:
        self._edit(lambda: opened(self.practice, row.kept))

    def _edit(self, found: Callable[[], Editing]) -> None:
        try:
            self._on_open(found())
        except PracticeError as error:
            self.trouble = str(error)

    def _remove(self, row: DeckRow) -> None:
        def take_away() -> Removed:
            gone = Removed(self.practice.shelf, row.kept)
            self.practice.shelf.remove(row.kept.id)
            return gone

        self.ask_to_remove(row.text, take_away)

    def follow(self) -> None:
        self.practice.take_given()

    def bring(self) -> None:
        """A deck, a bundle or a sheet from a file."""
        self._on_bring()


class Removed:
    """A deck with its recordings, set aside so that it can be put back. Raises OSError."""

    def __init__(self, shelf: Shelf, kept: Kept) -> None:
        self._shelf, self._id = shelf, kept.id
        self._text = kept.path.read_text("utf-8", "surrogateescape")
        self._aside = tempfile.TemporaryDirectory(prefix="kaan-removed-")
        for path in shelf.recordings.glob("*.wav"):
            if path.name in self._text:
                shutil.copy2(path, self._aside.name)

    def put_back(self) -> None:
        """Into the folder again. Raises ShelfError and OSError."""
        for path in Path(self._aside.name).iterdir():
            self._shelf.recordings.mkdir(exist_ok=True)
            shutil.copy2(path, self._shelf.recordings)
        self._shelf.write(self._id, self._text)

    def forget(self) -> None:
        """It is not wanted any more."""
        self._aside.cleanup()


def name_of(kept: Kept) -> str:
    """What a deck is called, as far as that can be read."""
    if kept.deck is not None:
        return kept.deck.name
    try:
        name = Draft(kept.path.read_text("utf-8"), kept.path.name).head().get("name")
    except (DeckError, OSError, UnicodeDecodeError):
        name = None
    return name if isinstance(name, str) and name else kept.id


def is_empty(kept: Kept) -> bool:
    """Whether it is a deck without a question and nothing else is wrong with it."""
    return bool(kept.faults) and all(fault.wrong == NONE_THERE for fault in kept.faults)


def not_asked_words(kept: Kept) -> str:
    """What is said of a deck that cannot be asked, where the desk is not on view."""
    not_yet = say("“{name}”, on the desk, is not asked yet.", name=name_of(kept))
    return f"{not_yet} {left_of(kept.faults)}\n{placed(kept.faults[0])}"


def about_of(kept: Kept, handed: str | None) -> str:
    """How many questions it has, and whether students have it as it is; `handed` is its text as it
    was handed over last, if it was."""
    given = ""
    if handed is not None:
        try:
            given = say(AS_HANDED if kept.path.read_text("utf-8") == handed else CHANGED)
        except (OSError, UnicodeDecodeError):
            given = say(CHANGED)
    if kept.deck is None:
        return given
    return f"{_questions(len(kept.deck.entries))} {given}".strip()


def _questions(count: int) -> str:
    """`Three questions.`"""
    return capital(counted(count, "{number} question.", "{number} questions."))


load_kv("desk")
