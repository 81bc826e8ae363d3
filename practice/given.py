"""What a student's questions are to go by, from files: tuning and teacher's word.

Questions log them as they were read, whole: the files need not be there later.
"""

from __future__ import annotations

from pathlib import Path

from audio.errors import TuningError
from audio.tuning import load_tuning, tuning_in_words
from quizzes.errors import QuizError
from quizzes.tradition import load_tradition

TRADITION_NAME = "tradition.toml"
"""A teacher's word on ragas, where the student has been given such a file."""


def tuning_of(choice: str) -> tuple[str, str | None]:
    """The tuning of this name by its cents, and what is wrong with it where another is in use."""
    try:
        return tuning_in_words(load_tuning(choice)), None
    except TuningError as error:
        return "just", f"{error}. Just intonation is in use."


def tradition_in(folder: Path) -> tuple[str, str | None]:
    """The teacher's words in this folder, mostly none, and what is wrong with them."""
    path = folder / TRADITION_NAME
    try:
        return load_tradition(path) if path.exists() else "", None
    except QuizError as error:
        return "", f"{error}. Until then all is asked as it is shipped."
