"""How many skills are firm, shaky, coming and unheard: in the course, and part by part."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from practice.mistaken import state_of
from practice.pages.said import are, so_many
from practice.parts import parts_of
from practice.standing import Standing
from quizzes.decks.deck import KIND as DECK

NAMES = ("firm", "coming", "shaky", "unheard")
"""The four states as they stand side by side on a page."""
BESIDES = "Besides the course"
"""What is asked beside the parts: what only a teacher's tradition knows of."""


class States(NamedTuple):
    """Counts of skills."""

    firm: int = 0
    coming: int = 0
    shaky: int = 0
    unheard: int = 0

    @property
    def begun(self) -> int:
        return self.firm + self.coming + self.shaky

    @property
    def total(self) -> int:
        return self.begun + self.unheard

    @property
    def shaky_share(self) -> float:
        """Of those begun; 0 where none is."""
        return self.shaky / self.begun if self.begun else 0.0


@dataclass(frozen=True, slots=True)
class Part:
    """A step of the course, or a deck."""

    name: str
    states: States
    is_deck: bool = False
    """Whether it is of a teacher's deck: not all who practise here are given it."""

    @property
    def is_ahead(self) -> bool:
        """Whether it is a step of the course that is not begun."""
        return not self.states.begun and not self.is_deck


def states_of(standing: Standing, skills: Iterable[str]) -> States:
    """How these skills stand."""
    found = Counter(state_of(standing, skill) for skill in skills)
    return States(*(found[name] for name in NAMES))


def parts_in(standing: Standing) -> tuple[Part, ...]:
    """All parts of which something is asked, in their order."""
    asked = [item.skill for item in standing.items]
    rest = dict.fromkeys(asked)
    parts = []
    for name, skills in parts_of(standing.course, standing.given).items():
        of_part = [skill for skill in dict.fromkeys(skills) if skill in rest]
        for skill in of_part:
            del rest[skill]
        if of_part:
            is_deck = all(skill.startswith(f"{DECK}:") for skill in of_part)
            parts.append(Part(name, states_of(standing, of_part), is_deck))
    if rest:
        parts.append(Part(BESIDES, states_of(standing, rest)))
    return tuple(parts)


def begun_words(states: States, about: str = "") -> str:
    """`12 skills of Yaman are begun, 3 of them shaky`."""
    skills = so_many(states.begun, "skill") + (f" of {about}" if about else "")
    if states.begun == 1:
        return f"{skills} is begun, and it is {'shaky' if states.shaky else 'not shaky'}"
    shaky = {0: "none", states.begun: "all"}.get(states.shaky, str(states.shaky))
    return f"{skills} {are(states.begun)} begun, {shaky} of them shaky"


def all_begun(parts: Iterable[Part]) -> States:
    """Of all parts that are begun together; what lies ahead is not counted."""
    begun = [part.states for part in parts if part.states.begun]
    return States(*map(sum, zip(*begun, strict=True)))


def firm_apart(parts: Sequence[Part], rows: int) -> tuple[Part | None, tuple[Part, ...]]:
    """Where more parts are begun than there are rows: those of which all is firm as one, and the
    others; else none, and all."""
    firm = [part for part in parts if 0 < part.states.firm == part.states.total]
    if len(firm) < 2 or sum(part.states.begun > 0 for part in parts) <= rows:
        return None, tuple(parts)
    together = Part(f"{so_many(len(firm), 'part')}, all firm", all_begun(firm))
    return together, tuple(part for part in parts if part not in firm)


def most_wanting(parts: Sequence[Part], most: int) -> tuple[tuple[Part, ...], tuple[Part, ...]]:
    """Of the parts begun the last and those that want most attention, so many at most, and the
    others, both in the order of the course: where most is shaky, then where most is not firm."""
    begun = [part for part in parts if part.states.begun]

    def wants(at: int) -> tuple[float, ...]:
        states = begun[at].states
        return -states.shaky, -states.shaky_share, -states.coming, states.unheard

    newest = range(len(begun))[-1:]  # where practice is now
    worst = set([*newest, *sorted(range(len(begun))[:-1], key=wants)][: max(0, most)])
    shown = tuple(part for at, part in enumerate(begun) if at in worst)
    return shown, tuple(part for at, part in enumerate(begun) if at not in worst)
