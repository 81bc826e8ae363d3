"""Where decks, recordings, courses and the tradition lie in a folder, and reading what lies there.

Under decks a file is called by the deck's id, under recordings by its content, under courses by the
course's id.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from practice.bundle import TRADITION
from quizzes.decks.deck import Deck
from quizzes.decks.faults import DeckError, Fault
from quizzes.decks.reading import load_deck
from quizzes.tradition import load_words

HANDED = ".handed"
"""Beside the decks: each as it was handed over last."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A deck that lies in the folder; `deck` is None where its file has `faults`."""

    id: str
    path: Path
    deck: Deck | None
    faults: tuple[Fault, ...] = ()


class Lying:
    """What lies in `folder`, which need not be there; nothing is changed."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.recordings = folder / "recordings"
        self.tradition = folder / TRADITION
        self.tradition_before = folder / "tradition-before.toml"
        """The teacher's word that the last one to come replaced."""
        self._decks, self._courses = folder / "decks", folder / "courses"

    def deck(self, deck_id: str) -> Path:
        return self._decks / f"{deck_id}.toml"

    def handed(self, deck_id: str) -> Path:
        return self._decks / HANDED / f"{deck_id}.toml"

    def course(self, course_id: str) -> Path:
        return self._courses / f"{course_id}.toml"

    def deck_files(self) -> list[Path]:
        """Of all decks, readable or not, by their ids."""
        found = self._decks.glob("*.toml")
        return sorted(path for path in found if path.is_file() and not path.name.startswith("."))

    def texts(self) -> list[str]:
        """Of all decks. Raises OSError where one of them, or their folder, cannot be read."""
        if self._decks.exists():
            os.listdir(self._decks)  # a glob says nothing of what it may not see
        return [text_in(path) or "" for path in self.deck_files()]

    def stamp(self) -> tuple[tuple[str, int, int], ...]:
        """What tells whether anything here has changed: name, time and size of each file."""
        files = [
            *self.deck_files(),
            *sorted(self._courses.glob("*.toml")),
            *sorted(self.recordings.glob("*.wav")),
            self.tradition,
        ]
        found = []
        for path in files:
            with suppress(OSError):  # mostly there is no tradition
                state = path.stat()
                found.append((path.name, state.st_mtime_ns, state.st_size))
        return tuple(found)

    def words(self) -> str:
        """What is in force of the teacher's word, by which decks are read; mostly nothing."""
        return load_words(self.tradition).text if self.tradition.exists() else ""

    def decks(self) -> Iterator[Kept]:
        words = self.words()
        return (self.kept(path, words) for path in self.deck_files())

    def kept(self, path: Path, words: str) -> Kept:
        """The deck in a file that is there, read by the teacher's word."""
        try:
            deck = load_deck(path, self.recordings, tradition=words)
        except DeckError as error:
            return Kept(path.stem, path, None, error.faults)
        if deck.id != path.stem:
            wrong, remedy = f"{deck.id!r} is not the file's name", f"rename it to {deck.id}.toml"
            return Kept(path.stem, path, None, (Fault(path.name, 1, "deck", wrong, remedy),))
        return Kept(deck.id, path, deck)


def text_in(path: Path) -> str | None:
    """The text of a file, whatever it holds; None where there is none. Raises OSError."""
    try:
        return path.read_bytes().decode("utf-8", "surrogateescape")
    except FileNotFoundError:
        return None
