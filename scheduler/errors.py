"""The errors of `scheduler`, as a tree; a message holds the bad value, where it is, and the mend.

SchedulerError
├── AnswerError          an answer that no log may hold
├── PlanError            a plan that cannot be laid out
└── LogError             a log file that cannot be opened, read or written
    ├── NotALogError     the file is something else
    ├── NewerLogError    the file was written by a newer version of this program
    ├── DamagedLogError  the file is a log, but torn
    ├── LockedLogError   another program holds the file
    ├── FullDiskError    no room is left on the disk
    ├── UnwritableLogError  the file or its folder may not be written
    ├── RowConflictError another answer stands under the same uuid
    └── LogFileError     a file that should bring a student's log in
        ├── NotALogFileError    the file is something else
        ├── NewerLogFileError   the file was written by a newer version of this program
        └── DamagedLogFileError the file is torn, or was changed by hand
"""

from __future__ import annotations

from pathlib import Path


class SchedulerError(Exception):
    """Root of every error that `scheduler` raises on purpose."""


class AnswerError(SchedulerError):
    """An answer that no log may hold."""


class PlanError(SchedulerError):
    """A plan that cannot be laid out."""


class LogError(SchedulerError):
    """A log file that cannot be opened, read or written.

    `path` is the file, `wrong` what is wrong with it, `remedy` what the reader can do.
    """

    def __init__(self, path: Path | str, *, wrong: str, remedy: str) -> None:
        self.path = Path(path)
        self.wrong = wrong
        self.remedy = remedy
        super().__init__(f"{path}: {wrong}. {remedy}")


class NotALogError(LogError):
    """The file is something else."""


class NewerLogError(LogError):
    """The file was written by a newer version of this program."""


class DamagedLogError(LogError):
    """The file is a log, but torn."""


class LockedLogError(LogError):
    """Another program holds the file."""


class FullDiskError(LogError):
    """No room is left on the disk."""


class UnwritableLogError(LogError):
    """The file or its folder may not be written."""


class RowConflictError(LogError):
    """Another answer stands under the same uuid."""


class LogFileError(LogError):
    """A file that should bring a student's log in; nothing of it was used."""


class NotALogFileError(LogFileError):
    """The file is something else."""


class NewerLogFileError(LogFileError):
    """The file was written by a newer version of this program."""


class DamagedLogFileError(LogFileError):
    """The file is torn, or was changed by hand; `place` says where, for who wants to look."""

    def __init__(self, path: Path | str, *, place: str) -> None:
        self.place = place
        super().__init__(
            path,
            wrong="the file was damaged on its way, and nothing of it was taken",
            remedy=f"Ask for it again, or hand the log over once more ({place})",
        )
