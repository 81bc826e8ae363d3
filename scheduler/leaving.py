"""Whose answers count for nothing: a session is left out, as somebody else's, or put back.

Each saying is a row of its own, only ever added, and no answer is touched. Of the rows on a session
the latest holds, by time and then by uuid: so logs that are put together in any order, once or
often, leave out the same.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from scheduler.answer import new_uuid
from scheduler.errors import AnswerError

Pair = tuple[str, str]
"""A student and a session."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving:
    """That a student's session is left out, or put back. Raises AnswerError for empty names."""

    uuid: str = field(default_factory=new_uuid)
    student: str
    session: str
    is_out: bool
    utc_ms: int
    """Milliseconds since 1970 in UTC."""
    device: str

    def __post_init__(self) -> None:
        for name in ("uuid", "student", "session"):
            if not isinstance(getattr(self, name), str) or not getattr(self, name):
                raise AnswerError(f"{name}={getattr(self, name)!r}: give a text that is not empty")


def latest_of(leavings: Iterable[Leaving]) -> dict[Pair, Leaving]:
    """Of each session that was ever left out, what was said last."""
    in_order = sorted(leavings, key=lambda leaving: (leaving.utc_ms, leaving.uuid))
    return {(leaving.student, leaving.session): leaving for leaving in in_order}


def left_out_of(leavings: Iterable[Leaving]) -> frozenset[Pair]:
    """The sessions that are left out."""
    return frozenset(pair for pair, last in latest_of(leavings).items() if last.is_out)
