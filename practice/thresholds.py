"""How finely a student hears: the trials of each skill with levels, and the level to ask next."""

from __future__ import annotations

from collections.abc import Iterable

from quizzes.catalogue import kind_of, skill_of
from quizzes.errors import UnknownSkill
from quizzes.levels import Level
from quizzes.question import Mark, Question, Setting
from scheduler import Answer, Scale, Threshold, next_level, threshold

Trials = list[tuple[float, bool]]


class Thresholds:
    """The trials so far, by skill, as (level, right or not)."""

    def __init__(self, answers: Iterable[Answer] = ()) -> None:
        self._trials: dict[str, Trials] = {}
        for answer in answers:
            setting = Setting.from_json(answer.setting)
            if setting.level is not None:
                self._add(answer.skill, float(setting.level), answer.credit == 1.0)

    def add(self, question: Question, mark: Mark) -> None:
        if "level" in question.detail:
            self._add(question.skill, question.detail["level"], mark.right)

    def _add(self, skill: str, level: float, right: bool) -> None:
        self._trials.setdefault(skill, []).append((level, right))

    def next_level(self, skill: str) -> float | None:
        """The level to ask next; None for skills without levels."""
        level = _level(skill)
        if level is None:
            return None
        wished = next_level(self._trials.get(skill, []), level.chance, _scale(level))
        return level.fair(wished)

    def of(self, skill: str) -> tuple[Threshold, str] | None:
        """The threshold as far as it is known, and its unit; None before the first trial."""
        trials, level = self._trials.get(skill), _level(skill)
        if not trials or level is None:
            return None
        return threshold(trials, level.chance, _scale(level)), level.unit


def _level(skill: str) -> Level | None:
    """None too for a skill of an older log that is no longer asked."""
    try:
        return kind_of(skill_of(skill).id).level(skill)
    except UnknownSkill:
        return None


def _scale(level: Level) -> Scale:
    return Scale(level.finest, level.coarsest, level.typical)
