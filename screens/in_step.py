"""In the settings: a folder kept in step with other devices, or none."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from kivy.clock import Clock
from kivy.properties import (
    BooleanProperty,
    ListProperty,
    NumericProperty,
    ObjectProperty,
    StringProperty,
)
from kivy.uix.boxlayout import BoxLayout

from practice import Practice, SettingsError
from practice.device import load_device
from practice.students import NO_NAME
from practice.sync_memory import remembered
from practice.sync_round import Round, Stranger
from practice.sync_words import last_taken_words, last_written_words
from practice.syncing import keep_in_step, keep_none_in_step, take_all
from screens.drawn import shortened
from screens.look import load_kv
from screens.widgets import Column
from words import say, to_say

NONE = to_say("No folder is kept in step.")
LISTED = to_say("Listed from now on under “Who practises here”, above.")
NOTHING = to_say("Looked there just now: nothing new.")
SHOWN = 5
"""So many students who do not practise here are listed."""
FAULTS_SHOWN = 3
SWITCH = (
    (False, to_say("Only those who practise here")),
    (True, to_say("I teach: every student found there")),
)
"""To be said."""


class StrangerRow(BoxLayout):
    """A student whose answers lie there, and one touch to take them in."""

    __events__ = ("on_take",)

    text = StringProperty("")

    def on_take(self) -> None:
        """The answers are wanted."""


def _nameless(place: str) -> str:
    """Of whom only a file is known."""
    return say("{student}: {file}", student=say(NO_NAME), file=place)


class InStep(Column):
    """`choose_folder` lets a folder be chosen, which is then handed to what it is given.

    `on_looked` is sent when the folder was looked into, and students may have come.
    """

    __events__ = ("on_looked",)

    practice: Practice = ObjectProperty(None)
    choose_folder: Callable[[Callable[[Path], None]], None] = ObjectProperty(None)
    folder = StringProperty("")
    """The one that is kept in step; "" where there is none."""
    words = StringProperty("")
    taken = StringProperty("")
    written = StringProperty("")
    faults = StringProperty("")
    trouble = StringProperty("")
    said = StringProperty("")
    """What follows from having taken a student in."""
    is_looking = BooleanProperty(False)
    takes_all = BooleanProperty(False)
    strangers = ListProperty()
    more_strangers = NumericProperty(0)
    switch_options = ListProperty()

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            **{"switch_options": [(value, say(words)) for value, words in SWITCH], **kwargs}
        )

    def show(self) -> None:
        """What is set, what was done last, and what came of the last look."""
        syncing, now = self.practice.syncing, datetime.now(UTC)
        device, trouble = load_device(self.practice.home)
        self.folder, self.takes_all = device.sync_folder, device.takes_all
        self.words = shortened(self.folder) if self.folder else say(NONE)
        self.is_looking = bool(self.folder) and syncing.is_looking
        found = syncing.last if self.folder else None
        memory = remembered(self.practice.home, self.folder)
        self.taken = last_taken_words(memory.taken, now)
        self.written = last_written_words(memory.written, now)
        self._show_found(found, trouble or "")

    def _show_found(self, found: Round | None, trouble: str) -> None:
        faults = found.faults if found is not None else ()
        more = len(faults) - FAULTS_SHOWN
        shown = list(faults[:FAULTS_SHOWN])
        if more > 0:
            shown.append(say("And {number} more like these.", number=more))
        self.faults = "\n".join(map(shortened, shown))
        self.trouble = shortened(trouble or (found.trouble if found is not None else ""))
        strangers = found.strangers if found is not None else ()
        self.more_strangers = max(0, len(strangers) - SHOWN)
        if list(strangers) != self.strangers:
            self.strangers = strangers
            self._list_strangers(strangers[:SHOWN])

    def _list_strangers(self, strangers: tuple[Stranger, ...]) -> None:
        column = self.ids.strangers
        column.clear_widgets()
        for stranger in strangers:
            row = StrangerRow(text=stranger.name or _nameless(stranger.place))
            row.bind(on_take=lambda _, who=stranger.id: self.look(who))
            column.add_widget(row)

    # What is wanted.

    def choose(self) -> None:
        """Let a folder be chosen, to be kept in step from then on."""
        self.choose_folder(self.keep)

    def keep(self, folder: Path) -> None:
        """Keep this folder in step, and look into it at once."""
        self._set(lambda: keep_in_step(self.practice.home, folder))

    def keep_none(self) -> None:
        """Keep none in step any more."""
        self._set(lambda: keep_none_in_step(self.practice.home))

    def take_all(self, takes_all: bool) -> None:
        """Take in every student found there, or only those who practise here."""
        self._set(lambda: take_all(self.practice.home, takes_all))

    def _set(self, setting: Callable[[], None]) -> None:
        try:
            setting()
        except SettingsError as error:
            self.show()
            self.trouble = str(error)
            return
        self.practice.syncing.forget_last()
        self.look()

    def look(self, *also: str) -> None:
        """Look into the folder now; take in these students, too."""
        self.said = say(LISTED) if also else ""
        self.practice.syncing.look(*also)
        self.show()
        if self.is_looking:
            Clock.schedule_interval(self._mind, 0.1)

    def _mind(self, *_: Any) -> bool:
        """Whether it is still to be waited for."""
        if self.practice.syncing.is_looking:
            return True
        self.show()
        found = self.practice.syncing.last
        if not self.said and found is not None:
            self.said = "" if found.taken or found.noted or found.written else say(NOTHING)
        self.dispatch("on_looked")
        return False

    def on_looked(self) -> None:
        """The folder was looked into."""


load_kv("in_step")
