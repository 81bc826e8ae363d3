"""A deck while it is being written: each change is in its file at once, and can be undone."""

from __future__ import annotations

import secrets
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from practice import Practice
from practice.errors import ShelfError
from practice.shelf import Kept
from quizzes.decks.asking import skills_of
from quizzes.decks.deck import Deck
from quizzes.decks.draft import Draft
from quizzes.decks.faults import DeckError, Fault
from screens.edited import Edited
from screens.hearing import lasts


class Editing(Edited):
    """The draft of one deck. Raises DeckError where the file is no TOML."""

    def __init__(self, practice: Practice, deck_id: str, draft: Draft, **kwargs: Any) -> None:
        self.practice, self.deck_id, self.draft = practice, deck_id, draft
        super().__init__(draft, **kwargs)

    def add(self, values: dict[str, Any]) -> int:
        """One more question, at the end; its place."""
        at = self.draft.add(values)
        self.keep()
        return at

    def add_all(self, entries: Sequence[Mapping[str, Any]]) -> None:
        """Questions at the end, all in one step."""
        self.draft.add_all(entries)
        self.keep()

    def read_again(self) -> None:
        """Take over what was written to the file meanwhile, such as a higher edition."""
        path = self.practice.shelf.folder / "decks" / f"{self.deck_id}.toml"
        self.draft.text = path.read_text("utf-8")
        self.look()
        self.changes += 1

    def duplicate(self, at: int) -> None:
        """The same question once more, after it."""
        self.draft.duplicate(at)
        self.keep()

    # Showing it as a student sees it.

    def to_preview(self, at: int) -> tuple[Deck, str] | None:
        """The deck, and a skill of one question; None while something is wrong with that."""
        try:
            (entry,) = self.draft.deck_of(at, **self._given()).entries
        except DeckError:
            return None
        try:
            deck = self.draft.deck(**self._given())
        except DeckError:
            deck = self.draft.deck_of(at, **self._given())
        skills = skills_of(replace(deck, entries=(entry,)), self.practice.given.tradition)
        return (deck, secrets.choice(skills).id) if skills else None

    def _given(self) -> dict[str, Any]:
        """By what a deck is read."""
        return {
            "recording": partial(lasts, self.practice),
            "tradition": self.practice.given.tradition,
        }

    # Keeping.

    def write(self, text: str) -> None:
        self.practice.shelf.write(self.deck_id, text)

    def find_faults(self) -> tuple[Fault, ...]:
        return self.draft.faults(**self._given())

    def find_faults_in(self, at: int) -> tuple[Fault, ...]:
        others = tuple(fault for fault in self.faults if fault.entry != at)
        return others + self.draft.faults_in(at, **self._given())


def opened(practice: Practice, kept: Kept) -> Editing:
    """What edits a deck that lies in the folder. Raises ShelfError where it cannot be read."""
    try:
        text = kept.path.read_text("utf-8")
        return Editing(practice, kept.id, Draft(text, kept.path.name))
    except DeckError as error:
        raise ShelfError(f"It can only be mended in its file, {kept.path}:\n{error}") from error
    except (OSError, UnicodeDecodeError) as error:
        raise ShelfError(str(error)) from error


def begun(practice: Practice, draft: Draft) -> Editing:
    """What edits a new deck, which is put into its file. Raises ShelfError."""
    deck_id = draft.head()["deck"]
    try:
        practice.shelf.write(deck_id, draft.text)
    except OSError as error:
        raise ShelfError(str(error)) from error
    return Editing(practice, deck_id, draft)
