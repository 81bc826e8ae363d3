"""Things counted in English, as all is that these commands print."""

from __future__ import annotations

from quizzes.names import number_word


def in_words(count: int, thing: str) -> str:
    """`three answers`, `one answer`; from eleven on in figures."""
    return f"{number_word(count)} {thing}{'s' * (count != 1)}"
