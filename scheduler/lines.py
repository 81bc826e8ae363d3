"""A row of a log as one line of JSON, and back, believing nothing of the line.

A line is an object (RFC 8259) with the columns of `scheduler.schema` by their names; what those
keep as JSON stands in it as it is. So a row that is read equals the one that was written, to the
last bit, and a line that no log would have written is refused, by its field.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from typing import Any, NoReturn

from scheduler.answer import OFFSET_MIN, UTC_MS, VERSION, Answer, is_deeper, moment_of
from scheduler.errors import AnswerError
from scheduler.leaving import Leaving
from scheduler.notes import Note
from scheduler.schema import COLUMNS, LEAVING_COLUMNS, NOTE_COLUMNS, leaving_of
from scheduler.tables import ANSWERS, Row, table_of

LONGEST_LINE = 2**20
"""Bytes; an answer on a teacher's question holds that question whole."""
_MOST_DEEP = 100
"""Lists and objects in one another; SQLite reads a thousand."""
_WHOLE = range(-(2**63), 2**63)
"""SQLite's integers."""


class LineError(Exception):
    """What is wrong with a line."""


class NewerLineError(LineError):
    """The row was written by a newer version of this program."""


def line_of(row: Row) -> bytes:
    """The line of a row, with its end."""
    table = table_of(row)
    values = table.values(row)
    if table is ANSWERS:
        return line_of_values(values)
    fields = dict(zip(table.columns, values, strict=True))
    if isinstance(row, Note):
        fields["data"] = row.data
    return f"{_written(fields)}\n".encode()


def line_of_values(values: Sequence[Any]) -> bytes:
    """The line of an answer's row as the log keeps it, which is far sooner made."""
    put = [write(value) for write, value in zip(_WRITERS, values, strict=True)]
    return (_TEMPLATE % tuple(put)).encode()


def answer_in(line: bytes) -> Answer:
    """The answer of a line. Raises LineError, and NewerLineError for one of a newer version."""
    fields = _fields_in(line, _OF_AN_ANSWER)
    if fields["version"] > VERSION:
        raise NewerLineError(f"version={fields['version']} is newer than {VERSION}")
    if fields["version"] < 1:
        raise LineError(f"version={fields['version']}: give 1 or more")
    for name in ("choices", "right"):
        if not all(type(each) is str for each in fields[name]):
            raise LineError(f"{name}={fields[name]!r:.80} cannot be")
    if line.count(b"{") + line.count(b"[") > _MOST_DEEP and is_deeper(
        fields["setting"], _MOST_DEEP
    ):
        raise LineError(f"setting is nested more than {_MOST_DEEP} deep")
    if fields["offset_min"] not in OFFSET_MIN:
        raise LineError(f"offset_min={fields['offset_min']}: give minutes from -1440 to 1440")
    try:
        return Answer(utc=moment_of(fields.pop("utc_ms")), **fields)
    except (AnswerError, RecursionError) as error:
        raise LineError(_shortly(error)) from error


def leaving_in(line: bytes) -> Leaving:
    """The leaving of a line. Raises LineError."""
    fields = _fields_in(line, _OF_A_LEAVING)
    if fields["out"] not in (0, 1):
        raise LineError(f"out={fields['out']}: give 0 or 1")
    try:
        return leaving_of([fields[name] for name in LEAVING_COLUMNS])
    except AnswerError as error:
        raise LineError(_shortly(error)) from error


def note_in(line: bytes) -> Note:
    """The note of a line. Raises LineError."""
    try:
        return Note(**_fields_in(line, _OF_A_NOTE))
    except AnswerError as error:
        raise LineError(_shortly(error)) from error


def _fields_in(line: bytes, types: Mapping[str, tuple[type, ...]]) -> dict[str, Any]:
    """The fields of a line, each of a type that its column has and of a value that SQLite keeps."""
    try:
        fields = _READER.decode(line.decode())
        if b"\\u" in line:
            _written(fields).encode()  # half of a surrogate pair is read, and goes into no log
    except (ValueError, RecursionError) as error:
        raise LineError("it is no line of JSON") from error
    if type(fields) is not dict:
        raise LineError("it is no object of names and values")
    if fields.keys() != types.keys():
        missing, unknown = types.keys() - fields.keys(), fields.keys() - types.keys()
        lacks = f"lacks {min(missing)}" if missing else f"has a field {min(unknown)!r:.40}"
        raise LineError(f"it {lacks}")
    for name, fits in types.items():
        value = fields[name]
        if type(value) not in fits or (type(value) is int and value not in _WHOLE):
            raise LineError(f"{name}={value!r:.80} cannot be")
        if type(value) is str and value[:1] == "\0":  # at which SQLite takes a text to be empty
            raise LineError(f"{name}={value!r:.80} cannot be")
    if fields["utc_ms"] not in UTC_MS:
        raise LineError(f"utc_ms={fields['utc_ms']} is of no year that can be")
    return fields


def _shortly(error: Exception) -> str:
    return f"{error}"[:200]


def _refuse(name: str) -> NoReturn:
    raise LineError(f"it is no line of JSON: {name} is no number there")


def _as_it_is(text: str) -> str:
    return text.replace("\n", " ")  # JSON, in which a line's end can only be space


_written = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode
_READER = json.JSONDecoder(parse_constant=_refuse)
_NUMBER = (float, int)
_TYPES: dict[str, tuple[type, ...]] = {
    "seed": (int,),
    "setting": (dict,),
    "choices": (list,),
    "right": (list,),
    "credit": _NUMBER,
    "heard": (str, type(None)),
    "chance": _NUMBER,
    "predicted": _NUMBER,
    "response_ms": (int,),
    "utc_ms": (int,),
    "offset_min": (int,),
    "monotonic_s": _NUMBER,
    "version": (int,),
    "out": (int,),
    "data": (dict,),
}
"""By column, where it is no text."""
_OF_AN_ANSWER = {name: _TYPES.get(name, (str,)) for name in COLUMNS}
_OF_A_LEAVING = {name: _TYPES.get(name, (str,)) for name in LEAVING_COLUMNS}
_OF_A_NOTE = {name: _TYPES.get(name, (str,)) for name in NOTE_COLUMNS}
ROW_IN: Mapping[str, Callable[[bytes], Row]] = {
    "answers": answer_in,
    "left_out": leaving_in,
    "notes": note_in,
}
"""By table, what reads its lines; raises LineError."""
_KEPT_AS_JSON = ("setting", "choices", "right")
_WRITERS = tuple(
    _as_it_is if name in _KEPT_AS_JSON else _written if str in types else repr
    for name, types in _OF_AN_ANSWER.items()
)
"""By column; Python writes a number as JSON does where it is finite, as all in answers are."""
_TEMPLATE = f"{{{','.join(f'{_written(name)}:%s' for name in COLUMNS)}}}\n"
