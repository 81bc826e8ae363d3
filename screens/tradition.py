"""The teacher's tradition: any fact of a raga, a tala or the order of stages taught otherwise.

First a list to choose from, then a sheet of facts; each is kept in the file as soon as it changes,
and what is asked follows when the screen is left.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from kivy.properties import BooleanProperty, ObjectProperty, OptionProperty, StringProperty
from kivy.uix.widget import Widget

from practice import Practice
from quizzes.decks.faults import Fault
from quizzes.names import capital, counted, listed, plain_name
from quizzes.teachable.fact import Fact, faults_of, faults_of_table
from quizzes.teachable.of_stages import PairFact
from quizzes.tradition_draft import TraditionDraft
from screens.edited import Leaving
from screens.form_parts import said
from screens.form_ticks import beyond_words
from screens.look import load_kv
from screens.padded import Padded
from screens.tradition_editing import TraditionEditing
from screens.tradition_rows import FactRow, NamePlate, StagesRow
from words import say, to_say

SHOWN = 24
"""So many names are on view at a time; a search brings the others."""
PARTS = [("raga", to_say("Ragas")), ("tala", to_say("Talas")), ("stage", to_say("Order"))]
"""To be said."""
YOURS = to_say("With your word.")
ADDED = to_say("Your own.")
NEW_NAME = "A new raga"


class TraditionScreen(Leaving, Padded):
    """`on_close` leads back to the desk."""

    title = StringProperty("")
    state = StringProperty("")
    is_well = BooleanProperty(True)
    trouble = StringProperty("")
    part = OptionProperty("raga", options=[part for part, _ in PARTS])
    chosen = StringProperty("")
    """The id of the raga, tala or stage whose sheet is on view; "" while the list is."""
    is_mine = BooleanProperty(False)
    """Whether the file has anything of what is on view."""
    can_undo = BooleanProperty(False)
    can_redo = BooleanProperty(False)
    can_add = BooleanProperty(False)
    editing: TraditionEditing = ObjectProperty(None)

    def __init__(self, practice: Practice, *, on_close: Callable[[], None], **kwargs: Any) -> None:
        self.practice, self._on_close = practice, on_close
        self._rows: list[FactRow] = []
        self.editing = TraditionEditing(practice)
        super().__init__(**kwargs)
        self.ids.parts.options = said(PARTS)
        self.ids.parts.value = self.part
        self.ids.parts.bind(on_choose=lambda _, part: self._turn_to(part))
        self.ids.search.bind(text=lambda *_: self._list())
        self.editing.bind(changes=lambda *_: self._show())

    def on_pre_enter(self, *_: Any) -> None:
        """Read the file afresh: it may have been changed meanwhile."""
        self.chosen = ""
        self.editing.open()
        self.ids.roll.to_top()

    @property
    def draft(self) -> TraditionDraft:
        return self.editing.draft

    # Showing.

    def _show(self) -> None:
        editing = self.editing
        if self.chosen and not self._is_there():  # it was added, and that was undone
            self.chosen = ""
        self.can_undo, self.can_redo = editing.can_undo, editing.can_redo
        self.can_add = editing.is_open and not self.chosen and self.part == "raga"
        faults = editing.words.faults
        self.is_well = not faults
        left = counted(
            len(faults), "{number} thing still to mend.", "{number} things still to mend."
        )
        state = capital(left) if faults else say("Kept.")
        self.state = state if editing.is_open else ""
        if self.chosen:
            self._show_sheet()
        else:
            self._list()
        self.trouble = "\n".join([t for t in (editing.trouble,) if t] + self._homeless(faults))

    def _is_there(self) -> bool:
        return self.chosen in dict(self._names())

    def _homeless(self, faults: Sequence[Fault]) -> list[str]:
        """Faults that no row on view tells."""
        if not self.editing.is_open:
            return []
        if self.chosen:
            here = faults_of_table(self._table(), faults)
            told = [fault for row in self._rows for fault in row.faults]
            return [f"{fault.wrong}; {fault.remedy}." for fault in here if fault not in told]
        of_names: set[Fault] = set()
        elsewhere = []
        for part, title in PARTS:
            for key, name in self._names(part):
                found = faults_of_table(self._table_of(key, part), faults)
                of_names.update(found)
                if found and part != self.part:
                    things = _to_mend(len(found))
                    elsewhere.append(f"{say(title)}, {name}: {things}.")
        return [*elsewhere, *(str(fault) for fault in faults if fault not in of_names)]

    def _names(self, part: str = "") -> Iterator[tuple[str, str]]:
        """Ids and names of all that can be chosen, what the teacher has spoken of first."""
        part = part or self.part
        if part == "raga":
            known = {raga.id: say(raga.name) for raga in self.draft.ragas().values()}
            known |= dict(self.draft.own_ragas())
        elif part == "tala":
            known = {tala.id: say(tala.name) for tala in self.draft.talas().values()}
        else:
            known = {stage.id: say(stage.name) for stage in self.draft.form().stages.values()}
        own = dict(self.draft.own_ragas())
        yield from sorted(
            known.items(), key=lambda each: each[0] not in own and not self._has_word(each[0], part)
        )

    def _also(self, key: str) -> tuple[str, ...]:
        some: Any = {"raga": self.draft.ragas, "tala": self.draft.talas}.get(self.part)
        found = some().get(key) if some else self.draft.form().stages.get(key)
        return () if found is None else tuple(found.also)

    def _has_word(self, key: str, part: str = "") -> bool:
        part = part or self.part
        if self.draft.wrong:
            return False
        if part == "stage" and any(pair.mine for pair in self.draft.pairs(key)):
            return True
        return bool(self.draft.said(*self._table_of(key, part)))

    def _table_of(self, key: str, part: str = "") -> tuple[str, ...]:
        part = part or self.part
        return (key,) if part == "raga" else (part, key)

    def _table(self) -> tuple[str, ...]:
        return self._table_of(self.chosen)

    def _list(self) -> None:
        names = self.ids.names
        names.clear_widgets()
        self._rows = []
        self.ids.facts.clear_widgets()
        self.ids.pairs.clear_widgets()
        self.title = say("Tradition")
        self.is_mine = False
        wished = plain_name(self.ids.search.text)
        added = dict(self.draft.own_ragas())
        found = []
        for key, name in self._names():
            called = (key, name, *self._also(key))
            if any(wished in plain_name(each) for each in called):
                found.append((key, name))
        for key, name in found[:SHOWN]:
            plate = NamePlate(key=key, text=name, also=listed(list(self._also(key)), "or"))
            plate.told = say(ADDED) if key in added else say(YOURS) if self._has_word(key) else ""
            faults = faults_of_table(self._table_of(key), self.editing.words.faults)
            plate.fault = capital(_to_mend(len(faults))) if faults else ""
            plate.bind(on_release=lambda plate: self.choose(plate.key))
            names.add_widget(plate)
        more = len(found) - SHOWN
        beyond = beyond_words(more) if more > 0 else ""
        self.ids.beyond.text = beyond if found else say("Nothing is called so.")

    def _show_sheet(self) -> None:
        self.ids.names.clear_widgets()
        self.ids.beyond.text = ""
        facts = self._facts()
        self.title = next((f.written for f in facts if f.fields[0] == "name"), "") or self.chosen
        self.is_mine = self._has_word(self.chosen)
        if len(self._rows) != len(facts):
            self._make_rows(facts)
        faults = self.editing.words.faults
        for row, fact in zip(self._rows, facts, strict=True):
            row.show(fact, faults_of(fact, faults))
        self._show_pairs(self.draft.pairs(self.chosen) if self.part == "stage" else ())

    def _show_pairs(self, pairs: Sequence[PairFact]) -> None:
        """The rows stay where they are: what was touched is still on view."""
        column = self.ids.pairs
        while len(column.children) > len(pairs):
            column.remove_widget(column.children[0])
        while len(column.children) < len(pairs):
            row = StagesRow()
            row.bind(on_do=lambda _, change: self.editing.do(change))
            column.add_widget(row)
        for row, pair in zip(column.children[::-1], pairs, strict=True):
            row.show(pair)

    def _facts(self) -> Sequence[Fact]:
        of: Any = {"raga": self.draft.raga, "tala": self.draft.tala, "stage": self.draft.stage}
        return of[self.part](self.chosen)

    def _make_rows(self, facts: Sequence[Fact]) -> None:
        self._rows = []
        self.ids.facts.clear_widgets()
        for fact in facts:
            row = FactRow(fact=fact)
            row.bind(on_do=lambda _, change: self.editing.do(change))
            row.bind(on_hear=lambda _, text: self.hear_line(text))
            self._rows.append(row)
            self.ids.facts.add_widget(row)

    # Doing.

    def _turn_to(self, part: str) -> None:
        self.part = self.ids.parts.value = part
        self.ids.search.text = ""
        self._show()

    def choose(self, key: str) -> None:
        """Show the sheet of one."""
        self.chosen, self._rows = key, []
        self.ids.facts.clear_widgets()
        self._show()
        self.ids.roll.to_top()

    def add(self) -> None:
        """A raga of the teacher's own."""
        name, number = NEW_NAME, 2
        names = {plain_name(name) for _, name in self._names("raga")}
        while plain_name(name) in names:
            name, number = f"{NEW_NAME} {number}", number + 1
        added: list[str] = []
        self.editing.do(lambda draft: added.append(draft.add_raga(name)))
        if added:
            self.choose(added[0])
            self._rows[0].turn()

    def take_all_back(self) -> None:
        """Take back all that is said of what is on view; of the teacher's own, all of it."""
        table = self._table()
        pairs = (
            [pair for pair in self.draft.pairs(self.chosen) if pair.mine]
            if (self.part == "stage")
            else []
        )

        def change(draft: TraditionDraft) -> None:
            if draft.said(*table):
                draft.remove(*table)
            for pair in pairs:
                draft.take_back_pair(pair)

        self.editing.do(change)

    def hear_line(self, text: str) -> None:
        """Play a line."""
        self.listen({"sargam": text})

    def flush(self) -> None:
        """Take what is written just now."""
        for row in self._rows:
            row.flush()

    def back(self) -> None:
        """From a sheet to the list; from there to the desk."""
        self.flush()
        self.put_pad_away()
        if self.chosen:
            self.chosen = ""
            self._show()
            self.ids.roll.to_top()
            return
        if self.may_leave():
            self._on_close()

    def on_pre_leave(self, *_: Any) -> None:
        """What is asked follows."""
        self.flush()
        self.put_pad_away()
        self.hush()
        self.editing.take()

    def take_shortcut(self, name: str) -> bool:
        if name not in ("z", "Z"):
            return False
        self.flush()
        (self.editing.undo if name == "z" else self.editing.redo)()
        return True

    def main_thing(self) -> Widget | None:
        return None if self.chosen else self.ids.add


def _to_mend(count: int) -> str:
    return counted(count, "{number} thing to mend", "{number} things to mend")


load_kv("tradition")
