"""One deck on the teacher's desk: its name, its questions in order, and handing it over."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

from kivy.clock import Clock
from kivy.properties import (
    BooleanProperty,
    NumericProperty,
    ObjectProperty,
    StringProperty,
)
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from practice import Practice, PracticeError
from quizzes.decks.faults import DeckError
from screens.desk import NEW_NAME, name_of
from screens.edited import EditingScreen
from screens.editing import Editing
from screens.fault_words import NO_QUESTION, is_begun, left_of, told
from screens.form_parts import FormPart, TextPart
from screens.form_sounds import SoundsPart
from screens.forms import about_kind, words_of
from screens.grip import Rows
from screens.handing import file_name, free_path, handed_words
from screens.keys import focus_on
from screens.look import load_kv
from screens.modes import AT_A_TIME
from screens.widgets import Column, Touchable
from words import say, say_as


class EntryPlate(Touchable, BoxLayout):
    """One question of a deck: its number, what it is called, its kind, and what is to mend."""

    number = NumericProperty(0)
    text = StringProperty("")
    kind_words = StringProperty("")
    fault = StringProperty("")
    begun = BooleanProperty(False)
    """Whether it is only not written to its end yet."""


class EntryActions(BoxLayout):
    """What can be done with a question beside editing it."""

    row = ObjectProperty(None)


class EntryRow(Column):
    """A question in the list, with its grip, and what can be done with it when that is wanted."""

    __events__ = ("on_open", "on_carry", "on_copy", "on_remove", "on_turn")

    number = NumericProperty(0)
    text = StringProperty("")
    kind_words = StringProperty("")
    fault = StringProperty("")
    begun = BooleanProperty(False)
    more = BooleanProperty(False)
    """Whether what can be done with it is on view."""

    def __init__(self, **kwargs: Any) -> None:
        self.actions: EntryActions | None = None
        super().__init__(**kwargs)

    def on_more(self, *_: Any) -> None:
        """What can be done is there only while it is wanted: a deck may have hundreds of rows."""
        if self.actions is not None:
            self.remove_widget(self.actions)
            self.actions = None
        if self.more:
            self.actions = EntryActions(row=self)
            self.add_widget(self.actions)

    def on_open(self) -> None:
        """It is to be edited."""

    def on_carry(self, to: int) -> None:
        """It is to move to another place."""

    def on_copy(self) -> None:
        """It is wanted once more."""

    def on_remove(self) -> None:
        """It is to go."""

    def on_turn(self) -> None:
        """What can be done with it is wanted, or no more."""


class DeckScreen(EditingScreen):
    """`on_edit` is told the place of the question to edit, `on_add` that one is to be added;
    `on_sheet` lets a file be chosen, `on_folder` the folder into which one of a name is written."""

    title = StringProperty("")
    state = StringProperty("")
    is_well = BooleanProperty(True)
    is_begun = BooleanProperty(False)
    """Whether nothing is wrong but that some of it is not written yet."""
    elsewhere = StringProperty("")
    """What is wrong where no field shows it."""
    done = StringProperty("")
    """What was just done, such as where the deck was written."""
    empty = BooleanProperty(True)
    has_tradition = BooleanProperty(False)
    with_tradition = BooleanProperty(False)
    """Whether the tradition goes along even where the deck can be read without it."""

    def __init__(
        self,
        practice: Practice,
        *,
        on_close: Callable[[], None],
        on_edit: Callable[[Editing, int], None],
        on_add: Callable[[Editing], None],
        on_sheet: Callable[[Editing], None],
        on_folder: Callable[[Callable[[Path], None], str], None],
        **kwargs: Any,
    ) -> None:
        self.practice = practice
        self._on_close, self._on_edit, self._on_add = on_close, on_edit, on_add
        self._on_sheet, self._on_folder = on_sheet, on_folder
        super().__init__(**kwargs)
        self._filling = Clock.create_trigger(lambda _: self._fill(), 0)
        self._head: list[FormPart] = [
            TextPart("name", title=say("Name"), begun=say(NEW_NAME)),
            TextPart("about", title=say("About"), hint=say("For the student; may stay empty.")),
            TextPart(
                "by",
                title=say_as("who wrote it", "By"),
                hint=say("Who wrote it, as you want it told."),
            ),
            SoundsPart(),
        ]
        for part in self._head:
            part.bind(on_change=lambda _, values: self._put_head(values))
            self.ids["head" if part is not self._head[0] else "name"].add_widget(part)

    def edit(self, editing: Editing) -> None:
        """Show this deck."""
        self.done = ""
        self.watch(editing)
        self.ids.roll.to_top()

    def _put_head(self, values: dict[str, Any]) -> None:
        self.editing.put_head(**values)

    # Showing.

    def show(self) -> None:
        """Bring the deck on view as it stands."""
        editing = self.editing
        name = editing.head.get("name")
        self.title = str(name) if name else say("A deck without a name")
        head = [told(fault) for fault in editing.faults_of(None)]
        for part in self._head:
            part.show(editing.head)
            part.tell([fault for fault in head if fault.field in part.fields])
        shown = {field for part in self._head for field in part.fields} | {"question"}
        self.elsewhere = "\n".join(f"{f.field}: {f.words}" for f in head if f.field not in shown)
        self._show_rows()
        self.has_tradition = bool(self.practice.given.tradition)
        self.empty = not editing.entries
        self.is_well, self.is_begun = not editing.faults, is_begun(editing.faults)
        self.state = left_of(editing.faults) or say("Kept.")
        if self.empty:
            self.state = say(NO_QUESTION)
        if editing.trouble:
            self.state = ""

    def _show_rows(self) -> None:
        editing, rows = self.editing, self.rows
        while len(rows.children) > len(editing.entries):
            rows.remove_widget(rows.children[0])
        self._fill()

    def _fill(self) -> None:
        """A few rows more, if some are missing, and all as they are; others in the next frame."""
        editing, rows = self.editing, self.rows
        tradition = self.practice.given.tradition
        for _ in range(min(AT_A_TIME, len(editing.entries) - len(rows.children))):
            rows.add_widget(self._row())
        if len(rows.children) < len(editing.entries):
            self._filling()
        for number, (row, entry) in enumerate(
            zip(rows.children[::-1], editing.entries, strict=False)
        ):
            faults = editing.faults_of(number)
            row.number, row.text = number, words_of(entry, tradition)
            row.kind_words = about_kind(entry, row.text, tradition)
            row.fault, row.begun = left_of(faults), is_begun(faults)

    @property
    def rows(self) -> Rows:
        """The questions, in order."""
        return self.ids.rows

    def _row(self) -> EntryRow:
        row = EntryRow()
        row.bind(
            on_open=lambda row: self._open(row.number),
            on_carry=lambda row, to: self._carry(row.number, to),
            on_copy=lambda row: self._copy(row),
            on_remove=lambda row: self._remove(row),
            on_turn=self._more,
        )
        return row

    def _more(self, row: EntryRow) -> None:
        """Show what can be done with one question, and with no other."""
        for other in self.rows.children:
            other.more = other is row and not row.more

    # Doing.

    def _open(self, at: int) -> None:
        self._on_edit(self.editing, at)

    def _carry(self, at: int, to: int) -> None:
        rows = self.rows.children[::-1]
        by_keys = rows[at].ids.grip.focused
        self.editing.move(at, to)
        if by_keys:
            focus_on(self, self.rows.children[::-1][to].ids.grip)

    def _copy(self, row: EntryRow) -> None:
        row.more = False
        self.editing.duplicate(row.number)

    def _remove(self, row: EntryRow) -> None:
        row.more = False
        self.editing.remove(row.number)

    def add(self) -> None:
        """A new question, of a kind that is chosen first."""
        self._on_add(self.editing)

    def sheet(self) -> None:
        """Questions from a spreadsheet."""
        self._on_sheet(self.editing)

    def hand_over(self) -> None:
        """Write the deck into a folder that is chosen first."""
        self._on_folder(self.write_into, self._file_name())

    def _file_name(self) -> str:
        """Of what is handed over: as the deck is called, unless another deck is called so too."""
        editing = self.editing
        others = (kept for kept in self.practice.shelf.decks() if kept.id != editing.deck_id)
        return file_name(self.title, editing.deck_id, [name_of(other) for other in others])

    def write_into(self, folder: Path) -> None:
        """Write the deck, with its recordings, into a file in this folder."""
        deck_id = self.editing.deck_id
        path = free_path(folder / self._file_name())
        try:
            wanted = self.has_tradition and self.with_tradition
            files = self.practice.shelf.hand_over([deck_id], path, tradition=wanted)
        except (PracticeError, DeckError, OSError) as error:
            self.done = ""
            self.trouble = str(error)
            self.ids.roll.to_top()
            return
        self.editing.read_again()
        self.done = handed_words(path, files)

    def back(self) -> None:
        """A deck that is as it began does not stay."""
        editing = self.editing
        if not self.may_leave():
            return
        if not editing.entries and editing.head == {"deck": editing.deck_id, "name": say(NEW_NAME)}:
            with suppress(PracticeError, OSError):  # then it stays
                self.practice.shelf.remove(editing.deck_id)
        self._on_close()

    def main_thing(self) -> Widget | None:
        return self.ids.add


load_kv("deck")
