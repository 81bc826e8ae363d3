"""A teacher's file: on ragas, on talas and on the stages of a performance, in one TOML text.

The modules `tradition` of `quizzes.ragas`, `quizzes.talas` and `quizzes.stages` say what may stand
in it; so do `quizzes.talas.layakari` of layakaris, `quizzes.stages.fitting` of what suits what, and
`quizzes.stages.layouts` of how time is shared out.
"""

from __future__ import annotations

from pathlib import Path

from quizzes.errors import QuizError
from quizzes.ragas import tradition as of_ragas
from quizzes.stages import tradition as of_stages
from quizzes.stages.fitting import fits, read_fits
from quizzes.stages.layouts import layouts, read_layouts
from quizzes.talas import layakari as of_layakaris
from quizzes.talas import tradition as of_talas


def load_tradition(path: Path) -> str:
    """The text of a tradition's file, checked. Raises QuizError with file, line and remedy."""
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or error
        raise QuizError(f"{path}: {reason}; it should be a file of TOML in UTF-8") from error
    check_tradition(text, path)
    return text


def check_tradition(text: str, path: Path) -> None:
    """Raises QuizError where the text of a tradition cannot be used; `path` is for messages."""
    of_ragas.read_tradition(text, of_ragas.ragas(), path)
    of_talas.read_tradition(text, of_talas.talas(), path)
    of_layakaris.read_tradition(text, of_layakaris.layakaris(), path)
    taught = of_stages.read_tradition(text, of_stages.form(), path)
    read_fits(text, fits(), path)
    read_layouts(text, layouts(), taught, path)
