"""The last practices in the settings: each may be left out, as somebody else's, and put back."""

from __future__ import annotations

from functools import partial
from typing import Any

from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from practice import Practice
from practice.dates import weekday_date_word
from practice.held import Held
from scheduler import LogError
from screens.look import load_kv
from screens.widgets import Column
from words import say, say_many

SHOWN = 5


class HeldRow(BoxLayout):
    """One practice, and one touch to let it count for nothing or again."""

    words = StringProperty("")
    is_out = BooleanProperty(False)

    __events__ = ("on_turn",)

    def on_turn(self) -> None:
        """The user wants it otherwise."""


class Practices(Column):
    """The latest ones, the last first; `trouble` says what kept one from being turned."""

    trouble = StringProperty("")
    none = BooleanProperty(True)

    def show(self, practice: Practice) -> None:
        """List afresh those of this student."""
        self.clear_widgets()
        try:
            held = practice.practices()[-SHOWN:]
            self.trouble = ""
        except LogError as error:
            held, self.trouble = [], str(error)
        self.none = not held
        for one in reversed(held):
            row = HeldRow(words=words_of(one), is_out=one.is_out)
            row.bind(on_turn=partial(self._turn, practice, one.id))
            self.add_widget(row)

    def _turn(self, practice: Practice, practice_id: str, row: HeldRow, *_: Any) -> None:
        """Say it in the log, of the practice as it stands there now."""
        try:
            for one in practice.practices():
                if one.id == practice_id:
                    practice.turn(one)
                    row.is_out = not one.is_out
            self.trouble = ""
        except LogError as error:
            self.trouble = str(error)


def words_of(held: Held) -> str:
    """`Monday 2 March, 18:02: 58 questions, 46 right`, or that it was only shown."""
    at = {"date": weekday_date_word(held.at), "time": f"{held.at:%H:%M}"}
    if not held.asked:
        return say("{date}, {time}: {count} shown, none asked yet", count=held.answers, **at)
    return say_many(
        "{date}, {time}: {count} question, {right} right",
        "{date}, {time}: {count} questions, {right} right",
        held.asked,
        right=held.right,
        **at,
    )


load_kv("practices")
