"""What is said of data, beside what is said in the code: the names of ragas, talas and the like."""

from __future__ import annotations

from collections.abc import Iterator

from quizzes.courses_said import said_of_courses
from quizzes.decks.said import said_of_decks
from quizzes.hands_said import said_of_hands
from quizzes.paltas.said import said_of_paltas
from quizzes.ragas.said import said_of_ragas
from quizzes.stages.said import said_of_stages
from quizzes.talas.said import said_of_talas


def said_in_data() -> Iterator[tuple[str, str]]:
    """(where, text) of all that is shown from data and translated."""
    yield from said_of_ragas()
    yield from said_of_talas()
    yield from said_of_stages()
    yield from said_of_paltas()
    yield from said_of_hands()
    yield from said_of_courses()
    yield from said_of_decks()
