"""From the bytes of a deck to plain values, with a limit to all that could be too much."""

from __future__ import annotations

import codecs
import re
import tomllib
from pathlib import Path as FilePath
from typing import Any

from quizzes.decks.collecting import fault_of
from quizzes.decks.faults import DeckError, Fault
from quizzes.decks.limits import (
    DEEPEST,
    LONGEST_LINE,
    MOST_BYTES,
    MOST_FIELDS,
    MOST_QUESTIONS,
)
from quizzes.places import Path, Places, places_in

FILE = "file"
"""What stands in place of a field where the file as a whole is at fault."""

_REMEDIES = {
    "Unescaped '\\' in a string": "put a text that holds a \\ between '…', not \"…\"",
    "Invalid hex value": "put a text that holds a \\ between '…', not \"…\"",
    "Unterminated string": "close the text with the same quote that opens it",
    "Illegal character '\\n'": "close the text with the same quote that opens it, on the same line",
    "Expected '=' after a key": 'write key = "value", one on each line',
    "Invalid value": "put a text in quotes; true, false and numbers stand without",
    "Invalid initial character for a key": 'begin the line with a key, such as name = "…"',
    "Invalid statement": 'begin the line with a key, such as name = "…", or a [[heading]]',
    "Cannot overwrite a value": "it stands there already; keep one of the two",
    "Cannot declare": "it stands there already; keep one of the two, or write [[…]] for each",
    "Cannot mutate immutable": "it stands there already; keep one of the two",
    "Cannot redefine": "it stands there already; keep one of the two",
    "Duplicate inline table key": "it stands there already; keep one of the two",
    "Unclosed array": "close the list with ], and put commas between what it holds",
    "Unclosed inline table": "close the table with }, and put commas between what it holds",
    "Expected newline or end of document": "begin a new line after each value",
    "Expected ']]'": "close the heading with ]]",
    "Expected ']'": "close the heading with ]",
    "Illegal character": "leave that sign out",
    "Invalid date": "put a date in quotes",
}
"""What would be right, by how `tomllib`'s message begins."""


def text_of(data: bytes, file: str) -> str:
    """The text of a file in UTF-8, without the mark of its encoding that some programs put first.

    Raises DeckError.
    """
    if len(data) > MOST_BYTES:
        raise _too_large(file)
    body = data.removeprefix(codecs.BOM_UTF8)
    try:
        return body.decode("utf-8")
    except UnicodeDecodeError as error:
        line = 1 + body.count(b"\n", 0, error.start)
        said = f"is not in UTF-8: the byte {body[error.start]:#04x} means nothing here"
        raise _whole(file, said, "save it anew with the encoding UTF-8", line) from error


def read_text(path: FilePath, file: str = "") -> str:
    """The same of a file on the disk. Raises DeckError."""
    name = file or path.name
    try:
        if path.exists() and not path.is_file():  # a pipe or a device would keep us waiting
            raise _whole(name, "is no file", "give the path of a deck, a .toml")
        with path.open("rb") as opened:
            data = opened.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:  # a path may hold what no path can
        said = f"cannot be opened: {getattr(error, 'strerror', None) or error}"
        raise _whole(name, said, "give the path of a deck, a .toml") from error
    return text_of(data, name)


def values_of(text: str, file: str) -> tuple[dict[str, Any], Places]:
    """The values of a deck's text, and where they stand. Raises DeckError."""
    body = text.removeprefix("\ufeff")
    _check_size(body, file)
    places = places_in(body, most=MOST_FIELDS, deepest=DEEPEST)
    _check_places(places, file)
    try:
        return tomllib.loads(body), places
    except tomllib.TOMLDecodeError as error:
        raise _no_toml(str(error), body, places, file) from error
    except (ValueError, RecursionError) as error:
        raise _unreadable(body, places, file) from error


def _check_size(text: str, file: str) -> None:
    try:
        size = len(text.encode("utf-8"))
    except UnicodeEncodeError as error:
        line = 1 + text.count("\n", 0, error.start)
        said = "holds half of a sign, which UTF-8 has not"
        raise _whole(file, said, "write that sign anew", line) from error
    if size > MOST_BYTES:
        raise _too_large(file)
    for number, each in enumerate(text.split("\n"), 1):
        if len(each) > LONGEST_LINE:
            said = f"this line has {len(each)} characters"
            raise _whole(file, said, f"break it: at most {LONGEST_LINE} are read", number)


def _check_places(places: Places, file: str) -> None:
    line = max(places.lines.values(), default=1)
    if places.deepest > DEEPEST:
        said = "tables and lists lie within one another too deeply"
        raise _whole(file, said, f"take the inner ones out: at most {DEEPEST} may", line)
    questions = sum(len(path) == 2 and path[0] == "question" for path in places.lines)
    if questions > MOST_QUESTIONS:
        at = places.line_of(("question", MOST_QUESTIONS))
        said = f"there are more than {MOST_QUESTIONS} questions"
        raise DeckError([Fault(file, at, "question", said, "share them out over several decks")])
    if not places.whole:
        said = f"there are more than {MOST_FIELDS} fields"
        raise _whole(file, said, "share them out over several decks", line)


def _no_toml(message: str, text: str, places: Places, file: str) -> DeckError:
    """What `tomllib` found wrong, at its line, with the field in which it is."""
    found = re.search(r" \(at (?:line (\d+), column \d+|end of document)\)$", message)
    last = max(1, len(text.split("\n")) - text.endswith("\n"))
    line = min(int(found[1]), last) if found and found[1] else last
    said = message[: found.start()] if found else message
    remedy = next(
        (each for begin, each in _REMEDIES.items() if said.startswith(begin)),
        "mend this line, it should be TOML",
    )
    wrong = f"is no TOML: {said[:1].lower()}{said[1:]}"
    return DeckError([_at(places.at(line), file, line, wrong, remedy)])


def _unreadable(text: str, places: Places, file: str) -> DeckError:
    """A number, or a date, that is TOML but none that can be reckoned with."""
    number = max(
        re.finditer(r"[0-9_]{20,}", text), key=lambda each: len(each.group()), default=None
    )
    line = 1 + text.count("\n", 0, number.start()) if number else 1
    return DeckError(
        [_at(places.at(line), file, line, "cannot be read as it is", "write an ordinary number")]
    )


def _at(path: Path, file: str, line: int, wrong: str, remedy: str) -> Fault:
    return fault_of(file, line, path or (FILE,), wrong, remedy)


def _too_large(file: str) -> DeckError:
    return _whole(file, f"has more than {MOST_BYTES} bytes", "share it out over several decks")


def _whole(file: str, wrong: str, remedy: str, line: int = 1) -> DeckError:
    return DeckError([Fault(file, line, FILE, wrong, remedy)])
