"""What forms are put together from: a field with its title, what it is for, and what is wrong.

Each part shows some fields of a question, by the names that a deck's file has for them. It sends
`on_change` with the new values.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from kivy.properties import (
    BooleanProperty,
    ListProperty,
    NumericProperty,
    ObjectProperty,
    StringProperty,
)
from kivy.uix.widget import Widget

from screens.controls import Lines, OptionRow, Stepper
from screens.fault_words import Told, words_of
from screens.look import load_kv
from screens.sargam_field import SargamField
from screens.widgets import Column, Plate
from words import say, to_say


def said(options: Iterable[tuple[Any, str]]) -> list[tuple[Any, str]]:
    """Options whose names are yet to be said."""
    return [(value, say(words)) for value, words in options]


class FormPart(Column):
    """`fields` are those whose faults are told here."""

    __events__: tuple[str, ...] = ("on_change",)

    title = StringProperty("")
    hint = StringProperty("")
    fault = StringProperty("")
    role = StringProperty("lead")
    """How its title is set."""
    fields: tuple[str, ...] = ()

    def put_in(self, *widgets: Widget) -> None:
        """Things between the title and what is wrong."""
        for widget in widgets:
            self.ids.inner.add_widget(widget)

    @property
    def lacking(self) -> str:
        """What was begun here and is not there yet, though nothing is wrong without it."""
        return ""

    def show(self, values: dict[str, Any]) -> None:
        """Bring the fields of a question on view."""

    def tell(self, faults: Sequence[Told]) -> None:
        """Say what is wrong with them."""
        self.fault = words_of(faults)

    def change(self, **values: Any) -> None:
        """Send new values of some fields; None takes one out."""
        self.dispatch("on_change", values)

    def on_change(self, values: dict[str, Any]) -> None:
        """The user has changed fields."""


class FoldedPart(FormPart):
    """Shows what is in it, `inside`, only once that is wanted."""

    open = BooleanProperty(False)
    wanted = to_say("Change it")
    """What the plate says that unfolds it, to be said."""
    inside: Sequence[Widget] = ()

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.plate = Plate(text=say(self.wanted))
        self.plate.bind(on_release=lambda _: self.turn())
        self.put_in(self.plate)

    def turn(self) -> None:
        """Unfold it, or fold it away."""
        self.open = not self.open

    def on_open(self, *_: Any) -> None:
        """All stands beneath the plate."""
        self.plate.text = say("Fold it away") if self.open else say(self.wanted)
        self.ids.inner.clear_widgets()
        self.put_in(self.plate, *(self.inside if self.open else ()))


class TextPart(FormPart):
    """One text; `begun` is what stands there until something is written in its place."""

    def __init__(self, field: str, *, begun: str = "", **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.fields = (field,)
        self.lines = Lines(begun=begun)
        self.lines.bind(on_write=lambda _, text: self.change(**{field: text or None}))
        self.put_in(self.lines)

    def show(self, values: dict[str, Any]) -> None:
        value = values.get(self.fields[0], "")
        self.lines.show(value if isinstance(value, str) else str(value))


class SargamLine(Column):
    """A field for sargam with what is wrong with it, and a plate that plays it."""

    __events__ = ("on_write", "on_hear")

    text = StringProperty("")
    told_of = StringProperty("")
    """What is wrong beside what the field finds itself."""
    shown = BooleanProperty(True)
    plain = BooleanProperty(False)
    """Whether it is for swaras alone."""

    @property
    def field(self) -> SargamField:
        return self.ids.field

    def show(self, text: str) -> None:
        """Bring a line on view."""
        self.field.show(text)

    def on_write(self, text: str) -> None:
        """The user has changed the line."""

    def on_hear(self, text: str) -> None:
        """The line is to be played."""


class OptionPart(FormPart):
    """One of a few values; `other` is what stands for a field that is left out."""

    options = ListProperty()

    def __init__(self, field: str, *, other: Any = None, **kwargs: Any) -> None:
        self.row = OptionRow()
        super().__init__(**kwargs)
        self.fields = (field,)
        self._other = other
        self.row.options = self.options
        self.row.bind(on_choose=self._choose)
        self.put_in(self.row)

    def _choose(self, _: Any, value: Any) -> None:
        self.change(**{self.fields[0]: None if value == self._other else value})

    def show(self, values: dict[str, Any]) -> None:
        self.row.value = values.get(self.fields[0], self._other)


class Picked(Column):
    """One of many: a plate with what is chosen, which lays all out when it is touched."""

    __events__ = ("on_choose",)

    options: Sequence[tuple[Any, str]] = ListProperty()
    value = ObjectProperty(None, allownone=True)
    nothing = StringProperty("")
    """What the plate says while nothing is chosen."""

    def __init__(self, **kwargs: Any) -> None:
        self._row: OptionRow | None = None
        super().__init__(**{"nothing": say("Choose"), **kwargs})
        self._plate = Plate(text=self.nothing)
        self._plate.bind(on_release=lambda _: self.turn())
        self.add_widget(self._plate)
        self.bind(value=self._say, options=self._say, nothing=self._say)
        self._say()

    def _say(self, *_: Any) -> None:
        words = (words for value, words in self.options if value == self.value)
        self._plate.text = next(words, self.nothing)

    def turn(self) -> None:
        """Lay out what can be chosen, or put it away."""
        if self._row is not None:
            self.remove_widget(self._row)
            self._row = None
            return
        self._row = OptionRow(options=self.options, value=self.value)
        self._row.bind(on_choose=self._choose)
        self.add_widget(self._row)

    def _choose(self, _: Any, value: Any) -> None:
        self.value = value
        self.turn()
        self.dispatch("on_choose", value)

    def on_choose(self, value: Any) -> None:
        """The user chose one."""


class NumberPart(FormPart):
    """A number in steps; the least step stands for leaving it to Kaan."""

    steps = ListProperty([0, 30, 40, 50, 60, 66, 72, 80, 90, 100, 120, 160, 200, 240])
    least_is_none = NumericProperty(0)

    def __init__(self, field: str, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.fields = (field,)
        self.stepper = Stepper(steps=self.steps, unit=say("matras a minute"))
        self.stepper.bind(on_choose=self._choose)
        self.put_in(self.stepper)

    def _choose(self, _: Any, value: float) -> None:
        number = int(value)
        self.change(**{self.fields[0]: None if number == self.least_is_none else number})
        self._say()

    def _say(self) -> None:
        value = self.stepper.value
        self.stepper.words = say("As usual") if value == self.least_is_none else ""

    def show(self, values: dict[str, Any]) -> None:
        value = values.get(self.fields[0], self.least_is_none)
        self.stepper.value = value if type(value) in (int, float) else self.least_is_none
        self._say()


load_kv("form_parts")
