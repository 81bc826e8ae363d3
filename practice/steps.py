"""Makes the next question of a session, and begins its sound before anybody waits for it."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from audio import render
from practice.thresholds import Thresholds
from quizzes.catalogue import kind_of, make_question, skill_of
from quizzes.question import Question, Setting
from scheduler import Pick, Plan

Samples = NDArray[np.float32]

RIVALS_SHOWN = 3
RIVAL_WEIGHT_FROM = 0.3
"""A slip fades: below this weight a confusion no longer steers the choices."""


@dataclass(frozen=True, slots=True)
class Step:
    """One question of a session; `introduction` is set where the skill is new.

    `why` is for the student and may hint at the answer: show it after that. `predicted` is the
    chance of a right answer, `reason` the form of `why` that goes into the log.
    """

    number: int
    question: Question
    why: str
    introduction: str | None
    predicted: float
    reason: str


@dataclass(frozen=True, slots=True)
class Ready:
    """A step with its sound begun: the first blocks of its cue wait in memory, the rest streams."""

    step: Step
    drone: Samples | None
    blocks: Iterator[Samples]


@dataclass(frozen=True, slots=True)
class Student:
    """Who practises, as it stands in the log and in every question's setting."""

    id: str
    device: str
    sa_hz: float
    tuning: str
    gap_names: str


class StepMaker:
    """Asks the plan what comes next and makes it; may run on a thread of its own."""

    def __init__(
        self,
        *,
        plan: Plan,
        student: Student,
        thresholds: Thresholds,
        seeds: Callable[[], int],
        now: Callable[[], datetime],
    ) -> None:
        self._plan, self._student, self._thresholds = plan, student, thresholds
        self._seeds, self._now = seeds, now

    def make(self, number: int, *, seconds_left: float) -> Ready | None:
        """The step of this number, or None when nothing fits into the time that is left."""
        now = self._now()
        pick = self._plan.pick(now, seconds_left=seconds_left)
        if pick is None:
            return None
        question = make_question(
            pick.skill, seed=self._seeds(), setting=self._setting_for(pick, now)
        )
        step = Step(
            number=number,
            question=question,
            why=pick.reason.sentence(lambda skill: skill_of(skill).name),
            introduction=kind_of(pick.skill).introduce(question) if pick.is_new else None,
            predicted=self._plan.memory.predict(pick.skill, now, question.chance),
            reason=str(pick.reason),
        )
        cue = question.cue
        drone = None if cue.drone is None else render.drone_loop(cue.drone, sa_hz=cue.sa_hz)
        blocks = render.blocks(cue, drone=False)
        first = list(itertools.islice(blocks, 1))  # the costly part of a pluck is its start
        return Ready(step, drone, itertools.chain(first, blocks))

    def _setting_for(self, pick: Pick, now: datetime) -> Setting:
        memory, kind = self._plan.memory, pick.item.kind
        confused = memory.confusions(pick.skill, now)
        return Setting(
            sa_hz=self._student.sa_hz,
            tuning=self._student.tuning,
            names=self._student.gap_names,
            met=tuple(sorted(s for s in memory.beliefs if s.startswith(f"{kind}:"))),
            rivals=tuple(
                skill for skill, weight in confused[:RIVALS_SHOWN] if weight >= RIVAL_WEIGHT_FROM
            ),
            level_cents=self._thresholds.next_level(pick.skill),
        )
