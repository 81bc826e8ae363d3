"""What is said of an answer in a word: right, partly right with its share, or heard otherwise."""

from __future__ import annotations

from collections.abc import Sequence

from quizzes.question import Mark
from screens.aligned import Place


def verdict_kind(mark: Mark) -> str:
    """ "right", "partly" or "otherwise": also the shape that stands beside the words."""
    if mark.right:
        return "right"
    return "partly" if mark.credit > 0.0 else "otherwise"


def verdict_words(mark: Mark, places: Sequence[Place] = ()) -> str:
    """The verdict; `places` are those of a written answer, which may be right in part."""
    kind = verdict_kind(mark)
    if kind == "partly":
        return f"Partly right: {share_of(places)}" if places else "Partly right"
    return "Right" if kind == "right" else "Heard otherwise"


def share_of(places: Sequence[Place]) -> str:
    """How many keys of the line that was stand where they should: "6 of 8"."""
    whole = sum(place.was is not None for place in places)
    right = sum(place.right for place in places)
    added = sum(place.was is None for place in places)
    # A key too many takes nothing from the line that was, so it is told by itself.
    return f"{right} of {whole}" + (f", {added} too many" if added else "")
