"""A student in the list of those who practise here, and what can be done with them."""

from __future__ import annotations

from kivy.properties import AliasProperty, BooleanProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from practice.students import Known
from screens.look import load_kv
from screens.widgets import Column, Touchable
from words import say, to_say

PRACTISES = to_say("Who practises now cannot be set aside: let somebody else practise first.")
SET_ASIDE = to_say("They are listed no more. Nothing is deleted, and they can be taken back.")


class StudentMore(Column):
    """What can be done with a student; made when it is wanted."""

    __events__ = ("on_rename", "on_set_aside")

    name = StringProperty("")
    may_go = BooleanProperty(True)

    def _words(self) -> str:
        return "" if self.may_go else say(PRACTISES)

    words = AliasProperty(_words, bind=("may_go",))
    """Why they cannot be set aside."""

    def on_rename(self, name: str) -> None:
        """They are to be called so."""

    def on_set_aside(self) -> None:
        """They are to be listed no more."""


class StudentPlate(Touchable, BoxLayout):
    """A student: name, what tells them apart, and what is wrong."""

    text = StringProperty("")
    about = StringProperty("")
    fault = StringProperty("")


class StudentRow(Column):
    """A student in the list, and what can be done with them."""

    __events__ = ("on_choose", "on_turn")

    student: Known = ObjectProperty(None)
    text = StringProperty("")
    about = StringProperty("")
    fault = StringProperty("")
    more = BooleanProperty(False)

    def on_choose(self) -> None:
        """They are to practise."""

    def on_turn(self) -> None:
        """What can be done with them is wanted, or no more."""
        self.more = not self.more


class AsideRow(Column):
    """One who was set aside."""

    __events__ = ("on_back",)

    text = StringProperty("")

    def on_back(self) -> None:
        """They are to be listed again."""


load_kv("student_rows")
