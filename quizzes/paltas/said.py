"""What paltas, their grades and layouts are called, in the language in use."""

from __future__ import annotations

from collections.abc import Iterator

from quizzes.paltas.palta import Grade, Palta
from quizzes.paltas.reading import grades, layouts, paltas
from words import say


def palta_name(palta: Palta) -> str:
    """`three up and back`, as it stands within a sentence."""
    return say(palta.name)


def grade_name(grade: Grade) -> str:
    """`groups of four`."""
    return say(grade.name)


def said_of_paltas() -> Iterator[tuple[str, str]]:
    """(where, text) of all names in the file of paltas."""
    names = [grade.name for grade in grades()]
    names += [layout.name for layout in layouts().values()]
    names += [palta.name for palta in paltas().values()]
    yield from (("assets/paltas.toml", name) for name in names)
