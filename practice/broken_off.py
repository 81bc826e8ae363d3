"""A practice that was broken off, as by a tablet that ends the app: how much of it is left, and the
question that was on view, so that it can be gone on with.

It is kept in a small file from question to question, and let go of when the practice ends.
"""

from __future__ import annotations

import json
import os
import time
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from practice.errors import ModeError
from practice.modes import Mode
from practice.small_files import table_in
from practice.steps import Step
from quizzes.catalogue import make_question
from quizzes.errors import QuizError
from quizzes.question import Setting

FILE_NAME = "broken-off.json"
LONGEST_HOURS = 6.0
"""What lies longer is of another day's practice, or as good as (assumption)."""
LEAST_S = 30.0


@dataclass(frozen=True, slots=True)
class BrokenOff:
    """The mode, the seconds that were left, and the question that was on view."""

    mode: Mode
    left_s: float
    step: Step

    @property
    def minutes(self) -> float:
        """What is left, in minutes."""
        return self.left_s / 60.0


def keep(folder: Path, mode: Mode, left_s: float, step: Step) -> None:
    """Keep where a practice is; what cannot be written is done without."""
    table = {
        "mode": mode.id,
        "which": mode.which,
        "left_s": round(left_s, 1),
        "at": time.time(),
        "skill": step.question.skill,
        "seed": step.question.seed,
        "setting": step.question.setting.as_json(),
        "why": step.why,
        "introduction": step.introduction,
        "chance": step.chance,
        "predicted": step.predicted,
        "reason": step.reason,
        "once_more": step.once_more,
    }
    beside = folder / f"{FILE_NAME}.new"
    with suppress(OSError):
        # Not made to last through a power cut, which would take longer than a question may wait.
        beside.write_text(json.dumps(table), encoding="utf-8")
        os.replace(beside, folder / FILE_NAME)


def read(folder: Path) -> BrokenOff | None:
    """The practice that was broken off; None where there is none, where it is too long since, or
    where its question cannot be made any more."""
    try:
        table = table_in(folder / FILE_NAME)
        if not 0.0 <= time.time() - table["at"] <= LONGEST_HOURS * 3600.0:
            return None
        mode = Mode(table["mode"], table["which"])
        Mode.read(f"{mode.id}:{mode.which}" if mode.which else mode.id)
        question = make_question(
            table["skill"], seed=table["seed"], setting=Setting.from_json(table["setting"])
        )
        step = Step(
            number=1,
            question=question,
            why=str(table["why"]),
            introduction=None if table["introduction"] is None else str(table["introduction"]),
            chance=float(table["chance"]),
            predicted=float(table["predicted"]),
            reason=str(table["reason"]),
            once_more=bool(table["once_more"]),
        )
        left_s = float(table["left_s"])
    except (OSError, ValueError, KeyError, TypeError, ModeError, QuizError):
        return None  # a practice of that day is begun as on any other
    return BrokenOff(mode, left_s, step) if left_s >= LEAST_S else None


def let_go(folder: Path) -> None:
    """The practice has ended."""
    with suppress(OSError):
        (folder / FILE_NAME).unlink(missing_ok=True)
