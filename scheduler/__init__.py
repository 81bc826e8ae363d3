"""What comes next: the log of answers, the memory of each skill, the plan of a practice.

The scheduler knows skill ids, marks, seconds and times, and nothing of music.

    log = Log(path)                         # opens, checks, migrates; log.trouble: str | None
    log.append(answer)                      # on disk when it returns
    log.answers(student=None) -> Iterator[Answer]; log.meetings(student=None) -> Iterator[Meeting]
    log.back_up(day, stop)                  # the day's backup, if due; log.journal_trouble
    log.students() -> tuple[str, ...]; log.close(); Log.reading(path)
    log.leave_out(session, student=..., device=..., utc=now); log.put_back(...)  # count for nothing
    log.left_out(student) -> frozenset[str]; log.sessions(student) -> list[Sat]
    log.notes(student, what=None) -> list[Note]     # what is noted beside answers, in order
    log.append_all([*other.answers(), *other.leavings(), *other.notes()])

    memory = Memory.rebuilt(log.meetings(student), families=families_of(items), kin=kin_of(items))
    found = recalled(log, student, families=..., kin=...)   # the same, from what is kept beside it
    keep(found, log)                        # found.memory and found.history, for next time
    history = found.history                 # counts of answers, week by week
    history.tally(skill, weeks) -> Tally; history.answers(skill, weeks) -> {(right, given): count}
    Proportion(right, asked, luck).known_interval    # guessing taken out
    memory.after(answer) -> Memory
    memory.predict(skill, now, chance) -> float; memory.knowledge(skill, now) -> float
    memory.state(skill, now) -> "firm" | "shaky" | "coming" | "unheard"
    memory.confusions(skill, now) -> list[(heard skill, weight)], heaviest first
    memory.beliefs: Mapping[str, Belief]    # of the skills begun
    memory.as_json(); Memory.from_json(data, families=families, kin=kin)    # to be kept

    plan = Plan(items, memory, minutes=15, started=now, seed=7, lesson=None)
    begun = begun_lately(log, memory, student, now)     # for Plan(..., new_a_day=4, begun_at=begun)
    pick = plan.pick(now, seconds_left=None)    # changes nothing; None when the time is up
    plan.answered(answer)
    outlook(plan)                           # what it probably holds, before it is begun

    scale = Scale(finest, coarsest, typical); trials = [Trial(level, right, chance), ...]
    threshold(trials, scale) -> Threshold; next_level(trials, scale) -> float
"""

from scheduler.answer import Answer, Item, Meeting, new_uuid
from scheduler.backups import StoppedError
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
from scheduler.gain import Lesson
from scheduler.history import Day, History, Tally
from scheduler.kept import Recalled, keep, recalled
from scheduler.leaving import Leaving
from scheduler.log import Log
from scheduler.memory import Memory, families_of, kin_of
from scheduler.notes import Note
from scheduler.outlook import Outlook, Planned, outlook
from scheduler.pacing import DayPace, begun_lately
from scheduler.plan import Pick, Plan
from scheduler.proportion import Proportion
from scheduler.reason import Reason
from scheduler.rows import Sat
from scheduler.staircase import (
    Scale,
    Threshold,
    Trial,
    chance_right_at,
    next_level,
    threshold,
)
from scheduler.weak import weak_spots

__all__ = [
    "Answer",
    "AnswerError",
    "DamagedLogError",
    "Day",
    "DayPace",
    "FullDiskError",
    "History",
    "Item",
    "Leaving",
    "Lesson",
    "LockedLogError",
    "Log",
    "LogError",
    "Meeting",
    "Memory",
    "NewerLogError",
    "NotALogError",
    "Note",
    "Outlook",
    "Pick",
    "Plan",
    "PlanError",
    "Planned",
    "Proportion",
    "Reason",
    "Recalled",
    "RowConflictError",
    "Sat",
    "Scale",
    "SchedulerError",
    "StoppedError",
    "Tally",
    "Threshold",
    "Trial",
    "UnwritableLogError",
    "begun_lately",
    "chance_right_at",
    "families_of",
    "keep",
    "kin_of",
    "new_uuid",
    "next_level",
    "outlook",
    "recalled",
    "threshold",
    "weak_spots",
]
