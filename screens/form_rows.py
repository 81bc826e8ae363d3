"""Fields of a question that are lists: answers, things in order, pairs, lines, reasons.

Each list shows one row for each of its items; a row sends its item as it is to be.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from quizzes.decks.limits import MOST_ANSWERS, MOST_LINES
from screens.controls import OptionRow
from screens.fault_words import Told, words_of
from screens.form_parts import FormPart, said
from screens.grip import Rows
from screens.keys import focus_on
from screens.look import load_kv
from screens.widgets import Column, Plate
from words import say, to_say

Item = Any
"""A table of a list, or a text."""
VERDICTS = ((True, to_say("It is true")), (False, to_say("It is false")))
FOR_VERDICT = (
    (True, to_say("if true")),
    (False, to_say("if false")),
    (None, to_say("either")),
)
"""To be said."""


class RowHead(BoxLayout):
    """What a row is called, and a way to remove it."""

    __events__ = ("on_remove",)

    title = StringProperty("")

    def on_remove(self) -> None:
        """The row is to go."""


class FormRow(Column):
    """One item of a list: `on_item` is sent with it as it is to be."""

    __events__ = ("on_item", "on_remove", "on_carry", "on_hear")

    number = NumericProperty(0)
    """Its place, from 0."""
    title = StringProperty("")
    fault = StringProperty("")
    moves = BooleanProperty(False)
    """Whether it can be carried to another place."""
    apart: tuple[str, ...] = ()
    """Fields of the item whose faults stand beneath them."""

    def __init__(self, **kwargs: Any) -> None:
        self.item: Item = ""
        super().__init__(**kwargs)

    def show(self, item: Item) -> None:
        """Bring an item on view."""
        self.item = item

    def tell(self, faults: Sequence[Told]) -> None:
        """Say what is wrong with it."""
        for field in self.apart:
            self.ids[f"{field}_fault"].text = words_of([f for f in faults if f.inner == field])
        self.fault = words_of([fault for fault in faults if fault.inner not in self.apart])

    def send(self, field: str, value: Any) -> None:
        """The item with a field changed; None takes it out."""
        item = {**self.item, field: value}
        self.dispatch("on_item", {k: v for k, v in item.items() if v is not None})

    def on_item(self, item: Item) -> None:
        """The user has changed it."""

    def on_remove(self) -> None:
        """The user wants it gone."""

    def on_carry(self, to: int) -> None:
        """The user wants it at another place."""

    def on_hear(self, text: str) -> None:
        """A line of it is to be played."""


class AnswerRow(FormRow):
    """What can be answered: its text, whether it is right, what is said to whoever chose it."""

    apart = ("text", "why")
    right = BooleanProperty(False)

    def show(self, item: Item) -> None:
        self.item = item if isinstance(item, dict) else {}
        self.ids.text.show(str(self.item.get("text", "")))
        self.ids.why.show(str(self.item.get("why", "")))
        self.right = self.item.get("right") is True

    def turn(self) -> None:
        """Right, or not."""
        self.send("right", None if self.right else True)


class ChoiceRow(AnswerRow):
    """One answer that is offered; besides, how it would sound."""

    sounds = BooleanProperty(False)
    """Whether the field for how it would sound is open."""

    def show(self, item: Item) -> None:
        super().show(item)
        self.ids.line.show(str(self.item.get("sargam", "")))
        self.sounds = self.sounds or bool(self.item.get("sargam"))

    def tell(self, faults: Sequence[Told]) -> None:
        self.ids.line.told_of = words_of([f for f in faults if f.inner == "sargam"])
        super().tell([f for f in faults if f.inner != "sargam"])


class ReasonRow(AnswerRow):
    """A reason for a verdict; besides, for which one it is given."""

    verdict_options = ListProperty()

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"verdict_options": said(FOR_VERDICT), **kwargs})

    def show(self, item: Item) -> None:
        super().show(item)
        self.ids.verdict.value = self.item.get("holds")


class LineRow(FormRow):
    """One line of swaras that is right."""

    plain = BooleanProperty(False)
    """Whether swaras alone may stand in it."""

    def show(self, item: Item) -> None:
        super().show(item)
        self.ids.line.show(str(item))

    def tell(self, faults: Sequence[Told]) -> None:
        self.ids.line.told_of = words_of(faults)


class RowsPart(FormPart):
    """A list of items, each in a row of a sort; `on_hear` is sent with a line to be played."""

    __events__ = ("on_hear",)

    sort: type[FormRow] = FormRow
    new: Item = ""
    """What one more begins as."""
    one_more, numbered = to_say("One more answer"), to_say("Answer {number}")
    """What the plate says that adds one, and what each is called; to be said."""
    most = MOST_ANSWERS

    def __init__(self, field: str, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.fields = (field,)
        self.items: list[Item] = []
        self.rows = Rows()
        self.more = Plate(text=say(self.one_more))
        self.more.bind(on_release=lambda _: self.add())
        self.put_in(self.rows, self.more)

    def show(self, values: dict[str, Any]) -> None:
        value = values.get(self.fields[0], [])
        # In a file, one text may stand for a list of one.
        items = value if isinstance(value, list) else [value]
        self.items = [dict(item) if isinstance(item, dict) else item for item in items]
        while len(self.rows.children) > len(self.items):
            self.rows.remove_widget(self.rows.children[0])
        while len(self.rows.children) < len(self.items):
            self.rows.add_widget(self._row())
        for number, (row, item) in enumerate(zip(self._all, self.items, strict=True)):
            row.number, row.title = number, say(self.numbered, number=number + 1)
            self.prepare(row, values)
            row.show(item)
        self.more.disabled = len(self.items) >= self.most

    @property
    def _all(self) -> list[Any]:
        return self.rows.children[::-1]

    def prepare(self, row: Any, values: dict[str, Any]) -> None:
        """What a row must know besides its item."""

    def _row(self) -> FormRow:
        row = self.sort()
        row.bind(
            on_item=lambda row, item: self._put(row.number, item),
            on_remove=lambda row: self._remove(row.number),
            on_carry=lambda row, to: self._carry(row.number, to),
            on_hear=lambda _, text: self.dispatch("on_hear", text),
        )
        return row

    def _put(self, at: int, item: Item) -> None:
        self._send([*self.items[:at], item, *self.items[at + 1 :]])

    def _remove(self, at: int) -> None:
        self._send(self._without(at))

    def _without(self, at: int) -> list[Item]:
        return [*self.items[:at], *self.items[at + 1 :]]

    def _carry(self, at: int, to: int) -> None:
        items = self._without(at)
        items.insert(to, self.items[at])
        self._send(items)
        grip = self._all[to].ids.get("grip")
        if grip is not None and self._all[at].ids.grip.focused:
            focus_on(self.get_root_window().children[0], grip)

    def add(self) -> None:
        """One more, with the cursor in it."""
        self._send([*self.items, dict(self.new) if isinstance(self.new, dict) else self.new])

    def _send(self, items: list[Item]) -> None:
        self.change(**{self.fields[0]: items or None})

    def tell(self, faults: Sequence[Told]) -> None:
        for number, row in enumerate(self._all, 1):
            row.tell([fault for fault in faults if fault.number == number])
        self.fault = words_of([f for f in faults if not 1 <= f.number <= len(self.items)])

    def on_hear(self, text: str) -> None:
        """A line is to be played."""


class ChoicesPart(RowsPart):
    """The answers that are offered; where `single`, one that is made right is the only one."""

    sort, new = ChoiceRow, {"text": ""}
    single = BooleanProperty(False)

    def _put(self, at: int, item: Item) -> None:
        if self.single and item.get("right") and not self.items[at].get("right"):
            for other in self.items:
                other.pop("right", None)
        super()._put(at, item)


class ReasonsPart(RowsPart):
    """The reasons from which one is chosen for the verdict."""

    sort, new = ReasonRow, {"text": ""}
    one_more, numbered = to_say("One more reason"), to_say("Reason {number}")


class LinesPart(RowsPart):
    """Lines of sargam."""

    sort, most = LineRow, MOST_LINES
    one_more, numbered = to_say("One more line"), to_say("Line {number}")


class RightPart(LinesPart):
    """The lines that are right, each of swaras alone: a student writes no more."""

    def prepare(self, row: Any, values: dict[str, Any]) -> None:
        row.plain = True


class VerdictPart(FormPart):
    """Whether what is said is true."""

    fields: tuple[str, ...] = ("holds",)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.row = OptionRow(options=said(VERDICTS))
        self.row.bind(on_choose=lambda _, value: self.change(holds=value))
        self.put_in(self.row)

    def show(self, values: dict[str, Any]) -> None:
        self.row.value = values.get("holds")


load_kv("form_rows")
