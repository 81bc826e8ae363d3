"""What is handed over as a file: what the file is called, and what is said afterwards."""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Iterable
from pathlib import Path

from practice.bundle import TRADITION
from quizzes.ids import names_file, slug
from words import say


def handed_words(path: Path, files: Collection[str]) -> str:
    """What was handed over as which file; `files` are what it holds."""
    handed = say("Handed over. Give this file to your students: {file}", file=path)
    besides = say("Your tradition goes with it.") if TRADITION in files else ""
    return "\n".join(filter(None, (handed, besides)))


def file_name(name: str, identity: str, others: Iterable[str]) -> str:
    """`phrases-of-june.zip` for Phrases of June; by the id where another name gives the same, or
    where it gives none that is a file's on every system."""
    stem = slug(name)
    fits = names_file(stem) and all(slug(other) != stem for other in others)
    return f"{stem if fits else identity}.zip"


def free_path(path: Path, files: Callable[[Path], Iterable[Path]] = lambda path: (path,)) -> Path:
    """The path, or where a file lies there the first with a number that is free; `files` are those
    that would be written for a path, where there are several."""
    number, free = 2, path
    while any(map(os.path.lexists, files(free))):  # false, too, where nobody may look
        free = path.with_stem(f"{path.stem}-{number}")
        number += 1
    return free
