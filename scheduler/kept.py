"""A student's memory and history kept beside the log, so that opening need not read every answer.

The log alone says what a student knows; what is kept only spares reading it anew, and may be
deleted. It is believed where it is whole, of this model, stands on rows that the log still has, and
none of these was left out or put back since; then the rows added since are taken too, if they come
after all that it has seen. In any doubt both are rebuilt from the log. Either way they are the
same, to the last bit.

The file's first line is a digest of the rest, its second what the memory stands on, its third the
memory and its fourth the history; all in JSON.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from scheduler.answer import Meeting
from scheduler.history import COUNTING, History
from scheduler.log import Log
from scheduler.memory import MODEL, Memory
from scheduler.rows import Dated

_MARKS = 64
"""So many rows, spread over the log, are looked at again to see that it is the same log."""


@dataclass(frozen=True, slots=True)
class _Ground:
    """What a memory stands on."""

    model: int
    student: str
    until: int
    """The log's last row that was read."""
    marks: tuple[tuple[int, str | None], ...]
    """Numbers and uuids of some rows until then, the last among them."""
    latest_ms: Mapping[str, int]
    """By device: the latest time seen, on which the order of the log hangs."""
    sorting: str
    """A digest of the families and kin of the skills met."""
    left_out: tuple[str, ...]
    """The sessions whose answers did not count, sorted."""
    counting: int = COUNTING


@dataclass(frozen=True, slots=True)
class Recalled:
    """A student's memory and history as of the log, and how they were come by."""

    memory: Memory
    history: History
    doubt: str | None
    """Why the whole log was read; None when it was not."""
    ground: _Ground | None
    """None where another program has numbered rows in its own way: nothing is kept then."""
    is_kept: bool = False
    """Whether just this lies beside the log."""


def recalled(
    log: Log,
    student: str,
    *,
    families: Mapping[str, str],
    kin: Mapping[str, str],
    since: Recalled | None = None,
) -> Recalled:
    """What `log` tells of `student`: the same as from all of its rows, mostly far sooner.

    Goes on from `since`, recalled earlier from the same log, or from what is kept beside it.
    Raises LogError as reading a log does; nothing that is kept makes it fail.
    """
    (first, last), left_out = log.numbers(), log.left_out(student)
    try:
        if first != 1:
            raise _DoubtError("rows are not numbered from 1")
        start = since or _kept(log, student, families, kin)
        return _gone_on(log, student, last, left_out, start, families, kin)
    except _DoubtError as doubt:
        latest_ms: dict[str, int] = {}
        rows = _noting(log.dated_meetings(student, until=last, left_out=left_out), latest_ms)
        memory, history = History().after(Memory(families=families, kin=kin), rows)
        is_numbered = first == 1 and log.count_between(0, last) == last
        ground = _ground(log, student, last, left_out, latest_ms, memory) if is_numbered else None
        return Recalled(memory, history, str(doubt), ground)


def keep(found: Recalled, log: Log) -> Recalled:
    """Write a memory beside the log, whole or not at all; it then says that it is kept.

    A file that cannot be written, as in a folder for reading only, is no error.
    """
    if found.is_kept or found.ground is None:
        return found
    path = kept_path(log.path, found.ground.student)
    learnt = (asdict(found.ground), found.memory.as_json(), found.history.as_json())
    content = "\n".join(map(json.dumps, learnt)).encode()
    draft = path.with_name(f"{path.name}.draft")
    try:
        with draft.open("wb") as file:
            file.write(_digest(content) + b"\n" + content)
            file.flush()
            os.fsync(file.fileno())
        draft.replace(path)
    except OSError:
        with contextlib.suppress(OSError):
            draft.unlink(missing_ok=True)
        return found
    return replace(found, is_kept=True)


def kept_path(log: Path, student: str) -> Path:
    """Where the memory of `student` is kept; a name may hold what no file name can."""
    name = hashlib.blake2b(student.encode(), digest_size=8).hexdigest()
    return log.with_name(f"{log.name}.memory-{name}")


class _DoubtError(Exception):
    """Why a memory is not believed."""


