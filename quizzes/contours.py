"""Short fresh phrases that move as practice patterns do: a cell of a palta, set in a scale."""

from __future__ import annotations

from audio.tuning import Swara
from quizzes.fresh import Fresh

THATS_BY_NAME = {
    "Bilawal": "S R G m P D N",
    "Kalyan": "S R G M P D N",
    "Khamaj": "S R G m P D n",
    "Bhairav": "S r G m P d N",
    "Purvi": "S r G M P d N",
    "Marwa": "S r G M P D N",
    "Kafi": "S R g m P D n",
    "Asavari": "S R g m P d n",
    "Bhairavi": "S r g m P d n",
    "Todi": "S r g M P d N",
}
"""The ten thats, each swara in one form."""
THATS = tuple(THATS_BY_NAME.values())
USUAL_SCALE = "Bilawal"
"""The that in which is played what nobody set in another: its swaras are all shuddha."""

CELLS = {
    3: ("0 1 2", "2 1 0", "0 2 1", "1 0 1", "0 1 0", "2 0 1"),
    4: ("0 1 2 1", "0 1 2 3", "3 2 1 0", "0 2 1 0", "0 2 1 3", "2 1 0 1", "1 2 1 0", "3 1 2 0"),
    5: (
        "0 1 2 1 0", "0 1 2 3 4", "4 3 2 1 0", "0 2 1 2 0", "2 3 2 1 0", "0 1 2 3 2", "2 1 0 1 2",
        "3 2 1 2 1",
    ),
}  # fmt: skip
"""By how many swaras: steps of the scale from the lowest swara. Cells of paltas and alankars as
they are practised (common practice)."""

LOWEST, HIGHEST = Swara.read("P,"), Swara.read("R'")
"""A phrase stays where hands are at ease."""


def fresh_contour(fresh: Fresh, count: int) -> tuple[Swara, ...]:
    """A phrase of 3 to 5 swaras; raises KeyError for another count."""
    steps = [int(step) for step in fresh.one_of(CELLS[count]).split()]
    letters = set(fresh.one_of(THATS).split())
    reach = range(LOWEST.steps, HIGHEST.steps + 1)
    ladder = [swara for swara in map(Swara.at, reach) if swara.letter in letters]
    start = fresh.one_of(range(len(ladder) - max(steps)))
    return tuple(ladder[start + step] for step in steps)
