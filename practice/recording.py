"""What a session writes into the log: one row an answer, under an id that its clocks agree with."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from practice.steps import Step, Student
from quizzes.question import Mark
from scheduler import Answer, new_uuid

CLOCKS_APART_S = 3600.0
"""Where the wall's clock has run ahead by more than this between two answers, the device slept,
since its steady clock stands still meanwhile, or the wall's was set forward."""
PART = "+"
"""Stands in the ids of a session that went on after that, before the number of the part."""


class Recorder:
    """Makes the rows of answers and has each kept, as `Log.append` does; `ids` are those of the
    session's parts, mostly one."""

    def __init__(
        self, keep: Callable[[Answer], object], student: Student, now: Callable[[], datetime]
    ) -> None:
        self._keep, self._student, self._now = keep, student, now
        self.ids = [new_uuid()]
        self._last: tuple[datetime, float] | None = None

    def record(
        self, step: Step, given: str, mark: Mark, monotonic_s: float, heard_until: float
    ) -> Answer:
        """The row of an answer, kept when this returns; `heard_until` is when its cue ended,
        by the steady clock as `monotonic_s`. Raises LogError."""
        question, local = step.question, self._now().astimezone()
        offset = local.utcoffset()
        answer = Answer(
            student=self._student.id,
            skill=question.skill,
            kind=question.kind,
            seed=question.seed,
            setting=question.setting.as_json(),
            choices=tuple(choice.id for choice in question.choices),
            right=question.right,
            given=given,
            credit=mark.credit,
            heard=mark.heard,
            chance=step.chance,
            predicted=step.predicted,
            reason=step.reason,
            response_ms=round((monotonic_s - heard_until) * 1000),
            utc=local,
            offset_min=0 if offset is None else round(offset.total_seconds() / 60),
            monotonic_s=monotonic_s,
            device=self._student.device,
            session=self._id_at(local, monotonic_s),
        )
        self._keep(answer)
        self._last = local, monotonic_s
        return answer

    def _id_at(self, now: datetime, monotonic_s: float) -> str:
        """The session's id, or another where the wall's clock has run ahead since its last answer,
        as it does while a tablet sleeps.

        Within one id memory takes the time between answers from the steady clock: it would put
        the morning's at last night's. A clock set back is no sleep.
        """
        if self._last is not None:
            then, then_s = self._last
            apart_s = (now - then).total_seconds() - (monotonic_s - then_s)
            if apart_s > CLOCKS_APART_S:
                self.ids.append(f"{self.ids[0]}{PART}{len(self.ids) + 1}")
                self._last = None  # where the log cannot take it, it is given again
        return self.ids[-1]


def practice_of(session: str) -> str:
    """What the ids of all parts of a session have in common."""
    return session.partition(PART)[0]
