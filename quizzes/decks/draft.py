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

import time
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import replace
from typing import Any

from quizzes.decks import own, reading
from quizzes.decks.deck import Deck
from quizzes.decks.faults import DeckError, Fault
from quizzes.decks.heard import Lookup
from quizzes.decks.reading import read_deck
from quizzes.drafts import ListDraft, Order, TextDraft
from quizzes.ids import new_id, slug, unique

ORDER: Order = {
    (): reading.KEYS,
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
    ("question", "choice"): own.CHOICE_KEYS,
    ("question", "reason"): own.REASON_KEYS,
    ("question", "before"): own.BEFORE_KEYS,
}
"""In which order a person who reads a file expects its fields."""
TABLES = ("phrases", "choice", "reason", "before")
QUESTIONS = "question"


class Draft(ListDraft):
    """A deck's text while a teacher edits it; `file` is what it is called in messages.

    A text that is no TOML is held all the same: `text` gives it and takes another, `faults` says
    what is wrong, and whatever else is asked of it raises DeckError.
    """

    def __init__(
        self, text: str, file: str, *, clock: Callable[[], float] = time.monotonic
    ) -> None:
        super().__init__(text, file, many=QUESTIONS, order=ORDER, clock=clock)
        self._unnamed: tuple[str, str] | None = None
        """The id of a question that was added without a prompt, and the text of the deck, as long
        as nothing else was edited; the prompt is yet to be written, or is being written."""

    @classmethod
    def new(cls, name: str) -> Draft:
        """A deck without questions, whose id nobody else has."""
        identity = new_id(name, "deck")
        draft = cls("", f"{identity}.toml")
        draft.set_head(deck=identity, name=name)
        return cls(draft.text, draft.file)

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

    def deck_of(self, at: int, *, recording: Lookup = None, tradition: str = "") -> Deck:
        """The deck with one question alone, in little time, whatever is wrong with the others; a
        fault bears line and question as in the whole deck. Raises DeckError and IndexError."""
        entry = self.entry(at)
        found = self._readable().alone(QUESTIONS, at)
        if found is None:  # the questions are written as one list in brackets
            alone = TextDraft(self.text, self.file)
            alone.put((), {QUESTIONS: [entry]})
            found = alone.text, 0, 0
        text, lines, lower = found
        try:
            return read_deck(text, self.file, recording=recording, tradition=tradition)
        except DeckError as error:
            raise DeckError(
                replace(
                    fault,
                    entry=None if fault.entry is None else at,
                    line=fault.line + lower * (fault.line > lines),
                )
                for fault in error.faults
            ) from None

    def faults_in(
        self, at: int, *, recording: Lookup = None, tradition: str = ""
    ) -> tuple[Fault, ...]:
        """What is wrong within a question, in little time; that another question has its id is not
        told. Raises IndexError."""
        self._readable()
        try:
            self.deck_of(at, recording=recording, tradition=tradition)
        except DeckError as error:
            return tuple(fault for fault in error.faults if fault.entry == at)
        return ()

    def put(self, at: int, **values: Any) -> None:
        """Set fields of a question; None takes a field out, and so does a list without tables.

        Only what differs is written anew. The prompt gives a new question its id while it is
        written for the first time; afterwards the id stays. Raises IndexError.
        """
        now = self.entry(at)
        unnamed = str(now.get("id"))
        if self._unnamed != (unnamed, self.text) or (now.get("prompt") and "prompt" not in values):
            self._unnamed = None
        elif "prompt" in values:
            unnamed = _free(values["prompt"], now.get("kind"), self._ids() - {unnamed})
            values["id"] = unnamed
        for table in TABLES:
            if table in values and not values[table]:
                values[table] = None
        super().put(at, **values)
        if self._unnamed is not None:
            self._unnamed = unnamed, self.text

    def add(self, values: Mapping[str, Any], at: int | None = None) -> int:
        """A new question before the one at `at`, or at the end; where it is. It gets an id of its
        own if its values bring none, or one that another question has."""
        at = self.add_all([values], at)
        if not _named_by(values):
            self._unnamed = self.entry(at)["id"], self.text
        return at

    def add_all(self, rows: Iterable[Mapping[str, Any]], at: int | None = None) -> int:
        """The same of several questions, which are undone together; where the first of them is."""
        taken = self._ids()
        new = []
        for row in rows:
            identity = _free(_named_by(row), row.get("kind"), taken)
            taken.add(identity)
            kept = {key: value for key, value in row.items() if value or key not in TABLES}
            new.append({**kept, "id": identity})
        return super().add_all(new, at)

    def duplicate(self, at: int) -> int:
        """A copy right behind a question, with another id; where it is. Raises IndexError."""
        now = self.entry(at)
        return self._copy(at, id=_free(_named_by(now), now.get("kind"), self._ids()))

    def _replace(self, text: str) -> None:
        self._unnamed = None
        super()._replace(text)

    def _readable(self) -> TextDraft:
        if self.wrong:
            raise DeckError(self.faults())
        return self._draft

    def _ids(self) -> set[str]:
        return {each["id"] for each in self.entries() if isinstance(each.get("id"), str)}


def _named_by(values: Mapping[str, Any]) -> Any:
    """What an id is made from."""
    return values.get("id") or values.get("prompt") or values.get("name")


def _free(text: Any, kind: Any, taken: Collection[str]) -> str:
    """An id from a text, else from the question's kind, that is not taken."""
    return unique(slug(text) or slug(kind) or QUESTIONS, taken)
