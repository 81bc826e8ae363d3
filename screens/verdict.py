"""What is said of an answer in a word: right, partly right with its share, or heard otherwise."""

from __future__ import annotations

from collections.abc import Sequence

from quizzes.edits import tally
from quizzes.question import Mark
from screens.aligned import Place


def verdict_kind(mark: Mark) -> str:
    """ "right", "partly" or "otherwise": also the shape that stands beside the words."""
    if mark.right:
        return "right"
    return "partly" if mark.credit > 0.0 else "otherwise"


def verdict_words(mark: Mark, places: Sequence[Place] = ()) -> str:
    """The verdict; `places` are those of a written answer, of which some may be right.

    They are counted too where so many would be right by luck, which earns no credit.
    """
    kind = verdict_kind(mark)
    if kind == "right":
        return "Right"
    if kind == "partly":
        return f"Partly right: {share_of(places)}" if places else "Partly right"
    some = any(place.right for place in places)
    return f"Heard otherwise: {share_of(places)}" if some else "Heard otherwise"


def share_of(places: Sequence[Place]) -> str:
    """How many keys of the line that was stand where they should: "6 of 8"."""
    was = [place.was for place in places if place.was is not None]
    count = tally(was, [place.given for place in places if place.given is not None])
    # A key too many takes nothing from the line that was, so it is told by itself.
    added = f", {count.added} too many" if count.added else ""
    return f"{count.right} of {count.whole}{added}"
