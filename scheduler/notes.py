"""What a student's log holds beside answers: notes, each a word and an object of JSON.

What a note means is nobody's concern here: its word says what it is, and whoever wrote it reads its
data. Notes teach memory nothing. Each is a row of its own, only ever added, so that logs that are
put together in any order, once or often, hold the same.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, NoReturn

from scheduler.answer import OFFSET_MIN, UTC_MS, is_deeper, json_text, moment_of, new_uuid
from scheduler.errors import AnswerError
from scheduler.merged import merged

MOST_DATA_BYTES = 2**12
"""Of a note's data in JSON, so that a log of many notes still fits into a file."""
_LONGEST_WHAT = 40
_MOST_DEEP = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Something beside answers that a student's log holds. Raises AnswerError for values that no
    log may hold.

    `what` is a short word, `data` an object of JSON; tuples in it become lists, so that a note read
    back equals the note written.
    """

    uuid: str = field(default_factory=new_uuid)
    student: str
    what: str
    data: Mapping[str, Any]
    utc_ms: int
    """Milliseconds since 1970 in UTC."""
    offset_min: int
    """The local clock's offset from UTC."""
    device: str

    def __post_init__(self) -> None:
        for name in ("uuid", "student", "what"):
            if not isinstance(getattr(self, name), str) or not getattr(self, name):
                raise AnswerError(f"{name}={getattr(self, name)!r}: give a text that is not empty")
        if len(self.what) > _LONGEST_WHAT:
            raise AnswerError(
                f"what={self.what!r:.80}: give a word of {_LONGEST_WHAT} signs or less"
            )
        if type(self.utc_ms) is not int or self.utc_ms not in UTC_MS:
            raise AnswerError(f"utc_ms={self.utc_ms!r:.40} is of no year that can be")
        if type(self.offset_min) is not int or self.offset_min not in OFFSET_MIN:
            raise AnswerError(f"offset_min={self.offset_min!r}: give minutes from -1440 to 1440")
        object.__setattr__(self, "data", self._read_back())

    def _read_back(self) -> Any:
        """The data as a log gives them back."""
        said = f"data={self.data!r:.80}"
        try:
            text = json_text(self.data)
            size = len(text.encode())  # half of a surrogate pair goes into no log
            data = _READER.decode(text)
        except (TypeError, ValueError, RecursionError) as error:
            raise AnswerError(f"{said} does not go into JSON: {error}"[:200]) from error
        may_be_deep = text.count("{") + text.count("[") > _MOST_DEEP
        if type(data) is not dict or (may_be_deep and is_deeper(data, _MOST_DEEP)):
            raise AnswerError(f"{said}: give an object that is not nested deeply")
        if size > MOST_DATA_BYTES:
            raise AnswerError(f"{said} takes {size} bytes; {MOST_DATA_BYTES} at most are kept")
        return data

    @property
    def utc(self) -> datetime:
        """When it was noted, in UTC."""
        return moment_of(self.utc_ms)


def in_order(notes: Iterable[Note]) -> list[Note]:
    """Notes in the order in which they came into a log, put into that of all logs: each device's
    own stays, and devices are merged by time."""
    of_devices: dict[str, list[Note]] = {}
    for note in notes:
        of_devices.setdefault(note.device, []).append(note)
    streams = {
        device: ((note, note.utc_ms) for note in rows) for device, rows in of_devices.items()
    }
    return [note for _, _, (note,) in merged(streams, {})]


def _refuse(name: str) -> NoReturn:
    raise ValueError(f"{name} is no number there")


_READER = json.JSONDecoder(parse_constant=_refuse)
