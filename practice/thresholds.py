"""How finely a student hears: the trials of each `tune` skill, and the level to ask next."""

from __future__ import annotations

from collections.abc import Iterable

from quizzes.kinds.tune import ANSWERS, asked, fair_level
from quizzes.question import Mark, Question
from scheduler import Answer, Threshold, next_level, threshold

CHANCE = 1.0 / len(ANSWERS)


class Thresholds:
    """The trials so far, by skill, as (deviation in cents, right or not)."""

    def __init__(self, answers: Iterable[Answer] = ()) -> None:
        self._trials: dict[str, list[tuple[float, bool]]] = {}
        for answer in answers:
            level_cents = answer.setting.get("level_cents")
            if answer.kind == "tune" and level_cents is not None:
                self._add(answer.skill, float(level_cents), answer.credit == 1.0)

    def add(self, question: Question, mark: Mark) -> None:
        if question.kind == "tune":
            self._add(question.skill, question.detail["level_cents"], mark.right)

    def _add(self, skill: str, level_cents: float, right: bool) -> None:
        self._trials.setdefault(skill, []).append((level_cents, right))

    def next_level(self, skill: str) -> float | None:
        """The deviation to ask next, fair to every tradition; None for skills without levels."""
        if not skill.startswith("tune:"):
            return None
        level_cents = next_level(self._trials.get(skill, []), CHANCE)
        return round(fair_level(asked(skill), level_cents), 1)

    def of(self, skill: str) -> Threshold | None:
        """The threshold as far as it is known; None before the first trial."""
        trials = self._trials.get(skill)
        return threshold(trials, CHANCE) if trials else None
