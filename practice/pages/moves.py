"""What has become firm and what has slipped in the last four weeks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from practice.progress import changed
from practice.standing import Standing


@dataclass(frozen=True, slots=True)
class Moves:
    """Skills asked in the course, by name: what is shaky now, the shakiest first, what of that was
    firm four weeks ago, and what has become firm since."""

    shaky: tuple[str, ...]
    slipped: tuple[str, ...]
    firmer: tuple[str, ...]


def moves_in(standing: Standing) -> Moves:
    """What is shaky now, and what has changed since the last four weeks began."""
    memory, now, found = standing.memory, standing.now, changed(standing)

    def named(skills: Iterable[str]) -> tuple[str, ...]:
        return tuple(map(standing.name_of, skills))

    shaky = [item.skill for item in standing.begun if standing.state(item.skill) == "shaky"]
    shaky.sort(key=lambda skill: memory.knowledge(skill, now))
    slipped = {moved.skill for moved in found.slipped}
    return Moves(
        named(shaky),
        named(skill for skill in shaky if skill in slipped),
        tuple(moved.name for moved in found.firm),
    )
