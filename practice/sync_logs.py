"""Whether something was answered or noted on this device that is not in the folder kept in step
yet."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from practice.standing import LOG_NAME
from practice.students import Known
from practice.sync_files import Stamp, stamp_of, wait_out
from practice.sync_memory import Mine
from scheduler import Log


def looked(student: Known, before: Mine | None) -> tuple[Mine | None, bool]:
    """How far the log of a student goes, None where there is none yet; and whether it is the one
    that it was when it was looked at `before`.

    Costs no more than a look at the log's stamps where these have not changed. Raises LogError and
    OSError.
    """
    assert student.settings is not None
    path = student.folder / LOG_NAME
    stamps = _stamps(path)
    if before is not None and before.log == stamps:
        return before, True
    if stamps[0] is None:
        return None, False
    wait_out(stamps[0])
    stamps = _stamps(path)
    with Log.reading(path) as log:
        said = _said(log, student.id, student.settings.device_id)
        is_same = before is None or _goes_on(log, said, before)
        start = before if is_same else None
        return _mine(log, student.id, student.settings.device_id, said, start, stamps), is_same


def _stamps(path: Path) -> tuple[Stamp | None, ...]:
    """Of the log and the rows beside it. Raises OSError."""
    rows = stamp_of(path.with_name(f"{path.name}-wal"))
    return stamp_of(path), rows if rows is not None and rows.size else None


class _Said(NamedTuple):
    """How many rows beside answers this device has written of a student."""

    leavings: int
    notes: int


def _said(log: Log, student: str, device: str) -> _Said:
    leavings = sum(leaving.device == device for leaving in log.leavings(student))
    return _Said(leavings, log.noted_on(student, device))


def _goes_on(log: Log, said: _Said, before: Mine) -> bool:
    """Whether it is the log that it was when it was looked at before: nothing in it is lost."""
    if said.leavings < before.leavings or said.notes < before.notes:
        return False
    return before.until <= log.numbers()[1] and log.uuids_at([before.until]) == [before.uuid]


def _mine(
    log: Log,
    student: str,
    device: str,
    said: _Said,
    before: Mine | None,
    stamps: tuple[Stamp | None, ...],
) -> Mine:
    """How far a log goes, and whether this device has added to it since `before`."""
    last = log.numbers()[1]
    until, known, is_owed = 0, _Said(0, 0), False
    if before is not None:
        until, is_owed = before.until, before.is_owed
        known = _Said(before.leavings, before.notes)
    added = log.dated_meetings(student, after=until, until=last, left_out=())
    is_owed = is_owed or said != known or any(dated.device == device for dated in added)
    return Mine(
        log=stamps,
        until=last,
        uuid=log.uuids_at([last])[0],
        leavings=said.leavings,
        notes=said.notes,
        is_owed=is_owed,
        place=before.place if before is not None else "",
        digest=before.digest if before is not None else "",
    )
