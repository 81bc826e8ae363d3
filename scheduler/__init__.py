"""What comes next: the log of answers, the memory of each skill, the plan of a practice.

The scheduler knows skill ids, marks, seconds and times, and nothing of music.

    log = Log(path)                         # opens, checks, migrates; log.trouble: str | None
    log.append(answer)                      # on disk when it returns
    log.answers(student=None) -> Iterator[Answer]; log.meetings(student=None) -> Iterator[Meeting]
    log.students() -> tuple[str, ...]; log.copy_to(path); log.close(); Log.reading(path)

    memory = Memory.rebuilt(log.meetings(student), families=families_of(items))
    memory.after(answer) -> Memory
    memory.predict(skill, now, chance) -> float; memory.knowledge(skill, now) -> float
    memory.state(skill, now) -> "firm" | "shaky" | "coming" | "unheard"
    memory.confusions(skill, now) -> list[(heard skill, weight)], heaviest first
    memory.beliefs: Mapping[str, Belief]    # of the skills begun

    plan = Plan(items, memory, minutes=15, started=now, seed=7, lesson=None)
    plan.pick(now, seconds_left=None) -> Pick | None    # changes nothing
    plan.answered(answer); plan.memory
    plan.outlook() -> Outlook
    Pick(skill, item, reason, predicted, is_new); pick.reason.sentence(name_of)

    threshold(trials, chance) -> Threshold(cents, low, high, trials)
    next_level(trials, chance) -> float     # cents; trials = [(level_cents, right), ...]
"""

from scheduler.answer import Answer, Item, Meeting, new_uuid
from scheduler.errors import (
    AnswerError,
    DamagedLogError,
    FullDiskError,
    LockedLogError,
    LogError,
    NewerLogError,
    NotALogError,
    PlanError,
    RowConflictError,
    SchedulerError,
    UnwritableLogError,
)
from scheduler.log import Log
from scheduler.reason import Reason

__all__ = [
    "Answer",
    "AnswerError",
    "DamagedLogError",
    "FullDiskError",
    "Item",
    "LockedLogError",
    "Log",
    "LogError",
    "Meeting",
    "NewerLogError",
    "NotALogError",
    "PlanError",
    "Reason",
    "RowConflictError",
    "SchedulerError",
    "UnwritableLogError",
    "new_uuid",
]
