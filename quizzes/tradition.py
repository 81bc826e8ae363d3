"""A teacher's file: one word on ragas, another on the stages of a performance, in one TOML text.

`quizzes.ragas.tradition` and `quizzes.stages.tradition` say what may stand in it.
"""

from __future__ import annotations

from pathlib import Path

from quizzes.errors import QuizError
from quizzes.ragas import tradition as of_ragas
from quizzes.stages import tradition as of_stages


def load_tradition(path: Path) -> str:
    """The text of a tradition's file, checked. Raises QuizError with file, line and remedy."""
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or error
        raise QuizError(f"{path}: {reason}; it should be a file of TOML in UTF-8") from error
    of_ragas.read_tradition(text, of_ragas.ragas(), path)
    of_stages.read_tradition(text, of_stages.form(), path)
    return text
