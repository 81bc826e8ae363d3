"""What is said of the shipped decks as their files have it; those of teachers stay as written."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path

FOLDER = Path(__file__).resolve().parent.parent.parent / "assets" / "decks"


def said_of_decks() -> Iterator[tuple[str, str]]:
    """(where, text) of the name of each and of what it is about."""
    for path in sorted(FOLDER.glob("*.toml")):
        head, where = tomllib.loads(path.read_text("utf-8")), f"assets/decks/{path.name}"
        yield where, head["name"]
        yield where, head["about"]
