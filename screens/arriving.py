"""What has arrived, before it is taken: what it holds or changes, or all that is wrong with it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.widget import Widget

from audio.errors import AudioError
from practice import Practice, PracticeError
from practice.arrival import Arrival, ArrivingDeck, ArrivingText
from quizzes.decks.deck import Asked, Deck, Entry
from quizzes.decks.draft import Draft
from quizzes.decks.faults import DeckError
from quizzes.decks.sheet import SheetError, load_sheet
from quizzes.names import counted, listed
from screens.editing import Editing
from screens.keys import KaanScreen
from screens.look import load_kv
from screens.narrowed_words import words_of_narrowed
from screens.soon import Soon
from screens.widgets import Column, Panel, Plate, Words

SHEET = ".csv"
ENDINGS = (".toml", ".zip", SHEET)
KEPT = "What is known of the questions that stay is kept."
TAKE_COURSE = "Take this course here"
LOOKING, TAKING = "Being looked at …", "Being taken in …"
SHOWN = 60
"""So many questions or faults are listed; of the rest it is said how many they are."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of what has arrived: its title, lines about it, and whether it is a fault."""

    title: str
    lines: tuple[str, ...] = ()
    wrong: bool = False


class ArrivingScreen(KaanScreen):
    """`on_done` is told in a sentence what was taken; "" where all was left."""

    title = StringProperty("")
    file = StringProperty("")
    take_words = StringProperty("")
    """What the plate says that takes it; "" where it cannot be taken."""
    leave_words = StringProperty("Back")
    trouble = StringProperty("")
    is_older = BooleanProperty(False)
    busy = BooleanProperty(False)
    """Whether it is about to be looked at or taken in, which recordings make long."""

    def __init__(self, practice: Practice, **kwargs: Any) -> None:
        self.practice = practice
        self._take: Callable[[], None] | None = None
        self._on_done: Callable[[str], None] = lambda said: None
        self._taken: list[str] = []
        self._decks: list[Deck] = []
        self._takes_long = False
        super().__init__(**kwargs)
        self._soon = Soon()

    def look(self, path: Path, *, on_done: Callable[[str], None]) -> None:
        """Look at a deck, a bundle or a sheet, and show what taking it would do."""
        self._begin(path, on_done)
        self._do_soon(LOOKING, lambda: self._look(path))

    def _look(self, path: Path) -> None:
        try:
            if path.suffix.lower() == SHEET:
                sheet = load_sheet(path)
                self._offer_sheet(sheet.deck, sheet.text)
            else:
                self._offer(self.practice.shelf.look(path))
        except (DeckError, SheetError, PracticeError) as error:
            self._refuse([str(fault) for fault in getattr(error, "faults", ())] or [str(error)])
        except (AudioError, OSError) as error:
            self._refuse([str(error)])

    def look_into(self, editing: Editing, path: Path, *, on_done: Callable[[str], None]) -> None:
        """Look at a sheet whose questions are to be added to a deck."""
        self._begin(path, on_done)
        try:
            sheet = load_sheet(path)
        except SheetError as error:
            self._refuse(error.faults)
            return
        count = counted(len(sheet.deck.entries), "question")
        self._show([Piece(f"{count.capitalize()} more", self._answered(sheet.deck.entries))])
        self._ready(
            "Add them",
            lambda: editing.add_all(Draft(sheet.text, path.name).entries()),
            f"{count.capitalize()} more.",
        )

    def _begin(self, path: Path, on_done: Callable[[str], None]) -> None:
        self._on_done, self._taken, self._decks = on_done, [], []
        self.file, self.is_older = str(path), False
        self._stay()
        self._turn("This would come in")

    def _do_soon(self, saying: str, do: Callable[[], None]) -> None:
        """Do it as soon as the screen was seen to say what is being done."""
        title, self.title, self.busy = self.title, saying, True
        self.ids.roll.to_top()

        def now() -> None:
            self.title, self.busy = title, False
            do()

        self._soon.do(now)

    def _stay(self) -> None:
        """Let nothing be done any more that was about to be."""
        self._soon.leave()
        self.busy = False

    def _turn(self, title: str) -> None:
        """Begin afresh, under this title."""
        self.title, self.trouble = title, ""
        self.take_words, self._take, self._takes_long = "", None, False
        self.leave_words = "Back"
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
        self._ready(
            words,
            lambda: shelf.take(arrival, older=older),
            "",
            lambda: self._offer_courses(arrival),
        )
        self._takes_long = bool(arrival.recordings)

    def _offer_courses(self, arrival: Arrival) -> bool:
        """Of what has come in, let a course be taken on this device; whether there is one that is
        not."""
        self._decks = [each.deck for each in arrival.decks]
        new = [course for course in arrival.courses if course.id != self.practice.settings.course]
        if not new:
            return False
        self._turn("It is here")
        self.leave_words = "Go on without it"
        told = [Piece("What has come in", (names,))] if (names := self._here()) else []
        one = new[0]
        if len(new) == 1:
            about = "Taken, it leads what is new in the practices to come, in place of "
            told.append(Piece(f"A course: {one.name}", (f"{about}{self.practice.course.name}.",)))
        self._show(told)
        if len(new) == 1:
            self._ready(TAKE_COURSE, lambda: self._take_course(one), taken_course(one))
            return True
        for course in new:
            panel = Panel()
            panel.add_widget(Words(text=f"A course: {course.name}", role="lead"))
            plate = Plate(text=TAKE_COURSE)
            plate.bind(on_release=lambda _, course=course: self._take_one(course))
            panel.add_widget(plate)
            self.ids.told.add_widget(panel)
        return True

    def _take_one(self, course: ArrivingText) -> None:
        self._ready(TAKE_COURSE, lambda: self._take_course(course), taken_course(course))
        self.take()

    def _take_course(self, course: ArrivingText) -> None:
        self.practice.save(replace(self.practice.settings, course=course.id))

    def _of_deck(self, arriving: ArrivingDeck) -> Piece:
        deck = arriving.deck
        if arriving.was is None:
            count = counted(len(deck.entries), "question").capitalize()
            about = (deck.about,) if deck.about else ()
            return Piece(f"{deck.name}: new", (*about, f"{count}:", *self._asked(deck.entries)))
        changes = arriving.changes or ("Nothing in it has changed.",)
        if arriving.changes:
            changes = (*changes, KEPT)
        if arriving.is_older:
            changes = ("It is older than what lies here.", *changes)
        return Piece(f"{deck.name}: another version", changes)

    def _offer_sheet(self, deck: Deck, text: str) -> None:
        shelf = self.practice.shelf
        known = {kept.id for kept in shelf.decks()}
        count = counted(len(deck.entries), "question").capitalize()
        lines = [f"{count}:", *self._answered(deck.entries)]
        if deck.id in known:
            lines.insert(0, "It replaces the deck that was made of this sheet before.")
        self._show([Piece(f"{deck.name}, from a sheet", tuple(lines))])
        self._ready("Take it", lambda: shelf.write(deck.id, text), f"{deck.name} is here.")

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

    def _asked(self, entries: Sequence[Entry]) -> tuple[str, ...]:
        """What each asks, and no answer: who looks may be a student."""
        return _numbered([self._name_of(entry) for entry in entries])

    def _answered(self, entries: Sequence[Entry]) -> tuple[str, ...]:
        """The same with what is right and wrong: a sheet is read to see whether it was meant so."""
        return _numbered([f"{self._name_of(entry)} {_answers(entry)}".strip() for entry in entries])

    def _name_of(self, entry: Entry) -> str:
        if isinstance(entry, Asked):
            return entry.name
        between = " " if entry.name.endswith("?") else ": "
        return f"{entry.name}{between}{words_of_narrowed(entry, self.practice.given.tradition)}."

    def _ready(
        self,
        words: str,
        take: Callable[[], None],
        done: str,
        then: Callable[[], bool] = lambda: False,
    ) -> None:
        """`words` stand on the plate that takes it, `done` is said afterwards; `then` is whether
        there is more to be decided."""
        self.take_words, self._take, self._done, self._then = words, take, done, then
        if self.leave_words == "Back":
            self.leave_words = "Leave it"

    # Taking.

    def take(self) -> None:
        """Take all of it, or say why that cannot be."""
        if self._take is None or self.busy:
            return
        if self._takes_long:
            self._do_soon(TAKING, self._take_now)
        else:
            self._take_now()

    def _take_now(self) -> None:
        assert self._take is not None
        try:
            self._take()
        except (PracticeError, AudioError, DeckError, OSError) as error:
            self.trouble = str(error)
            return
        self._take, self._taken = None, [*self._taken, self._done]
        self.practice.take_given()
        if not self._then():
            self._on_done(self._said())

    def back(self) -> None:
        self._stay()
        self._take = None
        self._on_done(self._said())

    def _said(self) -> str:
        """What was taken, and when the questions of the decks will come."""
        if not self._taken:
            return ""
        first = [deck.name for deck in self._decks if deck.id not in self.practice.course.decks]
        said = [self._here(), *self._taken]
        if len(self._decks) > len(first):
            said.append("Their questions come where the course has them.")
        elif first:
            whose = "Its" if len(first) == 1 else "Their"
            said.append(f"{whose} questions come first in the next practice.")
        return " ".join(filter(None, said)) or "It is here."

    def _here(self) -> str:
        names = [deck.name for deck in self._decks]
        return f"{listed(names)} {'is' if len(names) == 1 else 'are'} here." if names else ""

    def main_thing(self) -> Widget | None:
        return self.ids.take if self.take_words else self.ids.leave


def taken_course(course: ArrivingText) -> str:
    """What is said once the student of this device takes it."""
    return f"The course “{course.name}” is taken here."


def _numbered(texts: Sequence[str]) -> tuple[str, ...]:
    lines = tuple(f"{number}. {text}" for number, text in enumerate(texts[:SHOWN], 1))
    return lines if len(texts) <= SHOWN else (*lines, f"and {len(texts) - SHOWN} more")


def _answers(entry: Entry) -> str:
    if not isinstance(entry, Asked) or not entry.offered or entry.holds is not None:
        return ""
    right = listed([one.text for one in entry.offered if one.right])
    wrong = listed([one.text for one in entry.offered if not one.right])
    return f"Right: {right}. Wrong: {wrong}."


load_kv("arriving")
