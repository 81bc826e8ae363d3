"""How finely a student hears: the trials of each skill with levels, and the level to ask next."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
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
LATEST = 200
"""So many of a skill's last answers count. An ear that learns leaves its old answers behind: while
a threshold falls by an octave and a half in 1,000 answers, the last 200 follow it to 0.2 octaves,
50 to 0.35, 400 to 0.3 and all of them to 0.6 (root mean square, two choices). And years of answers
do not make the next question wait."""


@dataclass(frozen=True, slots=True)
class _Asked:
    """One answer to a question with a level."""

    level: float
    right: str
    given: str
    chance: float


class Thresholds:
    """The last answers so far, by skill.

    `latest(skill, count)` gives those in the log, the newest first; it is asked when a skill is
    needed first, so that opening a log does not read all of them.
    """

    def __init__(
        self, latest: Callable[[str, int], Sequence[Answer]] = lambda skill, count: ()
    ) -> None:
        self._latest = latest
        self._asked: dict[str, deque[_Asked | None]] = {}

    def add(self, question: Question, given: str, chance: float) -> None:
        """Learn of an answer that a lucky guess would have given with this `chance`, and that
        stands in the log already."""
        if question.skill in self._asked:  # or else it is read with the others when needed
            level = question.detail.get("level")
            self._asked[question.skill].append(_asked(level, question.right, given, chance))

    def _answers_to(self, skill: str) -> list[_Asked]:
        if skill not in self._asked:
            found = [
                _asked(Setting.from_json(one.setting).level, one.right, one.given, one.chance)
                for one in reversed(self._latest(skill, LATEST))
            ]
            self._asked[skill] = deque(found, maxlen=LATEST)
        return [one for one in self._asked[skill] if one is not None]

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
        asked = self._answers_to(skill)
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


def _asked(level: float | None, right: Sequence[str], given: str, chance: float) -> _Asked | None:
    """None for an answer that says nothing."""
    if level is None or chance >= TOLD:
        return None
    return _Asked(float(level), right[0], given, chance)


def _level(skill: str) -> Level | None:
    """None too for a skill of an older log that is no longer asked."""
    try:
        return kind_of(skill_of(skill).id).level(skill)
    except UnknownSkill:
        return None


def _scale(level: Level) -> Scale:
    return Scale(level.finest, level.coarsest, level.typical)
