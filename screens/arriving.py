"""What has arrived, before it is taken: what it holds or changes, or all that is wrong with it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.widget import Widget

from audio.errors import AudioError
from practice import Practice, PracticeError
from practice.arrival import Arrival, ArrivingDeck
from quizzes.decks.deck import Asked, Deck, Entry
from quizzes.decks.draft import Draft
from quizzes.decks.faults import DeckError
from quizzes.decks.sheet import SheetError, read_sheet
from quizzes.names import counted, listed
from screens.editing import Editing
from screens.keys import KaanScreen
from screens.look import load_kv
from screens.widgets import Column, Panel, Words

SHEET = ".csv"
ENDINGS = (".toml", ".zip", SHEET)
SHOWN = 60
"""So many questions or faults are listed; of the rest it is said how many they are."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of what has arrived: its title, lines about it, and whether it is a fault."""

    title: str
    lines: tuple[str, ...] = ()
    wrong: bool = False


class ArrivingScreen(KaanScreen):
    """`on_done` is called when all was taken or left."""

    title = StringProperty("")
    file = StringProperty("")
    take_words = StringProperty("")
    """What the plate says that takes it; "" where it cannot be taken."""
    trouble = StringProperty("")
    is_older = BooleanProperty(False)

    def __init__(self, practice: Practice, **kwargs: Any) -> None:
        self.practice = practice
        self._take: Callable[[], None] | None = None
        self._on_done: Callable[[], None] = lambda: None
        super().__init__(**kwargs)

    def look(self, path: Path, *, on_done: Callable[[], None]) -> None:
        """Look at a deck, a bundle or a sheet, and show what taking it would do."""
        self._begin(path, on_done)
        try:
            if path.suffix.lower() == SHEET:
                sheet = read_sheet(path.read_bytes(), path.name)
                self._offer_sheet(sheet.deck, sheet.text)
            else:
                self._offer(self.practice.shelf.look(path))
        except (DeckError, SheetError, PracticeError) as error:
            self._refuse([str(fault) for fault in getattr(error, "faults", ())] or [str(error)])
        except (AudioError, OSError) as error:
            self._refuse([str(error)])

    def look_into(self, editing: Editing, path: Path, *, on_done: Callable[[], None]) -> None:
        """Look at a sheet whose questions are to be added to a deck."""
        self._begin(path, on_done)
        try:
            sheet = read_sheet(path.read_bytes(), path.name)
        except SheetError as error:
            self._refuse(error.faults)
            return
        except OSError as error:
            self._refuse([str(error)])
            return
        count = counted(len(sheet.deck.entries), "question")
        self._show([Piece(f"{count.capitalize()} more", questions_of(sheet.deck.entries))])
        self._ready("Add them", lambda: editing.add_all(Draft(sheet.text, path.name).entries()))

    def _begin(self, path: Path, on_done: Callable[[], None]) -> None:
        self._on_done, self._take = on_done, None
        self.file, self.trouble, self.take_words = str(path), "", ""
        self.is_older = False
        self.title = "This would come in"
        self.ids.told.clear_widgets()
        self.ids.roll.to_top()

    # What it is.

    def _offer(self, arrival: Arrival) -> None:
        told = [self._of_deck(each) for each in arrival.decks]
        for course in arrival.courses:
            replaced = "It replaces the course of that name here." if course.was else "It is new."
            told.append(Piece(f"A course: {course.name}", (replaced,)))
        if arrival.tradition is not None:
            said = "It replaces what is said of ragas, talas and stages here."
            told.append(Piece("A tradition", (said if arrival.tradition.was else "It is new.",)))
        if arrival.recordings:
            told.append(Piece(counted(len(arrival.recordings), "recording").capitalize()))
        if arrival.unknown:
            told.append(Piece("Left out, as no deck needs it", arrival.unknown))
        self._show(told)
        self.is_older = any(each.is_older for each in arrival.decks)
        words = "Take the older ones all the same" if self.is_older else "Take it"
        shelf, older = self.practice.shelf, self.is_older
        self._ready(words, lambda: shelf.take(arrival, older=older))

    def _of_deck(self, arriving: ArrivingDeck) -> Piece:
        deck = arriving.deck
        if arriving.was is None:
            count = counted(len(deck.entries), "question").capitalize()
            about = (deck.about,) if deck.about else ()
            return Piece(f"{deck.name}: new", (*about, f"{count}:", *questions_of(deck.entries)))
        changes = arriving.changes or ("Nothing in it has changed.",)
        if arriving.is_older:
            changes = ("It is older than what lies here.", *changes)
        return Piece(f"{deck.name}: another version", changes)

    def _offer_sheet(self, deck: Deck, text: str) -> None:
        shelf = self.practice.shelf
        known = {kept.id for kept in shelf.decks()}
        count = counted(len(deck.entries), "question").capitalize()
        lines = [f"{count}:", *questions_of(deck.entries)]
        if deck.id in known:
            lines.insert(0, "It replaces the deck that was made of this sheet before.")
        self._show([Piece(f"{deck.name}, from a sheet", tuple(lines))])
        self._ready("Take it", lambda: shelf.write(deck.id, text))

    def _refuse(self, faults: Sequence[str]) -> None:
        """All that is wrong; nothing can be taken."""
        self.title = "This cannot be taken"
        shown = tuple(faults[:SHOWN])
        if len(faults) > SHOWN:
            shown += (f"and {len(faults) - SHOWN} more",)
        count = counted(len(faults), "thing").capitalize()
        self._show([Piece(f"{count} to mend", shown, wrong=True)])

    def _show(self, told: Sequence[Piece]) -> None:
        for one in told:
            panel = Panel()
            panel.add_widget(Words(text=one.title, role="lead"))
            tone = "otherwise" if one.wrong else "soft"
            inner = Column()
            for line in one.lines:
                inner.add_widget(Words(text=line, role="small", tone=tone))
            panel.add_widget(inner)
            self.ids.told.add_widget(panel)

    def _ready(self, words: str, take: Callable[[], None]) -> None:
        self.take_words, self._take = words, take

    # Taking.

    def take(self) -> None:
        """Take all of it, or say why that cannot be."""
        if self._take is None:
            return
        try:
            self._take()
        except (PracticeError, AudioError, DeckError, OSError) as error:
            self.trouble = str(error)
            return
        self._take = None
        self.practice.take_given()
        self._on_done()

    def back(self) -> None:
        self._take = None
        self._on_done()

    def main_thing(self) -> Widget | None:
        return self.ids.take if self.take_words else self.ids.leave


def questions_of(entries: Sequence[Entry]) -> tuple[str, ...]:
    """Each with what is right in it."""
    lines = tuple(f"{number}. {_of(entry)}" for number, entry in enumerate(entries[:SHOWN], 1))
    return lines if len(entries) <= SHOWN else (*lines, f"and {len(entries) - SHOWN} more")


def _of(entry: Entry) -> str:
    if not isinstance(entry, Asked) or not entry.offered or entry.holds is not None:
        return entry.name
    right = listed([one.text for one in entry.offered if one.right])
    wrong = listed([one.text for one in entry.offered if not one.right])
    return f"{entry.name} Right: {right}. Wrong: {wrong}."


load_kv("arriving")
