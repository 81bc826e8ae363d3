"""How many skills are firm, shaky, coming and unheard: in the course, and part by part."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from practice.parts import parts_of
from practice.standing import Standing

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


def states_of(standing: Standing, skills: Iterable[str]) -> States:
    """How these skills stand."""
    found = Counter(map(standing.state, skills))
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
            parts.append(Part(name, states_of(standing, of_part)))
    if rest:
        parts.append(Part(BESIDES, states_of(standing, rest)))
    return tuple(parts)


def worst_first(parts: Iterable[Part]) -> tuple[Part, ...]:
    """Those begun: where most is shaky, then where most is not firm yet; the others in order."""
    begun = [part for part in parts if part.states.begun]
    return tuple(
        sorted(
            begun,
            key=lambda part: (
                -part.states.shaky,
                -part.states.shaky_share,
                -part.states.coming,
                part.states.unheard,
            ),
        )
    )
