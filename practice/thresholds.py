"""How finely a student hears: the trials of each skill with levels, and the level to ask next."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from quizzes.catalogue import kind_of, skill_of
from quizzes.errors import UnknownSkill
from quizzes.levels import Level
from quizzes.question import Question, Setting
from scheduler import Answer, Scale, Threshold, Trial, next_level, threshold

TOLD = 0.9
"""From such a chance on the answer was as good as told, and says nothing about the ear."""
GUESSES_EXPECTED = 2.0
"""So many blank questions weigh as much as the chance of a lucky guess that the choices give."""


@dataclass(frozen=True, slots=True)
class _Asked:
    """One answer to a question with a level."""

    level: float
    right: str
    given: str
    chance: float


class Thresholds:
    """The answers so far, by skill."""

    def __init__(self, answers: Iterable[Answer] = ()) -> None:
        self._asked: dict[str, list[_Asked]] = {}
        for answer in answers:
            level = Setting.from_json(answer.setting).level
            if level is not None:
                self._add(answer.skill, level, answer.right[0], answer.given, answer.chance)

    def add(self, question: Question, given: str, chance: float) -> None:
        """Learn of an answer that a lucky guess would have given with this `chance`."""
        if "level" in question.detail:
            level = question.detail["level"]
            self._add(question.skill, level, question.right[0], given, chance)

    def _add(self, skill: str, level: float, right: str, given: str, chance: float) -> None:
        if chance < TOLD:
            self._asked.setdefault(skill, []).append(_Asked(float(level), right, given, chance))

    def next_level(self, skill: str) -> float | None:
        """The level to ask next; None for skills without levels."""
        level = _level(skill)
        if level is None:
            return None
        trials = self._trials(skill, level)
        return level.fair(next_level(trials, _scale(level)) if trials else level.first)

    def of(self, skill: str) -> tuple[Threshold, Level] | None:
        """The threshold as far as it is known, and what it is of; None before the first trial."""
        level = _level(skill)
        trials = [] if level is None else self._trials(skill, level)
        if not trials or level is None:
            return None
        return threshold(trials, _scale(level)), level

    def _trials(self, skill: str, level: Level) -> list[Trial]:
        """The answers that say something, each with the chance that it was a guess.

        Who answers that something is there when it is not will also be right at times without
        having heard it (the false alarms of signal detection, Green & Swets 1966).
        """
        asked = self._asked.get(skill, [])
        blanks = [one for one in asked if one.right in level.blank]
        alarms = sum(one.given in level.signal for one in blanks) / max(1, len(level.signal))
        weight = GUESSES_EXPECTED + len(blanks)
        return [
            Trial(
                one.level,
                one.given == one.right,
                min((GUESSES_EXPECTED * one.chance + alarms) / weight, TOLD),
            )
            for one in asked
            if not level.signal or one.right in level.signal
        ]


def _level(skill: str) -> Level | None:
    """None too for a skill of an older log that is no longer asked."""
    try:
        return kind_of(skill_of(skill).id).level(skill)
    except UnknownSkill:
        return None


def _scale(level: Level) -> Scale:
    return Scale(level.finest, level.coarsest, level.typical)
