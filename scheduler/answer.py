"""What the scheduler is told: items that may be practised, and answers that were given.

Times are aware datetimes in UTC to the millisecond; `response_ms` counts from the end of the cue
and is negative for an answer that came before it ended.
"""

from __future__ import annotations

import json
import math
import os
import time
import uuid as uuid_module
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any, NamedTuple

from scheduler.errors import AnswerError

VERSION = 1
"""Version of what one answer holds; it stands in every row."""

SECONDS_A_DAY = 86_400.0
OFFSET_MIN = range(-1440, 1441)
"""Of a local clock from UTC, in minutes."""
UTC_MS = range(-62_000_000_000_000, 253_000_000_000_000)
"""From the year 5 to the year 9987: a date can be made of these in every time zone."""
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MILLISECOND = timedelta(milliseconds=1)
_LARGEST_SEED = 2**63 - 1  # SQLite's integers are signed, 64 bits wide


@dataclass(frozen=True, slots=True)
class Item:
    """One skill that may be practised; a course is a tuple of these, in the order to be met.

    `family` is "perception", "facts" or "orders" and sets how fast the skill fades; skills of one
    `cluster` are easily taken for one another; `chance` is the usual chance of a lucky guess and
    `seconds` the usual time of one question, explanation included. Skills of one `kin` lend each
    other a little of what an answer says; "" lends nothing.
    """

    skill: str
    kind: str
    family: str
    cluster: str
    chance: float
    seconds: float
    kin: str = ""


class Meeting(NamedTuple):
    """What memory and history need of one answer; a log yields these faster than whole answers."""

    skill: str
    kind: str
    credit: float
    heard: str | None
    chance: float
    response_ms: int
    utc_ms: int
    """Milliseconds since 1970 in UTC."""
    monotonic_s: float
    device: str
    session: str
    right: str = "[]"
    """The ids that were right, as the log keeps them: a list in JSON."""
    given: str = ""
    offset_min: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One row of the log. Raises AnswerError for values that no log may hold.

    `setting`, `choices` and `right` are kept as JSON; tuples in `setting` become lists, so that an
    answer read back equals the answer written. `heard` is the skill that was heard instead.
    `utc` must be aware and is kept in UTC, cut to milliseconds; `offset_min` is the local clock's
    offset from UTC; `monotonic_s` comes from a clock that never runs back within a session.
    """

    uuid: str = field(default_factory=lambda: new_uuid())
    student: str
    skill: str
    kind: str
    seed: int
    setting: Mapping[str, Any]
    choices: tuple[str, ...]
    right: tuple[str, ...]
    given: str
    credit: float
    heard: str | None
    chance: float
    predicted: float
    reason: str
    response_ms: int
    utc: datetime
    offset_min: int
    monotonic_s: float
    device: str
    session: str
    version: int = VERSION

    def __post_init__(self) -> None:
        self._check_numbers()
        for name in ("uuid", "student", "skill", "kind", "session"):
            if not isinstance(getattr(self, name), str) or not getattr(self, name):
                raise AnswerError(f"{name}={getattr(self, name)!r}: give a text that is not empty")
        if self.utc.tzinfo is None:
            raise AnswerError(f"utc={self.utc!r} has no time zone: use datetime.now(UTC)")
        put = object.__setattr__
        put(self, "utc", moment_of(milliseconds_of(self.utc)))
        put(self, "choices", tuple(self.choices))
        put(self, "right", tuple(self.right))
        try:
            put(self, "setting", json.loads(_in_json(self.setting)))
        except (TypeError, ValueError) as error:
            raise AnswerError(f"setting={self.setting!r} does not go into JSON: {error}") from error

    def _check_numbers(self) -> None:
        for name in ("credit", "chance", "predicted"):
            value = getattr(self, name)
            if not 0.0 <= value <= 1.0:  # false for NaN, too
                raise AnswerError(f"{name}={value!r} of skill {self.skill!r} must lie in 0 to 1")
            object.__setattr__(self, name, float(value))
        if not 0 <= self.seed <= _LARGEST_SEED:
            raise AnswerError(f"seed={self.seed!r} must lie in 0 to 2**63 - 1")
        if not math.isfinite(self.monotonic_s):
            raise AnswerError(f"monotonic_s={self.monotonic_s!r}: use time.monotonic()")
        object.__setattr__(self, "monotonic_s", float(self.monotonic_s))
        for name in ("seed", "response_ms", "offset_min", "version"):
            if not isinstance(getattr(self, name), int):
                raise AnswerError(f"{name}={getattr(self, name)!r} must be a whole number")

    @property
    def meeting(self) -> Meeting:
        return Meeting(
            skill=self.skill,
            kind=self.kind,
            credit=self.credit,
            heard=self.heard,
            chance=self.chance,
            response_ms=self.response_ms,
            utc_ms=milliseconds_of(self.utc),
            monotonic_s=self.monotonic_s,
            device=self.device,
            session=self.session,
            right=json_text(self.right),
            given=self.given,
            offset_min=self.offset_min,
        )


def json_text(value: Any) -> str:
    """A value as the log keeps it: the same text for the same value."""
    return _sorted_json(value)


def is_deeper(value: Any, most: int) -> bool:
    """Whether more than so many lists and objects of JSON stand in one another."""
    inner = value.values() if type(value) is dict else value if type(value) is list else ()
    return most < 0 or any(is_deeper(each, most - 1) for each in inner)


# Made once: json.dumps would make an encoder for each value.
_in_json = json.JSONEncoder(allow_nan=False).encode
_sorted_json = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"), sort_keys=True).encode


def milliseconds_of(moment: datetime) -> int:
    """Milliseconds since 1970 of an aware datetime, cut downwards."""
    return (moment - _EPOCH) // _MILLISECOND


def moment_of(utc_ms: int) -> datetime:
    return _EPOCH + timedelta(milliseconds=utc_ms)


def new_uuid() -> str:
    """A fresh name for an answer that sorts by time: version 7 of RFC 9562, section 5.7.

    Rows in the order of their names spare the log's index from being written all over.
    """
    stamp = time.time_ns() // 1_000_000 & (1 << 48) - 1
    chance_bits = int.from_bytes(os.urandom(10), "big")
    high, low = chance_bits >> 68, chance_bits & (1 << 62) - 1
    return str(uuid_module.UUID(int=stamp << 80 | 7 << 76 | high << 64 | 2 << 62 | low))
