"""Decks read from their files; `DECKS.md` says how one is written.

A deck that is wrong in anything is not taken. All that is wrong is told at once, each fault with
its file, line and field, and what would be right. The fields of a question are named from the
question on, and counted from 1: `prompt`, `choice 2, text`, `phrases, yaman, 1`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from audio.recorded import seconds_of
from quizzes.decks import heard, narrowed, own
from quizzes.decks.collecting import Full, Noted, Part, such_as
from quizzes.decks.deck import FORMS, KIND, Cue, Deck, Entry, Narrowed
from quizzes.decks.faults import DeckError
from quizzes.decks.heard import Lookup, usual_of
from quizzes.decks.limits import (
    HIGHEST_EDITION,
    LONGEST_ID,
    LONGEST_NAME,
    LONGEST_TEXT,
    MOST_QUESTIONS,
    MOST_TRIED,
)
from quizzes.decks.narrowing import PHRASES, check_narrowed
from quizzes.decks.parsing import read_text, text_of, values_of
from quizzes.fields import shown
from quizzes.ids import is_id, names_file
from quizzes.kinds import KINDS
from quizzes.ragas import ragas
from quizzes.talas import talas

__all__ = ["KEYS", "load_deck", "read_deck", "read_text", "text_of"]

KEYS = ("deck", "name", "about", "by", "edition", *heard.USUAL, "question")
"""At the top of the file."""


def load_deck(path: Path, recordings: Path, *, tradition: str = "") -> Deck:
    """The deck of a file, whose recordings lie in that folder. Raises DeckError."""
    return read_deck(read_text(path), path.name, recording=_lookup(recordings), tradition=tradition)


def read_deck(text: str, file: str, *, recording: Lookup = None, tradition: str = "") -> Deck:
    """The deck of a text; `file` is what it is called in messages.

    `recording` gives the seconds of a recording by name, or raises KeyError where there is none and
    RecordingError where it is damaged; without it they are not looked for. `tradition` is a
    teacher's word, which may know of more ragas and talas. Raises DeckError with every fault.
    """
    values, places = values_of(text, file)
    noted = Noted(file, places)
    try:
        deck = _Reading(Part(values, (), noted), recording, tradition).deck()
    except Full:
        raise DeckError(noted.faults) from None
    if noted.faults:
        raise DeckError(sorted(noted.faults, key=lambda fault: fault.line))
    return deck


class _Reading:
    """One deck as it is read."""

    def __init__(self, part: Part, recording: Lookup, tradition: str) -> None:
        self._part, self._recording, self._tradition = part, recording, tradition
        self._ragas, self._talas = ragas(tradition), talas(tradition)
        self._lines: dict[str, int] = {}
        """At which line each id of a question stands."""
        self._tried: int | None = 0
        """Of how many skills it was tried whether they can be asked so; None when no more are."""

    def deck(self) -> Deck:
        part = self._part
        part.only(KEYS, _BELOW)
        identity = _identity(part, "deck")
        if identity and not names_file(identity):
            said = f"no file may be called {shown(identity)} on every system"
            part.fault("deck", said, "give the deck another id")
        edition = part.number("edition", 1, HIGHEST_EDITION, whole=True)
        return Deck(
            id=identity,
            name=part.text("name", most=LONGEST_NAME, remedy="say what the deck is called"),
            about=part.text("about", most=LONGEST_TEXT, needed=False, lines=True),
            by=part.text("by", most=LONGEST_NAME, needed=False),
            edition=int(edition or 1),
            entries=self._entries(usual_of(part)),
        )

    def _entries(self, usual: Cue) -> tuple[Entry, ...]:
        entries = []
        for number, part in enumerate(self._part.tables("question")):
            if number == MOST_QUESTIONS:
                said = f"there are more than {MOST_QUESTIONS} questions"
                part.wrong(said, "share them out over several decks")
                break
            entry = self._entry(part, usual)
            if entry is not None:
                entries.append(entry)
        if self._part.values.get("question") == [] or self._part.lacks("question"):
            self._part.fault("question", "there is none", "write at least one [[question]]")
        return tuple(entries)

    def _entry(self, part: Part, usual: Cue) -> Entry | None:
        told = part.values.get("kind")
        kind = told.strip() if isinstance(told, str) else ""
        if kind in FORMS:
            part.only((*own.SHARED, *own.KEYS[kind]), _elsewhere(kind))
        elif kind in _NARROWED:
            part.only(narrowed.KEYS, _elsewhere(kind))
        else:
            part.only(_OF_QUESTIONS, _elsewhere(""))
        identity = _identity(part, "id")
        if identity in self._lines:
            said = f"{identity} stands there already, at line {self._lines[identity]}"
            part.fault("id", said, "give each question an id of its own")
        elif identity:
            self._lines[identity] = part.line_of("id")
        kind = part.text("kind", most=LONGEST_NAME, remedy="write one of " + ", ".join(FORMS))
        if kind in FORMS:
            return own.asked_of(part, identity, kind, usual, self._talas, self._recording)
        if kind in _NARROWED:
            before = part.faults
            entry = narrowed.narrowed_of(
                part, identity, kind, self._ragas, self._talas, self._tradition
            )
            if part.faults == before:
                self._check_among(part, entry)
            return entry
        if kind:
            known = such_as(kind, [*FORMS, *_NARROWED])
            part.fault("kind", f"{shown(kind)} is no kind known here", known)
        return None

    def _check_among(self, part: Part, entry: Narrowed) -> None:
        """Whether a kind can offer what is named alone. That is tried, and takes its time: so of
        few skills, and no more once a fault was found so."""
        if not entry.among or entry.kind == PHRASES or self._tried is None:
            return
        self._tried += len(entry.skills)
        if self._tried > MOST_TRIED:
            said = f"stands beside more than {MOST_TRIED} skills in this deck"
            part.fault("among", said, "leave it out, or share the questions out over two decks")
            self._tried = None
            return
        for field, wrong, remedy in check_narrowed(entry, self._tradition):
            part.fault(field, wrong, remedy)
            self._tried = None


def _identity(part: Part, field: str) -> str:
    remedy = "write small letters of a to z, digits and hyphens, such as first-gaps"
    text = part.text(field, most=LONGEST_ID, remedy=remedy)
    if text and not is_id(text):
        part.fault(field, f"{shown(text)} is no id", remedy)
        return ""
    return text


_NARROWED = tuple(kind for kind in KINDS if kind != KIND)
"""The kinds of Kaan that a question can narrow."""
_OF_QUESTIONS = {*own.SHARED, *narrowed.KEYS, *(key for keys in own.KEYS.values() for key in keys)}
_BELOW = dict.fromkeys(_OF_QUESTIONS - set(KEYS), "put it below a [[question]]")


def _elsewhere(kind: str) -> Mapping[str, str]:
    """Of the keys that this kind has not, which have them."""
    found: dict[str, Any] = {}
    if kind in FORMS:
        for key in narrowed.KEYS:
            found[key] = f"leave it out; it narrows a kind of Kaan, and {kind} is none"
    else:
        for key in own.SHARED:
            found[key] = f"leave it out; {kind} sounds and asks in its own way"
    for form, keys in own.KEYS.items():
        for key in keys:
            found.setdefault(key, f"leave it out; it is of {form}, not of {kind}")
    for key in KEYS:
        found.setdefault(key, "put it at the top of the file, above the first [[question]]")
    return found


def _lookup(folder: Path) -> Callable[[str], float]:
    def seconds(name: str) -> float:
        path = folder / name
        if not path.exists():
            raise KeyError(name)
        return seconds_of(path)

    return seconds
