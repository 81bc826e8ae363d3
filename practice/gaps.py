"""The gaps between swaras as one student hears them: the shakiest first, in figures and in words.

A gap is asked in three ways, up, down and together, each a skill of its own; in a picture of all
ways a pair of swaras stands for the shakiest of them that is begun. Whatever its last answers say,
a gap that is taken for another again and again is drawn as a shaky one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations

from audio.tuning import Swara
from practice.mistaken import again_and_again, times_mistaken
from practice.standing import Standing
from quizzes.kinds.gap import DIRECTIONS, SCALE
from quizzes.names import capital, gap_name
from scheduler import Proportion
from scheduler.history import before, lately
from scheduler.reliability import FEW, wilson

ALL_WAYS = "all"
WAYS = (ALL_WAYS, *DIRECTIONS)
STATES = ("shaky", "coming", "firm", "unheard")
"""From what wants most attention to what there is none for yet."""
MOST = 12
"""So many of the shakiest are listed."""


@dataclass(frozen=True, slots=True)
class Gap:
    """One gap in one way: what is said of it now, and how it was answered."""

    skill: str
    low: Swara
    high: Swara
    way: str
    state: str
    known: float
    """The chance that it is known now, 0 to 1."""
    mistaken: float
    """How often it was taken for another, as a count that fades."""
    is_asked: bool
    """Whether the student's course asks it."""
    days: float | None
    """Days since it was last met; None if never."""
    answered: Proportion
    lately: Proportion
    """In the last four weeks, the running one among them."""
    before: Proportion
    """In the four weeks before those."""

    @property
    def name(self) -> str:
        """`Re up to Pa`."""
        return capital(gap_name(self.low, self.high, self.way))

    @property
    def is_mistaken(self) -> bool:
        """Whether it is taken for another again and again, where it might have been known."""
        return again_and_again(self.mistaken, self.lately)

    @property
    def drawn_as(self) -> str:
        """The state of which its arc has the stroke."""
        return "shaky" if self.is_mistaken else self.state

    @property
    def badness(self) -> float:
        """How much attention it wants: the chance that it is not known, and the share of mistakes
        of late, of which a few say little."""
        wrong = self.lately.asked - self.lately.right
        return 1.0 - self.known + wilson(wrong, max(self.lately.asked, FEW))[0]

    @property
    def id(self) -> str:
        """The pair as answers name it: `R-P`."""
        return f"{self.low}-{self.high}"


def gaps_of(standing: Standing) -> tuple[Gap, ...]:
    """All gaps in all ways, begun or not, the shakiest first."""
    asked = {item.skill for item in standing.items}
    found = [
        _gap(standing, low, high, way, asked)
        for low, high in combinations(SCALE, 2)
        for way in DIRECTIONS
    ]
    return tuple(sorted(found, key=_rank))


def seen(gaps: Sequence[Gap], way: str) -> tuple[Gap, ...]:
    """Of `gaps`, as `gaps_of` gives them, one for each pair of swaras: in this way, or, for
    `ALL_WAYS`, the shakiest of its three."""
    pairs: dict[str, Gap] = {}
    for gap in gaps:
        if way in (ALL_WAYS, gap.way):
            pairs.setdefault(gap.id, gap)
    return tuple(pairs.values())


def shakiest(gaps: Iterable[Gap], way: str) -> tuple[Gap, ...]:
    """Of `gaps`, as `gaps_of` gives them, the first that are drawn as shaky or coming, each way for
    itself."""
    weak = [g for g in gaps if g.drawn_as in ("shaky", "coming") and way in (ALL_WAYS, g.way)]
    return tuple(weak[:MOST])


def counts_of(gaps: Iterable[Gap]) -> dict[str, int]:
    """How many are drawn as each state; of those unheard only what the course asks."""
    found = Counter(gap.drawn_as for gap in gaps if gap.is_asked or gap.state != "unheard")
    return {state: found[state] for state in STATES}


def _rank(gap: Gap) -> tuple[int, float, int, int, int]:
    size = gap.high.steps - gap.low.steps
    way = DIRECTIONS.index(gap.way)
    return STATES.index(gap.drawn_as), -gap.badness, way, size, gap.low.steps


def _gap(standing: Standing, low: Swara, high: Swara, way: str, asked: set[str]) -> Gap:
    skill, history, now = f"gap:{low}-{high}:{way}", standing.history, standing.now
    return Gap(
        skill=skill,
        low=low,
        high=high,
        way=way,
        state=standing.state(skill),
        known=standing.memory.knowledge(skill, now),
        mistaken=times_mistaken(standing, skill),
        is_asked=skill in asked,
        days=standing.memory.days_since(skill, now),
        answered=history.tally(skill).proportion,
        lately=history.tally(skill, lately(now)).proportion,
        before=history.tally(skill, before(now)).proportion,
    )
