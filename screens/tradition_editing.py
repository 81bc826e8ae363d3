"""A tradition while it is being edited: each change is in its file at once, and can be undone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.event import EventDispatcher
from kivy.properties import BooleanProperty, NumericProperty, StringProperty

from practice import Practice, PracticeError
from practice.bundle import TRADITION
from quizzes.tradition import Words
from quizzes.tradition_draft import TraditionDraft

NO_TEXT = "Its file cannot be read: {}. Nothing is written until it can."


class TraditionEditing(EventDispatcher):
    """The draft of the folder's tradition; forms watch `changes`, which counts them."""

    changes = NumericProperty(0)
    can_undo = BooleanProperty(False)
    can_redo = BooleanProperty(False)
    trouble = StringProperty("")
    """What keeps it from being read or written."""

    def __init__(self, practice: Practice, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.practice = practice
        self.draft = TraditionDraft("")
        self.is_open = False
        self.is_new = False
        """Whether something was written since the practice took over what is given."""

    def open(self) -> None:
        """Read the file afresh; what was changed before can be undone no more."""
        path = self.practice.shelf.folder / TRADITION
        try:
            text = path.read_bytes().decode("utf-8") if path.exists() else ""
        except (OSError, UnicodeDecodeError) as error:
            self.trouble, self.is_open = NO_TEXT.format(error), False
        else:
            if not self.is_open or text != self.draft.text:
                self.draft = TraditionDraft(text)
            self.trouble, self.is_open = "", not self.draft.wrong
            if self.draft.wrong:
                first = self.words.faults[0] if self.words.faults else self.draft.wrong
                self.trouble = f"It can only be mended in its file, {path}:\n{first}"
        self._changed()

    @property
    def words(self) -> Words:
        """What is in force, and what is wrong."""
        return self.draft.words()

    def do(self, change: Callable[[TraditionDraft], object]) -> None:
        """Make a change, and write it."""
        if not self.is_open:
            return
        before = self.draft.text
        change(self.draft)
        if self.draft.text != before:
            self.keep()

    def undo(self) -> None:
        """Take the last change back."""
        self.do(lambda draft: draft.undo())

    def redo(self) -> None:
        """Make the change again that was taken back last."""
        self.do(lambda draft: draft.redo())

    def take(self) -> None:
        """Let what is asked follow what was written."""
        if self.is_new:
            self.is_new = False
            self.practice.take_given()

    @property
    def text(self) -> str:
        """The whole, as its file is to be."""
        return self.draft.text

    @property
    def is_kept(self) -> bool:
        """Whether nothing was written that is not in the file."""
        return not (self.is_open and self.trouble)

    def keep(self) -> None:
        """Write it to its file as it stands."""
        try:
            self.practice.shelf.write_tradition(self.draft.text)
            self.trouble, self.is_new = "", True
        except (PracticeError, OSError) as error:
            self.trouble = str(error)
        self._changed()

    def _changed(self) -> None:
        self.can_undo, self.can_redo = self.draft.can_undo, self.draft.can_redo
        self.changes += 1