def _kept(log: Log, student: str, families: Mapping[str, str], kin: Mapping[str, str]) -> Recalled:
    """What lies beside the log. Raises _DoubtError unless it is whole and of this model."""
    try:
        digest, _, content = kept_path(log.path, student).read_bytes().partition(b"\n")
        if digest != _digest(content):
            raise _DoubtError("what was kept is damaged")
        ground, learnt, counted = content.split(b"\n")
        found = json.loads(ground)
        found["until"] = int(found["until"])
        found["marks"] = tuple((row, uuid) for row, uuid in found["marks"])
        found["latest_ms"] = {name: int(at_ms) for name, at_ms in found["latest_ms"].items()}
        found["left_out"] = tuple(found["left_out"])
        memory = Memory.from_json(json.loads(learnt), families=families, kin=kin)
        history = History.from_json(json.loads(counted))
        return Recalled(memory, history, None, _Ground(**found), is_kept=True)
    except FileNotFoundError:
        raise _DoubtError("nothing was kept") from None
    except OSError as error:
        raise _DoubtError(f"what was kept cannot be read ({error.strerror})") from error
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise _DoubtError("what was kept is of another version") from error


def _gone_on(
    log: Log,
    student: str,
    last: int,
    left_out: frozenset[str],
    start: Recalled,
    families: Mapping[str, str],
    kin: Mapping[str, str],
) -> Recalled:
    """Memory and history after the rows added since. Raises _DoubtError where `start` is not what
    the log tells, or where a row added since belongs before one that it has taken already."""
    ground, memory = start.ground, start.memory
    if ground is None:
        raise _DoubtError("there is nothing to go on from")
    if (ground.model, ground.counting, ground.student) != (MODEL, COUNTING, student):
        raise _DoubtError("what was kept is of another model or student")
    if ground.sorting != _sorting(memory.beliefs, families, kin):
        raise _DoubtError("the families or kin of its skills have changed")
    if ground.until > last or ground.marks != _marks(log, ground.until):
        raise _DoubtError("the log is another than when it was kept")
    changed = left_out.symmetric_difference(ground.left_out)
    if changed and log.has_any(student, changed, until=ground.until):
        raise _DoubtError("answers were left out or put back")
    memory = replace(memory, families=families, kin=kin)
    if ground.until == last and not changed:
        return replace(start, memory=memory, doubt=None)
    latest_ms = dict(ground.latest_ms)
    added = log.dated_meetings(
        student, after=ground.until, until=last, latest_ms=latest_ms, left_out=left_out
    )
    memory, history = start.history.after(memory, _noting(added, latest_ms))
    is_numbered = log.count_between(ground.until, last) == last - ground.until
    ground = _ground(log, student, last, left_out, latest_ms, memory) if is_numbered else None
    return Recalled(memory, history, None, ground)


def _noting(rows: Iterator[Dated], latest_ms: dict[str, int]) -> Iterator[Meeting]:
    """The meetings, while the latest times of their devices are noted.

    Raises _DoubtError if the first row, and hence any, belongs before what was seen already.
    """
    seen = max(((at_ms, device) for device, at_ms in latest_ms.items()), default=None)
    for row in rows:
        if seen is not None and (row.latest_ms, row.device) < seen:
            raise _DoubtError("answers were added that belong before those seen")
        seen = None
        latest_ms[row.device] = row.latest_ms
        yield row.meeting


def _ground(
    log: Log,
    student: str,
    until: int,
    left_out: frozenset[str],
    latest_ms: Mapping[str, int],
    memory: Memory,
) -> _Ground:
    sorting, sessions = _sorting(memory.beliefs, memory.families, memory.kin), sorted(left_out)
    return _Ground(MODEL, student, until, _marks(log, until), latest_ms, sorting, tuple(sessions))


def _marks(log: Log, until: int) -> tuple[tuple[int, str | None], ...]:
    """Numbers and uuids of rows spread evenly until the last."""
    rows = sorted({until - until * part // _MARKS for part in range(_MARKS)} - {0})
    return tuple(zip(rows, log.uuids_at(rows), strict=True))


def _sorting(skills: Iterable[str], families: Mapping[str, str], kin: Mapping[str, str]) -> str:
    """A digest of how skills are sorted: by this the same answers may teach otherwise."""
    rows = [(skill, families.get(skill, ""), kin.get(skill, "")) for skill in sorted(skills)]
    return _digest(json.dumps(rows).encode()).decode()


def _digest(content: bytes) -> bytes:
    return hashlib.blake2b(content, digest_size=16).hexdigest().encode()
