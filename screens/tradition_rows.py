"""Rows of the tradition's form: a name of the list, a fact, what others teach, a pair of stages."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, ListProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from quizzes.decks.faults import Fault
from quizzes.names import capital
from quizzes.teachable.fact import Fact, Saying
from quizzes.teachable.of_stages import STRENGTHS, TURNED, PairFact
from quizzes.tradition import AS_TOLD
from screens.controls import Lines, OptionRow, PlateRow
from screens.fault_words import plain
from screens.form_parts import SargamLine, said
from screens.look import load_kv
from screens.widgets import ChosenPlate, Column, Plate, Touchable, Words
from words import say, say_as, to_say

SETTLES_S = 0.3
"""So long after the last key what was written is taken: reading it all takes a tablet a while."""
SHIPPED = to_say("Until then it is asked as it is shipped.")


class NamePlate(Touchable, BoxLayout):
    """One raga, tala or stage of the list; `told` says that the teacher has spoken of it."""

    key = StringProperty("")
    text = StringProperty("")
    also = StringProperty("")
    told = StringProperty("")
    fault = StringProperty("")


class FactPlate(Touchable, BoxLayout):
    """A fact as it is asked now."""

    title = StringProperty("")
    now = StringProperty("")
    by = StringProperty("")
    fault = StringProperty("")
    mine = BooleanProperty(False)


class SayingPlate(Touchable, BoxLayout):
    """What others teach, to be chosen."""

    text = StringProperty("")
    by = StringProperty("")


class FactRow(Column):
    """A fact; touched, it shows what others teach, a field to write in, and what else can be done.

    `on_do` is sent with a change to make.
    """

    __events__ = ("on_do", "on_hear", "on_turn")

    fact: Fact = ObjectProperty(None)
    is_open = BooleanProperty(False)
    faults: Sequence[Fault] = ListProperty()

    def __init__(self, **kwargs: Any) -> None:
        self._fields: list[Lines | SargamLine] = []
        self._ticks: list[ChosenPlate] = []
        self._one: OptionRow | None = None
        self._take = Clock.create_trigger(lambda _: self.flush(), SETTLES_S)
        self._laid_for: tuple[Any, ...] = ()
        super().__init__(**kwargs)

    def show(self, fact: Fact, faults: Sequence[Fault]) -> None:
        """Bring a fact on view; what is being written stays as it is."""
        self.fact, self.faults = fact, list(faults)
        plate = self.ids.plate
        plate.title, plate.now, plate.mine = fact.title, fact.now, fact.mine
        plate.by = say(SHIPPED) if faults and fact.mine else fact.by
        plate.fault = "\n".join(dict.fromkeys(map(_words_of, faults)))
        if self.is_open:
            self._lay_out()

    def turn(self) -> None:
        """Show what can be done, or put it away."""
        inside = self.ids.inside
        if self.is_open:
            self.flush()
            inside.clear_widgets()
            self._fields, self._ticks, self._one, self._laid_for = [], [], None, ()
        else:
            self._others, self._plates = Column(spacing=self.spacing), PlateRow()
            inside.add_widget(self._others)
            inside.add_widget(Words(text=say("Your own words"), role="small", tone="faint"))
            inside.add_widget(self._writing())
            if self.fact.hint:
                inside.add_widget(Words(text=self.fact.hint, role="small", tone="soft"))
            inside.add_widget(self._plates)
        self.is_open = not self.is_open
        if self.is_open:
            self._lay_out()
        self.dispatch("on_turn")

    def _lay_out(self) -> None:
        """What is written in stays, whatever else changes: the cursor may be there."""
        fact = self.fact
        laid_for = (fact.others, fact.mine, fact.confirm)
        if laid_for != self._laid_for:
            self._laid_for = laid_for
            self._lay_out_others()
            self._lay_out_plates()
        if not self._take.is_triggered and _same(fact.written, self._written()) is False:
            self._show_written(fact.written)

    def _lay_out_others(self) -> None:
        self._others.clear_widgets()
        if self.fact.others:
            self._others.add_widget(Words(text=say("Others teach"), role="small", tone="faint"))
        for saying in self.fact.others:
            self._others.add_widget(self._saying(saying))

    def _lay_out_plates(self) -> None:
        self._plates.clear_widgets()
        if self.fact.confirm:
            self._add_plate(say("Confirm it"), lambda draft: draft.confirm(self.fact))
        if self.fact.mine:
            self._add_plate(
                say_as("what one has written", "Take back"),
                lambda draft: draft.take_back(self.fact),
            )

    def _saying(self, saying: Saying) -> Widget:
        if not saying.values:
            words = f"{saying.words.rstrip('.')}. {saying.by}"
            return Words(text=words, role="small", tone="soft")
        plate = SayingPlate(text=saying.words, by=saying.by)
        plate.bind(on_release=lambda _: self._do(lambda draft: draft.choose(self.fact, saying)))
        return plate

    def _add_plate(self, text: str, change: Callable[[Any], object]) -> None:
        plate = Plate(text=text)
        plate.bind(on_release=lambda _: self._do(change))
        self._plates.add_widget(plate)

    def _do(self, change: Callable[[Any], object]) -> None:
        self._take.cancel()
        for field in self._fields:
            _input(field).focus = False
        self.dispatch("on_do", change)

    # What is written.

    def _writing(self) -> Widget:
        fact = self.fact
        if fact.sort == "one":
            self._one = OptionRow(options=fact.options, value=fact.written)
            self._one.bind(on_choose=lambda _, value: self._write(value))
            return self._one
        self._column = Column(spacing=self.spacing)
        self._fields, self._ticks = [], []
        if fact.sort in ("some", "each"):
            row = PlateRow()
            for value, words in fact.options:
                plate = ChosenPlate(text=words, chosen=value in fact.written.split())
                plate.key = value
                plate.bind(on_release=self._tick)
                self._ticks.append(plate)
                row.add_widget(plate)
            return row
        for line in self._lines_of(fact.written):
            self._add_field(line)
        if fact.sort in ("lines", "bols"):
            more = Plate(text=say("One more line"))
            more.bind(on_release=lambda _: self._one_more())
            both = Column(spacing=self.spacing)
            both.add_widget(self._column)
            both.add_widget(more)
            return both
        return self._column

    def _lines_of(self, written: str) -> list[str]:
        several = self.fact.sort in ("lines", "bols")
        return written.splitlines() or [""] if several else [written]

    def _add_field(self, line: str) -> None:
        if self.fact.sort in ("sargam", "lines"):
            field: Lines | SargamLine = SargamLine()
            field.show(line)
            field.bind(on_hear=lambda _, text: self.dispatch("on_hear", text))
        else:
            field = Lines()
            field.show(line)
        field.bind(on_write=lambda *_: self._take())
        self._fields.append(field)
        self._column.add_widget(field)

    def _one_more(self) -> None:
        self._add_field("")
        _input(self._fields[-1]).focus = True

    def _show_written(self, written: str) -> None:
        """Bring what the file has into the fields, such as after an undo."""
        if self._one is not None:
            self._one.value = written
        for plate in self._ticks:
            plate.chosen = plate.key in written.split()
        if not self._fields:
            return
        lines = self._lines_of(written)
        while len(self._fields) < len(lines):
            self._add_field("")
        for field, line in zip(self._fields, [*lines, *[""] * len(self._fields)], strict=False):
            field.show(line)

    def _tick(self, plate: ChosenPlate) -> None:
        plate.chosen = not plate.chosen
        self._write(" ".join(each.key for each in self._ticks if each.chosen))

    def _text_of(self, field: Lines | SargamLine) -> str:
        return str(_input(field).text)

    def _written(self) -> str | None:
        """What stands in the fields; None where there are none."""
        if self._one is not None:
            return str(self._one.value or "")
        if self._ticks:
            return " ".join(each.key for each in self._ticks if each.chosen)
        if not self._fields:
            return None
        return "\n".join(text for field in self._fields if (text := self._text_of(field)).strip())

    def flush(self) -> None:
        """Take what was written."""
        self._take.cancel()
        written = self._written()
        if written is not None and _same(self.fact.written, written) is False:
            self._write(written)

    def _write(self, written: str) -> None:
        self.dispatch("on_do", lambda draft: draft.write(self.fact, written))

    def on_do(self, change: Callable[[Any], object]) -> None:
        """The teacher changes something."""

    def on_hear(self, text: str) -> None:
        """A line is to be played."""

    def on_turn(self) -> None:
        """It was opened or put away."""


def _words_of(fault: Fault) -> str:
    """A fault in plain words; of what is missing, what is needed."""
    if fault.remedy == AS_TOLD:
        return f"{capital(fault.wrong)}."
    if fault.wrong == "is missing":
        return f"{capital(fault.remedy.replace('its notes', 'its swaras'))}."
    return plain(fault)


def _input(field: Lines | SargamLine) -> Lines:
    return field.field if isinstance(field, SargamLine) else field


def _same(one: str, other: str | None) -> bool | None:
    """Whether two texts say the same, whatever the spaces; None where one is missing."""
    if other is None:
        return None
    lines = [[" ".join(line.split()) for line in text.splitlines()] for text in (one, other)]
    return [line for line in lines[0] if line] == [line for line in lines[1] if line]


class StagesRow(Column):
    """Two stages and their order; `on_do` is sent with a change to make."""

    __events__ = ("on_do",)

    pair: PairFact = ObjectProperty(None)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.ids.strengths.options = [
            *said(STRENGTHS.items()),
            (TURNED, say("The other way round")),
        ]
        self.ids.strengths.bind(on_choose=lambda _, value: self._set(value))

    def show(self, pair: PairFact) -> None:
        """Bring a pair on view."""
        self.pair, ids = pair, self.ids
        ids.title.text, ids.why.text, ids.by.text = pair.title, pair.why, pair.by
        ids.shipped.text = pair.shipped
        ids.strengths.value = pair.strength
        ids.plates.clear_widgets()
        if pair.from_memory:
            self._add(say("Confirm it"), lambda draft: draft.set_pair(pair, pair.strength))
        if pair.mine:
            self._add(
                say_as("what one has written", "Take back"),
                lambda draft: draft.take_back_pair(pair),
            )

    def _add(self, text: str, change: Callable[[Any], object]) -> None:
        plate = Plate(text=text)
        plate.bind(on_release=lambda _: self.dispatch("on_do", change))
        self.ids.plates.add_widget(plate)

    def _set(self, strength: str) -> None:
        self.dispatch("on_do", lambda draft: draft.set_pair(self.pair, strength))

    def on_do(self, change: Callable[[Any], object]) -> None:
        """The teacher changes something."""


load_kv("tradition_rows")
