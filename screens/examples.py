"""The decks that are shipped as examples: to be copied, tried and changed."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from quizzes.decks.draft import Draft
from quizzes.decks.said import FOLDER
from quizzes.ids import new_id


@dataclass(frozen=True, slots=True)
class Example:
    """A shipped deck, as a list tells it: `name` and `about` are to be said."""

    path: Path
    name: str
    about: str
    questions: int


@cache
def examples() -> tuple[Example, ...]:
    """All of them, by name; nothing changes them while the app runs."""
    found = []
    for path in FOLDER.glob("*.toml"):
        head = tomllib.loads(path.read_text("utf-8"))
        found.append(Example(path, head["name"], head["about"], len(head["question"])))
    return tuple(sorted(found, key=lambda example: example.name))


def copy_of(example: Example) -> Draft:
    """A deck that begins as the example, with an id that nobody else has. Raises OSError."""
    identity = new_id(example.name, "deck")
    draft = Draft(example.path.read_text("utf-8"), example.path.name)
    draft.set_head(deck=identity, by=None)
    return Draft(draft.text, f"{identity}.toml")
