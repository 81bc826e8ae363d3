"""What all peers share: the course, what has been met, what may be new today, what may be asked.

A place is an item's place in the course, from 0; an array holds one value for each place. Moments
are days since 1970 in UTC, with fractions; a day is a whole one of these.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import datetime

import numpy as np
import numpy.typing as npt

from scheduler import Item, Lesson, Meeting
from scheduler.answer import milliseconds_of

DAY_MS = 86_400_000
SLIP = 0.05
INTRODUCING = 1.5
"""Times its seconds that a question takes when its skill is new."""

Moments = npt.NDArray[np.float64]
Places = npt.NDArray[np.bool_]


class Peer:
    """One way of choosing. No skill twice in a row, nothing that does not fit the time left.

    `new_a_day` skills may be new in a day, fractions adding up over days; None sets no bound. One
    more is new where otherwise nothing, or the last skill again, could be asked.
    """

    def __init__(self, items: Sequence[Item], *, new_a_day: float | None = None) -> None:
        self.items = tuple(items)
        self.places = {item.skill: place for place, item in enumerate(self.items)}
        self.seconds = np.array([item.seconds for item in self.items])
        self.met = np.zeros(len(self.items), dtype=bool)
        self.met_at = np.full(len(self.items), -np.inf)
        self.last: int | None = None
        self._new_a_day = math.inf if new_a_day is None else new_a_day
        self._new_left = 0.0

    def begin(self, now: datetime, seconds: float, lesson: Lesson | None) -> None:
        carried = self._new_left % 1.0 if math.isfinite(self._new_left) else 0.0
        self._new_left = carried + self._new_a_day

    def pick(self, now: datetime, seconds_left: float) -> Item | None:
        may = np.where(self.met, 1.0, INTRODUCING) * self.seconds <= seconds_left
        if self.last is not None:
            may[self.last] = False
        unmet = np.flatnonzero(~self.met)
        fresh = int(unmet[0]) if len(unmet) and may[unmet[0]] else None
        place = self.choose(moment_of(now), may, fresh if self._new_left >= 1.0 else None)
        if place is None:
            place = fresh
        if place is None and self.last is not None and self.seconds[self.last] <= seconds_left:
            place = self.last
        return None if place is None else self.items[place]

    def answered(self, meeting: Meeting) -> None:
        place, at = self.places[meeting.skill], meeting.utc_ms / DAY_MS
        if self.met[place]:
            self.learn(place, at, meeting)
        else:
            self._new_left -= 1.0
            self.introduce(place, at)
        self.met[place], self.met_at[place], self.last = True, at, place

    def predict(self, skill: str, now: datetime, chance: float) -> float | None:
        known = self.known(self.places[skill], moment_of(now))
        return None if known is None else (1.0 - SLIP) * known + chance * (1.0 - known)

    def choose(self, now: float, may: Places, fresh: int | None) -> int | None:
        """What to ask of all that `may` be asked; None: nothing.

        `fresh` is the next new one of the course, if there may be one now.
        """
        raise NotImplementedError

    def introduce(self, place: int, at: float) -> None:
        """The skill was shown for the first time; no answer tells anything yet."""

    def learn(self, place: int, at: float, meeting: Meeting) -> None:
        """A skill begun earlier was asked; `met_at` still says when before that."""

    def known(self, place: int, now: float) -> float | None:
        """Chance that the skill is known now; None where this peer says nothing of it."""
        return None


class DueFirst(Peer):
    """What is due, most pressing first; then what is new; then the most pressing of the rest.

    `new_first` puts what is new before what is due. Subclasses set `due_at` after each meeting.
    """

    def __init__(
        self, items: Sequence[Item], *, new_a_day: float | None = None, new_first: bool = False
    ) -> None:
        super().__init__(items, new_a_day=new_a_day)
        self.due_at = np.full(len(self.items), np.inf)
        self._new_first = new_first

    def choose(self, now: float, may: Places, fresh: int | None) -> int | None:
        begun = may & self.met
        due = begun & (self.due_at <= now)
        if fresh is not None and (self._new_first or not due.any()):
            return fresh
        return longest_ago(due if due.any() else begun, self.pressing(now), self.met_at)

    def pressing(self, now: float) -> Moments:
        """How pressing each is; only the order matters."""
        return now - self.due_at


def longest_ago(among: Places, value: Moments, met_at: Moments) -> int | None:
    """The place in `among` with the highest `value`; of equal ones, that met longest ago."""
    if not among.any():
        return None
    highest = np.max(value, where=among, initial=-np.inf)
    equal = among & (value >= highest - 1e-9)
    return int(np.argmin(np.where(equal, met_at, np.inf)))


def moment_of(now: datetime) -> float:
    return milliseconds_of(now) / DAY_MS


def was_right(meeting: Meeting) -> bool:
    """For peers that know only right and wrong: of an answer with part credit, the nearer one."""
    return meeting.credit >= 0.5
