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
from quizzes.names import capital, counted, listed
from screens.editing import Editing
from screens.keys import KaanScreen
from screens.look import load_kv
from screens.narrowed_words import words_of_narrowed
from screens.soon import Soon
from screens.widgets import Column, Panel, Plate, Words
from words import say, to_say

SHEET = ".csv"
ENDINGS = (".toml", ".zip", SHEET)
KEPT = to_say("What is known of the questions that stay is kept.")
TAKE_COURSE = to_say("Take this course here")
LOOKING, TAKING = to_say("Being looked at …"), to_say("Being taken in …")
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
    leave_words = StringProperty("")
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
        self._do_soon(say(LOOKING), lambda: self._look(path))

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
        more = capital(
            counted(len(sheet.deck.entries), "{number} question more", "{number} questions more")
        )
        self._show([Piece(more, self._answered(sheet.deck.entries))])
        self._ready(
            say("Add them"),
            lambda: editing.add_all(Draft(sheet.text, path.name).entries()),
            say("{more}.", more=more),
        )

    def _begin(self, path: Path, on_done: Callable[[str], None]) -> None:
        self._on_done, self._taken, self._decks = on_done, [], []
        self.file, self.is_older = str(path), False
        self._stay()
        self._turn(say("This would come in"))

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
        self.leave_words = say("Back")
        self.ids.told.clear_widgets()
        self.ids.roll.to_top()

    # What it is.

    def _offer(self, arrival: Arrival) -> None:
        told = [self._of_deck(each) for each in arrival.decks]
        for course in arrival.courses:
            told.append(
                Piece(
                    say("A course: {name}", name=course.name),
                    (
                        say("It replaces the course of that name here.")
                        if course.was
                        else say("It is new."),
                    ),
                )
            )
        if arrival.tradition is not None:
            said = (
                say("It replaces what is said of ragas, talas and stages here.")
                if arrival.tradition.was
                else say("It is new.")
            )
            told.append(Piece(say("A tradition"), (said,)))
        if arrival.recordings:
            count = len(arrival.recordings)
            told.append(Piece(capital(counted(count, "{number} recording", "{number} recordings"))))
        if arrival.unknown:
            told.append(Piece(say("Left out, as no deck needs it"), arrival.unknown))
        self._show(told)
        self.is_older = any(each.is_older for each in arrival.decks)
        words = say("Take the older ones all the same") if self.is_older else say("Take it")
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
        self._turn(say("It is here"))
        self.leave_words = say("Go on without it")
        told = [Piece(say("What has come in"), (names,))] if (names := self._here()) else []
        one = new[0]
        if len(new) == 1:
            about = say(
                "Taken, it leads what is new in the practices to come, in place of {course}.",
                course=self.practice.course.name,
            )
            told.append(Piece(say("A course: {name}", name=one.name), (about,)))
        self._show(told)
        if len(new) == 1:
            self._ready(say(TAKE_COURSE), lambda: self._take_course(one), taken_course(one))
            return True
        for course in new:
            panel = Panel()
            panel.add_widget(Words(text=say("A course: {name}", name=course.name), role="lead"))
            plate = Plate(text=say(TAKE_COURSE))
            plate.bind(on_release=lambda _, course=course: self._take_one(course))
            panel.add_widget(plate)
            self.ids.told.add_widget(panel)
        return True

    def _take_one(self, course: ArrivingText) -> None:
        self._ready(say(TAKE_COURSE), lambda: self._take_course(course), taken_course(course))
        self.take()

    def _take_course(self, course: ArrivingText) -> None:
        self.practice.save(replace(self.practice.settings, course=course.id))

    def _of_deck(self, arriving: ArrivingDeck) -> Piece:
        deck = arriving.deck
        if arriving.was is None:
            about = (deck.about,) if deck.about else ()
            lines = (*about, _questions_below(deck), *self._asked(deck.entries))
            return Piece(say("{name}: new", name=deck.name), lines)
        changes = arriving.changes or (say("Nothing in it has changed."),)
        if arriving.changes:
            changes = (*changes, say(KEPT))
        if arriving.is_older:
            changes = (say("It is older than what lies here."), *changes)
        return Piece(say("{name}: another version", name=deck.name), changes)

    def _offer_sheet(self, deck: Deck, text: str) -> None:
        shelf = self.practice.shelf
        known = {kept.id for kept in shelf.decks()}
        lines = [_questions_below(deck), *self._answered(deck.entries)]
        if deck.id in known:
            lines.insert(0, say("It replaces the deck that was made of this sheet before."))
        self._show([Piece(say("{name}, from a sheet", name=deck.name), tuple(lines))])
        done = say("{name} is here.", name=deck.name)
        self._ready(say("Take it"), lambda: shelf.write(deck.id, text), done)

    def _refuse(self, faults: Sequence[str]) -> None:
        """All that is wrong; nothing can be taken."""
        self.title = say("This cannot be taken")
        shown = tuple(faults[:SHOWN])
        if len(faults) > SHOWN:
            shown += (say("and {number} more", number=len(faults) - SHOWN),)
        count = counted(len(faults), "{number} thing to mend", "{number} things to mend")
        self._show([Piece(capital(count), shown, wrong=True)])

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
        between = " " if entry.name.endswith("?") else ": "  # a teacher's own, or Kaan's
        asks = words_of_narrowed(entry, self.practice.given.tradition)
        return f"{entry.name}{between}{asks}."

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
        if not self._taken:
            self.leave_words = say("Leave it")

    # Taking.

    def take(self) -> None:
        """Take all of it, or say why that cannot be."""
        if self._take is None or self.busy:
            return
        if self._takes_long:
            self._do_soon(say(TAKING), self._take_now)
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
            said.append(say("Their questions come where the course has them."))
        elif first:
            said.append(
                say("Its questions come first in the next practice.")
                if len(first) == 1
                else say("Their questions come first in the next practice.")
            )
        return " ".join(filter(None, said)) or say("It is here.")

    def _here(self) -> str:
        names = [deck.name for deck in self._decks]
        if len(names) == 1:
            return say("{name} is here.", name=names[0])
        return say("{names} are here.", names=listed(names)) if names else ""

    def main_thing(self) -> Widget | None:
        return self.ids.take if self.take_words else self.ids.leave


def taken_course(course: ArrivingText) -> str:
    """What is said once the student of this device takes it."""
    return say("The course “{name}” is taken here.", name=course.name)


def _numbered(texts: Sequence[str]) -> tuple[str, ...]:
    lines = tuple(f"{number}. {text}" for number, text in enumerate(texts[:SHOWN], 1))
    return (
        lines
        if len(texts) <= SHOWN
        else (*lines, say("and {number} more", number=len(texts) - SHOWN))
    )


def _answers(entry: Entry) -> str:
    if not isinstance(entry, Asked) or not entry.offered or entry.holds is not None:
        return ""
    right = listed([one.text for one in entry.offered if one.right])
    wrong = listed([one.text for one in entry.offered if not one.right])
    return say("Right: {right}. Wrong: {wrong}.", right=right, wrong=wrong)


def _questions_below(deck: Deck) -> str:
    """`Three questions:`"""
    return capital(counted(len(deck.entries), "{number} question:", "{number} questions:"))


load_kv("arriving")
