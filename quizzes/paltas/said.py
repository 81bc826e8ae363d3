"""What paltas, their grades and layouts are called in the language in use."""

from __future__ import annotations

from collections.abc import Iterator

from quizzes.paltas.palta import Grade, Layout, Palta
from quizzes.paltas.reading import grades, layouts, paltas
from words import say


def palta_name(palta: Palta) -> str:
    """`three up and back`, as it stands within a sentence."""
    return say(palta.name)


def grade_name(grade: Grade) -> str:
    """`groups of four`."""
    return say(grade.name)


def layout_name(layout: Layout) -> str:
    """`two to a matra`."""
    return say(layout.name)


def said_of_paltas() -> Iterator[tuple[str, str]]:
    """(where, text) of all names in the file of paltas."""
    for each in (*grades(), *layouts().values(), *paltas().values()):
        yield "assets/paltas.toml", each.name
