"""What has become firm and what has slipped in the last four weeks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from practice.standing import Standing
from scheduler.history import lately


@dataclass(frozen=True, slots=True)
class Moves:
    """Skills asked in the course, by name: what is shaky now, the shakiest first, what of that was
    firm four weeks ago, and what has become firm since."""

    shaky: tuple[str, ...]
    slipped: tuple[str, ...]
    firmer: tuple[str, ...]


def moves_in(standing: Standing) -> Moves:
    """By what was said of each skill when the last four weeks began."""
    before = standing.history.states_at(lately(standing.now).start - 1)
    memory, now = standing.memory, standing.now
    states = {item.skill: standing.state(item.skill) for item in standing.begun}
    shaky = [skill for skill, state in states.items() if state == "shaky"]
    shaky.sort(key=lambda skill: memory.knowledge(skill, now))
    firmer = (s for s, state in states.items() if state == "firm" and before.get(s) != "firm")
    return Moves(
        _named(standing, shaky),
        _named(standing, (skill for skill in shaky if before.get(skill) == "firm")),
        _named(standing, firmer),
    )


def _named(standing: Standing, skills: Iterable[str]) -> tuple[str, ...]:
    return tuple(standing.name_of(skill) for skill in skills)
