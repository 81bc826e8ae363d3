"""The practices in a log, each whole though a device slept in it, to be left out or put back."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime

from practice.recording import practice_of
from scheduler import Sat


@dataclass(frozen=True, slots=True)
class Held:
    """A practice: its session or, where the device slept, its sessions."""

    id: str
    sessions: tuple[str, ...]
    answers: int
    asked: int
    """Answers to what had not just been told."""
    right: int
    first_ms: int
    last_ms: int
    is_out: bool
    """Whether it counts for nothing."""

    @property
    def at(self) -> datetime:
        """When it began, by the clock of this machine."""
        return datetime.fromtimestamp(self.first_ms / 1000).astimezone()

    @property
    def until(self) -> datetime:
        """When it was last answered in it, by the clock of this machine."""
        return datetime.fromtimestamp(self.last_ms / 1000).astimezone()


def practices_of(sessions: Iterable[Sat], left_out: Collection[str]) -> list[Held]:
    """The practices that these sessions are parts of, the last at the end."""
    parts: dict[str, list[Sat]] = {}
    for sat in sessions:
        name = practice_of(sat.session)
        parts[name] = [*parts.pop(name, []), sat]
    return [
        Held(
            id=name,
            sessions=tuple(sat.session for sat in sats),
            answers=sum(sat.answers for sat in sats),
            asked=sum(sat.asked for sat in sats),
            right=sum(sat.right for sat in sats),
            first_ms=min(sat.first_ms for sat in sats),
            last_ms=max(sat.last_ms for sat in sats),
            is_out={sat.session for sat in sats} <= set(left_out),
        )
        for name, sats in parts.items()
    ]
