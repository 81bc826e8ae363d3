"""What is said of an answer in a word: right, partly right with its share, or heard otherwise."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from quizzes.edits import tally
from quizzes.question import Mark
from screens.aligned import Place


def verdict_kind(mark: Mark) -> str:
    """ "right", "partly" or "otherwise": also the shape that stands beside the words."""
    if mark.right:
        return "right"
    return "partly" if mark.credit > 0.0 else "otherwise"


def verdict_words(mark: Mark, places: Sequence[Place] = (), *, order: bool = False) -> str:
    """The verdict; `places` are those of a written answer, of which some may be right.

    They are counted too where so many would be right by luck, which earns no credit. Of an `order`
    the pairs are counted that stand in it: one thing moved is one slip, whatever it moves past.
    """
    kind = verdict_kind(mark)
    if kind == "right":
        return "Right"
    words = "Partly right" if kind == "partly" else "Heard otherwise"
    if not places or (kind == "otherwise" and not any(place.right for place in places)):
        return words
    return f"{words}: {pairs_of(places) if order else share_of(places)}"


def pairs_of(places: Sequence[Place]) -> str:
    """How many pairs of an order stand as they should: "2 of 3 pairs in order"."""
    given = {place.given: at for at, place in enumerate(places)}
    pairs = list(combinations([place.was for place in places], 2))
    right = sum(given[first] < given[second] for first, second in pairs)
    return f"{right} of {len(pairs)} pairs in order"


def share_of(places: Sequence[Place]) -> str:
    """How many keys of the line that was stand where they should: "6 of 8"."""
    was = [place.was for place in places if place.was is not None]
    count = tally(was, [place.given for place in places if place.given is not None])
    # A key too many takes nothing from the line that was, so it is told by itself.
    added = f", {count.added} too many" if count.added else ""
    return f"{count.right} of {count.whole}{added}"
