"""How finely a student hears: the trials of each skill with levels, and the level to ask next."""

from __future__ import annotations

from collections.abc import Iterable

from quizzes.catalogue import kind_of, skill_of
from quizzes.errors import UnknownSkill
from quizzes.levels import Level
from quizzes.question import Mark, Question, Setting
from scheduler import Answer, Scale, Threshold, Trial, next_level, threshold

TOLD = 0.9
"""From such a chance on the answer was as good as told, and says nothing about the ear."""


class Thresholds:
    """The trials so far, by skill."""

    def __init__(self, answers: Iterable[Answer] = ()) -> None:
        self._trials: dict[str, list[Trial]] = {}
        for answer in answers:
            setting = Setting.from_json(answer.setting)
            if setting.level is not None:
                right = answer.credit == 1.0
                self._add(answer.skill, float(setting.level), right, answer.chance)

    def add(self, question: Question, mark: Mark, chance: float) -> None:
        """Learn of an answer that a lucky guess would have given with this `chance`."""
        if "level" in question.detail:
            self._add(question.skill, question.detail["level"], mark.right, chance)

    def _add(self, skill: str, level: float, right: bool, chance: float) -> None:
        if chance < TOLD:
            self._trials.setdefault(skill, []).append(Trial(level, right, chance))

    def next_level(self, skill: str) -> float | None:
        """The level to ask next; None for skills without levels."""
        level = _level(skill)
        if level is None:
            return None
        wished = next_level(self._trials.get(skill, []), _scale(level))
        return level.fair(wished)

    def of(self, skill: str) -> tuple[Threshold, str] | None:
        """The threshold as far as it is known, and its unit; None before the first trial."""
        trials, level = self._trials.get(skill), _level(skill)
        if not trials or level is None:
            return None
        return threshold(trials, _scale(level)), level.unit


def _level(skill: str) -> Level | None:
    """None too for a skill of an older log that is no longer asked."""
    try:
        return kind_of(skill_of(skill).id).level(skill)
    except UnknownSkill:
        return None


def _scale(level: Level) -> Scale:
    return Scale(level.finest, level.coarsest, level.typical)
