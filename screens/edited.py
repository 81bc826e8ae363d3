"""A text while it is being edited: each change is in its file at once, and can be undone."""

from __future__ import annotations

from typing import Any, Protocol

from kivy.event import EventDispatcher
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty

from practice import PracticeError
from quizzes.decks.faults import Fault
from screens.key_words import Said, undo_keys
from screens.keys import KaanScreen
from words import say, to_say

UNKEPT = to_say("What you changed since is in no file yet. Go back once more, and it is lost.")


class Drafted(Protocol):
    """What is edited: a head, and entries one below the other."""

    @property
    def text(self) -> str: ...

    @property
    def can_undo(self) -> bool: ...

    @property
    def can_redo(self) -> bool: ...

    def head(self) -> dict[str, Any]: ...

    def entries(self) -> list[dict[str, Any]]: ...

    def entry(self, at: int) -> dict[str, Any]: ...

    def set_head(self, **values: Any) -> None: ...

    def put(self, at: int, **values: Any) -> None: ...

    def move(self, at: int, to: int) -> None: ...

    def remove(self, at: int) -> None: ...

    def undo(self) -> bool: ...

    def redo(self) -> bool: ...


class Edited(EventDispatcher):
    """One draft; `changes` counts what was changed, so that forms can watch it."""

    changes = NumericProperty(0)
    can_undo = BooleanProperty(False)
    can_redo = BooleanProperty(False)
    trouble = StringProperty("")
    """What kept it from being written to its file."""

    def __init__(self, drafted: Drafted, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._drafted = drafted
        self.faults: tuple[Fault, ...] = ()
        self.look()

    @property
    def text(self) -> str:
        """The whole, as its file is to be."""
        return self._drafted.text

    @property
    def is_kept(self) -> bool:
        """Whether all of it is in its file."""
        return not self.trouble

    @property
    def entries(self) -> list[dict[str, Any]]:
        """The entries, by the file's fields."""
        return self._entries

    @property
    def head(self) -> dict[str, Any]:
        """What the file says before its entries."""
        return self._head

    def faults_of(self, at: int | None) -> tuple[Fault, ...]:
        """What is wrong with one entry; with None, outside them."""
        return tuple(fault for fault in self.faults if fault.entry == at)

    # Changing.

    def put_head(self, **values: Any) -> None:
        """Change what stands before the entries; None takes a field out."""
        self._drafted.set_head(**values)
        self.keep()

    def put(self, at: int, **values: Any) -> None:
        """Change fields of an entry; None takes one out."""
        self._drafted.put(at, **values)
        self.keep(at)

    def move(self, at: int, to: int) -> None:
        """An entry to another place."""
        if at != to and 0 <= to < len(self._entries):
            self._drafted.move(at, to)
            self.keep()

    def remove(self, at: int) -> None:
        """Take an entry out."""
        self._drafted.remove(at)
        self.keep()

    def undo(self) -> None:
        """Take the last change back."""
        if self._drafted.undo():
            self.keep()

    def redo(self) -> None:
        """Make the change again that was taken back last."""
        if self._drafted.redo():
            self.keep()

    # Keeping.

    def keep(self, at: int | None = None) -> None:
        """Write it to its file as it stands, and look at it afresh, or at one entry alone where no
        other has changed: every key that is pressed comes here."""
        try:
            self.write(self._drafted.text)
            self.trouble = ""
        except (PracticeError, OSError) as error:
            self.trouble = str(error)
        self.look(at)
        self.changes += 1

    def look(self, at: int | None = None) -> None:
        """See what stands there now and what is wrong with it."""
        if at is None:
            self._entries, self._head = self._drafted.entries(), self._drafted.head()
            self.faults = self.find_faults()
        else:
            self._entries = [*self._entries]
            self._entries[at] = self._drafted.entry(at)
            self.faults = self.find_faults_in(at)
        self.can_undo, self.can_redo = self._drafted.can_undo, self._drafted.can_redo

    def write(self, text: str) -> None:
        """Put the text into its file. Raises PracticeError or OSError."""
        raise NotImplementedError

    def find_faults(self) -> tuple[Fault, ...]:
        """All that is wrong with it."""
        raise NotImplementedError

    def find_faults_in(self, at: int) -> tuple[Fault, ...]:
        """All that is wrong with it where only one entry has changed."""
        return self.find_faults()


class Unkept(Protocol):
    """What may be in no file; `trouble` says why."""

    @property
    def text(self) -> str: ...

    @property
    def is_kept(self) -> bool: ...

    @property
    def trouble(self) -> str: ...

    def keep(self) -> None: ...


class Leaving:
    """For a screen on what is edited: nothing that is in no file is left unawares."""

    editing: Any
    ids: Any
    trouble: Any
    _warned_of: str | None = None
    """The text of which it was said last that it is in no file."""

    def may_leave(self) -> bool:
        """Whether all is in its file, which is tried once more, or the user was told that it is
        not and goes all the same."""
        editing: Unkept = self.editing
        if not editing.is_kept:
            editing.keep()
        if editing.is_kept or self._warned_of == editing.text:
            self._warned_of = None
            return True
        self._warned_of = editing.text
        self.trouble = f"{editing.trouble}\n{say(UNKEPT)}"
        self.ids.roll.to_top()
        return False


class EditingScreen(Leaving, KaanScreen):
    """A screen on what is edited: shows it while it is on view, with undo and its keys."""

    editing: Any = ObjectProperty(None, allownone=True)
    trouble = StringProperty("")
    can_undo = BooleanProperty(False)
    can_redo = BooleanProperty(False)

    def watch(self, editing: Edited) -> None:
        """Show this from now on; on a screen that is not on view, from when it is entered."""
        self._let_go()
        self.editing = editing
        if self.manager is None or self.manager.current_screen is self:
            self._begin()

    def on_pre_enter(self, *_: Any) -> None:
        """It may have been changed on another screen."""
        if self.editing is not None:
            self._begin()

    def _begin(self) -> None:
        self.editing.unbind(changes=self._changed)
        self.editing.bind(changes=self._changed)
        self._changed()

    def on_leave(self, *_: Any) -> None:
        """What is not on view need not follow."""
        self._let_go()

    def _let_go(self) -> None:
        if self.editing is not None:
            self.editing.unbind(changes=self._changed)

    def _changed(self, *_: Any) -> None:
        self.can_undo, self.can_redo = self.editing.can_undo, self.editing.can_redo
        self.trouble = self.editing.trouble
        self.show()

    def show(self) -> None:
        """Bring what is edited on view."""

    def keys_said(self) -> tuple[Said, ...]:
        return undo_keys()

    def take_shortcut(self, name: str) -> bool:
        if name not in ("z", "Z") or self.editing is None:
            return False
        (self.editing.undo if name == "z" else self.editing.redo)()
        return True
