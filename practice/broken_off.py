"""A practice that was broken off, as by a tablet that ends the app: how much of it is left, and the
question that was on view, so that it can be gone on with.

It is kept in a small file from question to question, and let go of when the practice ends. Nothing
that was said is kept: the language may be another one when it is gone on with.
"""

from __future__ import annotations

import json
import os
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from audio.errors import AudioError
from practice.errors import ModeError
from practice.modes import Mode
from practice.settings import MOST_MINUTES
from practice.small_files import table_in
from practice.steps import Step
from quizzes.catalogue import kind_of, make_question
from quizzes.errors import QuizError
from quizzes.question import Setting
from scheduler import Reason

FILE_NAME = "broken-off.json"
LONGEST_HOURS = 6.0
"""What lies longer is of another day's practice, or as good as (assumption)."""
LEAST_S = 30.0


@dataclass(frozen=True, slots=True)
class BrokenOff:
    """The mode, the seconds that were left, and the question that was on view, if that can still be
    asked."""

    mode: Mode
    left_s: float
    step: Step | None

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
        "introduced": step.introduction is not None,
        "once_more": step.once_more,
        "chance": step.chance,
        "predicted": step.predicted,
        "reason": step.reason,
    }
    beside = folder / f"{FILE_NAME}.new"
    with suppress(OSError):
        # Not made to last through a power cut, which would take longer than a question may wait.
        beside.write_text(json.dumps(table), encoding="utf-8")
        os.replace(beside, folder / FILE_NAME)


def read(
    folder: Path, *, name_of: Callable[[str], str], is_asked: Callable[[Step], bool]
) -> BrokenOff | None:
    """The practice that was broken off, with its question where that `is_asked` still; `name_of`
    gives a skill's name. None where there is none, where it is too long since, or where the file
    is damaged or of another version."""
    try:
        table = table_in(folder / FILE_NAME)
        if not 0.0 <= time.time() - table["at"] <= LONGEST_HOURS * 3600.0:
            return None
        mode, which = table["mode"], table["which"]
        mode = Mode.read(f"{mode}:{which}" if which else mode)
        left_s = float(table["left_s"])
        step = _step(table, name_of)
    except (OSError, ArithmeticError, AttributeError, LookupError, TypeError, ValueError):
        return None  # a practice of that day is begun as on any other
    except (AudioError, ModeError, QuizError):
        return None
    if not LEAST_S <= left_s <= MOST_MINUTES * 60.0:
        return None
    return BrokenOff(mode, left_s, step if is_asked(step) else None)


def _step(table: dict[str, Any], name_of: Callable[[str], str]) -> Step:
    """The question made again, and all that is said of it, in the language in use."""
    skill, seed, reason = table["skill"], table["seed"], table["reason"]
    question = make_question(skill, seed=seed, setting=Setting.from_json(table["setting"]))
    chance, predicted = float(table["chance"]), float(table["predicted"])
    if not (0.0 <= chance <= 1.0 and 0.0 <= predicted <= 1.0 and 0 <= seed < 2**63):
        raise ValueError("no answer to it could go into the log")
    return Step(
        number=1,
        question=question,
        why=Reason.read(reason).sentence(name_of),
        introduction=kind_of(skill).introduce(question) if table["introduced"] else None,
        chance=chance,
        predicted=predicted,
        reason=reason,
        once_more=bool(table["once_more"]),
    )


def let_go(folder: Path) -> None:
    """The practice has ended."""
    with suppress(OSError):
        (folder / FILE_NAME).unlink(missing_ok=True)
