"""Whether a skill, whatever its last answers say, is taken for another again and again."""

from __future__ import annotations

from practice.gaps import MISTAKEN
from practice.standing import Standing
from scheduler.belief import FIRM_KNOWN
from scheduler.history import lately


def is_mistaken(standing: Standing, skill: str) -> bool:
    """Whether it was mistaken so often of late, and is known less often than what is firm."""
    times = sum(count for _, count in standing.memory.confusions(skill, standing.now))
    answered = standing.history.tally(skill, lately(standing.now)).proportion
    return times >= MISTAKEN and answered.known < FIRM_KNOWN


def state_of(standing: Standing, skill: str) -> str:
    """What is said of it to who teaches: a skill that is mistaken is not firm."""
    state = standing.state(skill)
    return "shaky" if state == "firm" and is_mistaken(standing, skill) else state
