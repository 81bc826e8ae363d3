"""A deck under edit: its file as text, changed question by question with everything else kept.

    draft = Draft.new("First gaps")
    at = draft.add({"kind": "true-or-false", "prompt": "Pa lies above Ma.", "holds": True})
    draft.put(at, holds=None)
    draft.entries()[at]  # {'id': 'pa-lies-above-ma', 'kind': 'true-or-false', 'prompt': …}
    draft.undo()

What a question holds are the values of its file as `DECKS.md` tells them: `choice`, `reason` and
`before` are lists of dicts, `phrases` is a dict of lists.
"""

from __future__ import annotations

import secrets
import string
import time
import unicodedata
from collections.abc import Callable, Collection, Mapping
from dataclasses import replace
from typing import Any

from quizzes.decks.deck import Deck
from quizzes.decks.faults import DeckError, Fault
from quizzes.decks.heard import Lookup
from quizzes.decks.limits import LONGEST_ID
from quizzes.decks.reading import read_deck
from quizzes.drafts import Order, TextDraft

ORDER: Order = {
    (): ("deck", "name", "about", "by", "edition", "tuning", "tempo", "voice", "drone"),
    ("question",): (
        "id",
        "kind",
        "prompt",
        "name",
        "sargam",
        "recording",
        "theka",
        "cycles",
        "tempo",
        "tuning",
        "voice",
        "drone",
        "skills",
        "ask",
        "ragas",
        "talas",
        "among",
        "things",
        "right",
        "holds",
        "why",
        "phrases",
        "choice",
        "reason",
        "before",
    ),
    ("question", "choice"): ("text", "right", "why", "sargam"),
    ("question", "reason"): ("text", "holds", "right", "why"),
    ("question", "before"): ("first", "then", "why"),
}
"""In which order a person who reads a file expects its fields."""
TABLES = ("phrases", "choice", "reason", "before")
QUESTIONS = "question"
RANDOM_LETTERS = 5


