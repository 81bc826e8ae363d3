"""What is said of a name that is not known: what may have been meant, and what helps."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from difflib import get_close_matches

from quizzes.names import listed

GUESSES, LIKENESS = 3, 0.65
"""How many ids are proposed at most for a name that is not known, and how like it they are."""


def near_ids(name: str, ids: Mapping[str, str], likeness: float = LIKENESS) -> list[str]:
    """Those of the ids whose names, by which they stand here, are most like the name."""
    near = get_close_matches(name, ids, GUESSES, likeness)
    return list(dict.fromkeys(ids[each] for each in near))


def unknown(name: str, what: str, remedy: str, near: Sequence[str] = ()) -> str:
    """`'tintl' is no tala known here; did you mean tintal? ...` and the remedy."""
    guess = f"did you mean {listed(near, 'or')}? " if near else ""
    return f"{name!r} is no {what} known here; {guess}{remedy}."
