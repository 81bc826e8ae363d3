"""Whether a skill, whatever its last answers say, is taken for another again and again."""

from __future__ import annotations

from practice.standing import Standing
from scheduler import Proportion
from scheduler.belief import FIRM_KNOWN
from scheduler.history import lately

MISTAKEN = 1.0
"""The fading count of mistakes from which a skill counts as mistaken: two within two weeks, or one
of today and one of four weeks ago; if it is also known less often than what is firm."""


def times_mistaken(standing: Standing, skill: str) -> float:
    """How often it was taken for another, as a count that fades."""
    return sum(count for _, count in standing.memory.confusions(skill, standing.now))


def again_and_again(times: float, answered: Proportion) -> bool:
    """Whether so many `times` are many, of what was `answered` lately; not where nothing was asked
    that might have been known."""
    return times >= MISTAKEN and answered.asked > 0 and answered.known < FIRM_KNOWN


def is_mistaken(standing: Standing, skill: str) -> bool:
    """Whether it was mistaken so often of late, and is known less often than what is firm."""
    answered = standing.history.tally(skill, lately(standing.now)).proportion
    return again_and_again(times_mistaken(standing, skill), answered)


def state_of(standing: Standing, skill: str) -> str:
    """What is said of it to who teaches: a skill that is mistaken is not firm."""
    state = standing.state(skill)
    return "shaky" if state == "firm" and is_mistaken(standing, skill) else state
