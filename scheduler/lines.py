"""A row of a log as one line of JSON, and back, believing nothing of the line.

A line is an object (RFC 8259) with the columns of `scheduler.schema` by their names; what those
keep as JSON stands in it as it is. So a row that is read equals the one that was written, to the
last bit, and a line that no log would have written is refused, by its field.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from operator import attrgetter
from typing import Any, NoReturn

from scheduler.answer import VERSION, Answer, milliseconds_of, moment_of
from scheduler.errors import AnswerError
from scheduler.leaving import Leaving
from scheduler.schema import COLUMNS, LEAVING_COLUMNS, leaving_of, leaving_row_of

LONGEST_LINE = 2**20
"""Bytes; an answer on a teacher's question holds that question whole."""
_MOST_DEEP = 100
"""Lists and objects in one another; SQLite reads a thousand."""
_WHOLE = range(-(2**63), 2**63)
"""SQLite's integers."""
_UTC_MS = range(-62_000_000_000_000, 253_000_000_000_000)
"""From the year 5 to the year 9987: a date can be made of these in every time zone."""
_OFFSET_MIN = range(-1440, 1441)


class LineError(Exception):
    """What is wrong with a line."""


class NewerLineError(LineError):
    """The row was written by a newer version of this program."""


def line_of(row: Answer | Leaving) -> bytes:
    """The line of a row, with its end."""
    if isinstance(row, Leaving):
        fields = dict(zip(LEAVING_COLUMNS, leaving_row_of(row), strict=True))
    else:
        fields = dict(zip(COLUMNS, _values(row), strict=True))
        fields["utc_ms"] = milliseconds_of(row.utc)
    return f"{_written(fields)}\n".encode()


def answer_in(line: bytes) -> Answer:
    """The answer of a line. Raises LineError, and NewerLineError for one of a newer version."""
    fields = _fields_in(line, _OF_AN_ANSWER)
    if fields["version"] > VERSION:
        raise NewerLineError(f"version={fields['version']} is newer than {VERSION}")
    if fields["version"] < 1:
        raise LineError(f"version={fields['version']}: give 1 or more")
    if fields["offset_min"] not in _OFFSET_MIN:
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


def _fields_in(line: bytes, columns: dict[str, Callable[[Any], bool]]) -> dict[str, Any]:
    """The fields of a line, each of the type that its column has."""
    try:
        fields = _READER.decode(line.decode())
        if b"\\u" in line:
            _written(fields).encode()  # half of a surrogate pair is read, and goes into no log
    except (ValueError, RecursionError) as error:
        raise LineError(f"it is no line of JSON ({_shortly(error)})") from error
    if not isinstance(fields, dict):
        raise LineError("it is no object of names and values")
    if fields.keys() != columns.keys():
        missing, unknown = columns.keys() - fields.keys(), fields.keys() - columns.keys()
        lacks = f"lacks {min(missing)}" if missing else f"has a field {min(unknown)!r:.40}"
        raise LineError(f"it {lacks}")
    for name, fits in columns.items():
        if not fits(fields[name]):
            raise LineError(f"{name}={fields[name]!r:.80} cannot be")
    return fields


def _is_text(value: Any) -> bool:
    return type(value) is str and value[:1] != "\0"  # at which SQLite takes a text to be empty


def _is_whole(value: Any) -> bool:
    return type(value) is int and value in _WHOLE


def _is_number(value: Any) -> bool:
    return type(value) is float or _is_whole(value)


def _are_texts(value: Any) -> bool:
    return type(value) is list and all(type(each) is str for each in value)


def _is_setting(value: Any) -> bool:
    return type(value) is dict and not _is_deeper(value, _MOST_DEEP)


def _is_deeper(value: Any, most: int) -> bool:
    inner = value.values() if type(value) is dict else value if type(value) is list else ()
    return most == 0 or any(_is_deeper(each, most - 1) for each in inner)


def _refuse(name: str) -> NoReturn:
    raise ValueError(f"{name} is no number of JSON")


def _shortly(error: Exception) -> str:
    return f"{error}"[:200]


_values = attrgetter(*("utc" if name == "utc_ms" else name for name in COLUMNS))
_written = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode
_READER = json.JSONDecoder(parse_constant=_refuse)
_TYPES: dict[str, Callable[[Any], bool]] = {
    "seed": _is_whole,
    "setting": _is_setting,
    "choices": _are_texts,
    "right": _are_texts,
    "credit": _is_number,
    "heard": lambda value: value is None or _is_text(value),
    "chance": _is_number,
    "predicted": _is_number,
    "response_ms": _is_whole,
    "utc_ms": lambda value: _is_whole(value) and value in _UTC_MS,
    "offset_min": _is_whole,
    "monotonic_s": _is_number,
    "version": _is_whole,
    "out": _is_whole,
}
"""By column, where it is no text."""
_OF_AN_ANSWER = {name: _TYPES.get(name, _is_text) for name in COLUMNS}
_OF_A_LEAVING = {name: _TYPES.get(name, _is_text) for name in LEAVING_COLUMNS}