class Draft:
    """A deck's text while a teacher edits it; `file` is what it is called in messages.

    A text that is no TOML is held all the same: `text` gives it and takes another, `faults` says
    what is wrong, and whatever else is asked of it raises DeckError.
    """

    def __init__(
        self, text: str, file: str, *, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self.file = file
        self._draft = TextDraft(text, file, order=ORDER, clock=clock)
        self._unnamed: str | None = None
        """The id of the question that was added last, while its prompt has yet to be written."""

    @classmethod
    def new(cls, name: str) -> Draft:
        """A deck without questions, whose id nobody else has."""
        drawn = "".join(secrets.choice(string.ascii_lowercase) for _ in range(RANDOM_LETTERS))
        begun = slug(name, LONGEST_ID - RANDOM_LETTERS - 1) or "deck"
        draft = cls("", f"{begun}-{drawn}.toml")
        draft._draft.put((), deck=f"{begun}-{drawn}", name=name)
        return cls(draft.text, draft.file)

    @property
    def text(self) -> str:
        return self._draft.text

    @text.setter
    def text(self, text: str) -> None:
        self._unnamed = None
        self._draft.text = text

    # What stands there.

    def deck(self, *, recording: Lookup = None, tradition: str = "") -> Deck:
        """The deck as it would be asked; see `read_deck`. Raises DeckError with every fault."""
        return read_deck(self.text, self.file, recording=recording, tradition=tradition)

    def faults(self, *, recording: Lookup = None, tradition: str = "") -> tuple[Fault, ...]:
        """All that is wrong with it."""
        try:
            self.deck(recording=recording, tradition=tradition)
        except DeckError as error:
            return error.faults
        return ()

    def faults_in(
        self, at: int, *, recording: Lookup = None, tradition: str = ""
    ) -> tuple[Fault, ...]:
        """What is wrong within a question, found without the time that the whole deck takes; that
        another question has its id is not told."""
        found = self._readable().alone(QUESTIONS, at)
        if found is None:
            every = self.faults(recording=recording, tradition=tradition)
            return tuple(fault for fault in every if fault.entry == at)
        text, lines, lower = found
        try:
            read_deck(text, self.file, recording=recording, tradition=tradition)
        except DeckError as error:
            return tuple(
                replace(fault, entry=at, line=fault.line + lower * (fault.line > lines))
                for fault in error.faults
                if fault.entry == 0
            )
        return ()

    def head(self) -> dict[str, Any]:
        """What stands above the questions."""
        draft = self._readable()
        return {name: draft.value(name) for name in draft.names() if name != QUESTIONS}

    def entries(self) -> list[dict[str, Any]]:
        """The questions, in order."""
        found = self._readable().value(QUESTIONS)
        listed = found if isinstance(found, list) else []
        return [each if isinstance(each, dict) else {} for each in listed]

    def entry(self, at: int) -> dict[str, Any]:
        """One of the questions, without the time that all of them take. Raises IndexError."""
        found = self._readable().value(QUESTIONS, at) if at >= 0 else None
        if found is None:
            raise IndexError(f"there is no question {at}")
        return found if isinstance(found, dict) else {}

    # Edits.

    def set_head(self, **values: Any) -> None:
        """Set what stands above the questions; None takes a field out."""
        if QUESTIONS in values:
            raise TypeError("questions are changed by put, add, duplicate, move and remove")
        self._unnamed = None
        self._readable().put((), values)

    def put(self, at: int, **values: Any) -> None:
        """Set fields of a question; None takes a field out, and so does a list without tables.

        Only what differs is written anew. The prompt gives a new question its id while it is
        written for the first time; afterwards the id stays.
        """
        now = self.entry(at)
        if self._unnamed is None or now.get("id") != self._unnamed:
            self._unnamed = None
        elif "prompt" in values:
            self._unnamed = self._free_id(values["prompt"], now.get("kind"), but=self._unnamed)
            values["id"] = self._unnamed
        elif now.get("prompt"):
            self._unnamed = None
        for table in TABLES:
            if table in values and not values[table]:
                values[table] = None
        self._draft.put((QUESTIONS, at), values)

    def add(self, values: Mapping[str, Any], at: int | None = None) -> int:
        """A new question before the one at `at`, or at the end; where it is. It gets an id of its
        own if its values bring none, or one that another question has."""
        known = values.get("id") or values.get("prompt") or values.get("name")
        identity = self._free_id(known, values.get("kind"))
        given = {key: value for key, value in values.items() if value or key not in TABLES}
        at = self._readable().add((QUESTIONS,), {**given, "id": identity}, at)
        self._unnamed = None if known else identity
        return at

    def duplicate(self, at: int) -> int:
        """A copy right behind a question, with another id; where it is."""
        now = self.entry(at)
        self._unnamed = None
        identity = self._free_id(now.get("id") or now.get("prompt"), now.get("kind"))
        return self._draft.duplicate((QUESTIONS,), at, id=identity)

    def move(self, at: int, to: int) -> None:
        """Bring a question to another place."""
        self.entry(at), self.entry(to)
        self._unnamed = None
        self._draft.move((QUESTIONS,), at, to)

    def remove(self, at: int) -> None:
        """Take a question out, with the comments that stand right above it."""
        self.entry(at)
        self._unnamed = None
        self._draft.remove((QUESTIONS,), at)

    # Undo.

    @property
    def can_undo(self) -> bool:
        return self._draft.can_undo

    @property
    def can_redo(self) -> bool:
        return self._draft.can_redo

    def undo(self) -> bool:
        """Back before the last edit; whether there was one."""
        self._unnamed = None
        return self._draft.undo()

    def redo(self) -> bool:
        """Do again what was undone last; whether there was anything."""
        self._unnamed = None
        return self._draft.redo()

    def _readable(self) -> TextDraft:
        if self._draft.wrong:
            raise DeckError(self.faults())
        return self._draft

    def _free_id(self, text: Any, kind: Any, *, but: str | None = None) -> str:
        """An id from a text that no question has, except one that has the id `but`."""
        taken = {each.get("id") for each in self.entries()} - {but}
        return _unique(slug(text, LONGEST_ID) or slug(kind, LONGEST_ID) or QUESTIONS, taken)


def slug(text: Any, most: int) -> str:
    """`On which swara?` as `on-which-swara`; whole words, if one of them fits."""
    spread = unicodedata.normalize("NFKD", text if isinstance(text, str) else "")
    letters = "".join(sign for sign in spread.lower() if not unicodedata.combining(sign))
    words = "".join(sign if sign.isascii() and sign.isalnum() else " " for sign in letters).split()
    found = ""
    for word in words:
        longer = f"{found}-{word}" if found else word[:most]
        if len(longer) > most:
            break
        found = longer
    return found


def _unique(slug: str, taken: Collection[Any]) -> str:
    """The slug itself, or with the first number from 2 that makes it one of its own."""
    found, number = slug, 1
    while found in taken:
        number += 1
        end = f"-{number}"
        found = slug[: LONGEST_ID - len(end)].rstrip("-") + end
    return found
