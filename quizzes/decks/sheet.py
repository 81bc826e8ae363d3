"""A spreadsheet of simple questions, saved as CSV, made into the text of a deck.

The first row names the columns, in any order: `prompt`, `right` and `wrong`, which may stand
several times, are needed; `sargam`, `why`, `name` and `id` may be there. Each further row is a
question: of one right answer, or of several where several are filled in. Unless its id is given, a
question is known by its prompt and its sargam, wherever in the sheet it stands: who changes these
makes another question of it.
"""

from __future__ import annotations

import codecs
import csv
import hashlib
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePath

from quizzes.decks.deck import Deck
from quizzes.decks.draft import Draft
from quizzes.decks.faults import DeckError
from quizzes.decks.limits import LONGEST_ID, LONGEST_NAME, MOST_BYTES, MOST_QUESTIONS
from quizzes.decks.reading import read_deck
from quizzes.errors import QuizError
from quizzes.ids import slug
from quizzes.signs import undrawn

COLUMNS = ("prompt", "sargam", "right", "wrong", "why", "name", "id")
SEVERAL = ("right", "wrong")
NEEDED = ("prompt", "right", "wrong")
SEPARATORS = ";,\t"
MOST_COLUMNS = 30
MARK = 6
"""Hex digits of what a question asks, at the end of its id."""
AS_UTF_8 = "save it as CSV in UTF-8"
_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_CHOICE = re.compile(r"choice (\d+)")


@dataclass(frozen=True, slots=True)
class Sheet:
    """What a sheet makes: a deck, its text, and the row of each of its questions."""

    deck: Deck
    text: str
    rows: tuple[int, ...]


class SheetError(QuizError):
    """A sheet that cannot be used; `faults` are all that is wrong, each with row and column."""

    def __init__(self, faults: Sequence[str]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(faults))


def read_sheet(data: bytes, file: str, *, name: str = "") -> Sheet:
    """The deck of a sheet's bytes, called `name`, or like its file. Raises SheetError."""
    return _Reading(file).sheet(data, name or _name_of(file))


def load_sheet(path: Path, *, name: str = "") -> Sheet:
    """The same of a file on the disk. Raises SheetError."""
    try:
        if path.exists() and not path.is_file():  # a pipe or a device would keep us waiting
            raise _unopened(path, "is no file")
        with path.open("rb") as opened:
            data = opened.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:  # a path may hold what no path can
        reason = getattr(error, "strerror", None) or error
        raise _unopened(path, f"cannot be opened: {reason}") from error
    return read_sheet(data, path.name, name=name)


def _unopened(path: Path, wrong: str) -> SheetError:
    return SheetError([f"{path.name}: {wrong}; give the path of a sheet, a .csv"])


def _name_of(file: str) -> str:
    """As a file is called; where that cannot be shown, plainly."""
    stem = " ".join(PurePath(file).stem.replace("_", " ").replace("-", " ").split())
    name = (stem[:1].upper() + stem[1:])[:LONGEST_NAME]
    return name if name and name.isprintable() and not undrawn(name) else "Questions"


@dataclass(frozen=True, slots=True)
class _Cell:
    column: int
    heading: str
    text: str


class _Reading:
    """Reads one sheet and gathers all that is wrong with it. Rows and columns count from 1."""

    def __init__(self, file: str) -> None:
        self._file = file
        self._faults: list[tuple[int, str]] = []
        self._explained: set[tuple[int, str]] = set()
        """Rows, each with a field of which no more is told, since what is wrong is told already."""

    def sheet(self, data: bytes, name: str) -> Sheet:
        rows = self._rows(self._text(data))
        headings = self._headings(rows)
        cells = {number: self._cells(number, row, headings) for number, row in rows[1:] if any(row)}
        if not cells:
            wrong = "no question stands below it"
            raise self._error(rows[0][0], "", wrong, "write one in each row")
        if len(cells) > MOST_QUESTIONS:
            wrong = f"holds more than {MOST_QUESTIONS} questions"
            raise self._error(0, "", wrong, "share them out over several sheets")
        head = Draft("", self._file)
        head.set_head(deck=slug(PurePath(self._file).stem) or "sheet", name=name)
        texts, first = [head.text], dict[str, int]()
        for number, row in cells.items():
            values = _values(row)
            if (other := first.setdefault(str(values["id"]), number)) != number:
                remedy = "leave one out, or give them other ids, prompts or lines of sargam"
                self._fault(number, "", f"is the same question as row {other}", remedy)
                self._explained.add((number, "id"))
            texts.append(_written(values))
        return self._made("\n".join(texts), cells)

    def _made(self, text: str, cells: dict[int, list[_Cell]]) -> Sheet:
        """Held against all that must be so of a deck; what is wrong is told by row and column."""
        numbers = tuple(cells)
        try:
            deck = read_deck(text, self._file)
        except DeckError as error:
            for fault in error.faults:
                if fault.entry is None:
                    self._fault(0, fault.field, fault.wrong, fault.remedy)
                else:
                    number = numbers[fault.entry]
                    if (number, fault.field) in self._explained:
                        continue
                    column = _column_of(fault.field, cells[number])
                    self._fault(number, column, fault.wrong, _in_a_sheet(fault.remedy))
        if self._faults:
            raise SheetError([text for _, text in sorted(self._faults)])
        return Sheet(deck, text, numbers)

    def _text(self, data: bytes) -> str:
        if len(data) > MOST_BYTES:
            wrong = f"is larger than {MOST_BYTES} bytes"
            raise self._error(0, "", wrong, "share it out over several sheets")
        coding = next((coding for mark, coding in _MARKS if data.startswith(mark)), "")
        if not coding:
            sides = {1: "utf-16-le", 0: "utf-16-be"}
            coding = sides.get(data[:2].find(b"\0"), "utf-8")
        try:
            text = data.decode(coding).removeprefix("\ufeff")
        except UnicodeDecodeError as error:
            row = data.count(b"\n", 0, error.start) + 1
            raise self._error(row, "", "is not in UTF-8", AS_UTF_8) from error
        if "\0" in text:
            raise self._error(0, "", "is no CSV: it holds zero bytes", AS_UTF_8)
        return text

    def _rows(self, text: str) -> list[tuple[int, list[str]]]:
        """Rows with their numbers, the first that is not empty at the beginning."""
        lines = text.splitlines() or [""]
        told = re.fullmatch(r'"?sep=([^"])"?', lines[0].strip(), re.IGNORECASE)
        separator = told[1] if told else max(SEPARATORS, key=lambda s: _known_in(text, s))
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
        rows = []
        try:
            for number, row in enumerate(reader, 1):
                rows.append((number, [cell.strip() for cell in row]))
        except csv.Error as error:
            remedy = 'close each quote; write a quote within a cell twice, ""'
            raise self._error(len(rows) + 1, "", f"cannot be read ({error})", remedy) from error
        rows = [each for each in rows[bool(told) :] if any(each[1])]
        if not rows:
            raise self._error(1, "", "is empty", f"name the columns: {', '.join(COLUMNS)}")
        return rows

    def _headings(self, rows: list[tuple[int, list[str]]]) -> list[str]:
        """What each column holds; "" for one that has no heading."""
        number, row = rows[0]
        headings = [_heading(cell) for cell in row]
        if len(headings) > MOST_COLUMNS:
            raise self._error(number, "", f"has {len(headings)} columns", "keep those needed")
        for at, heading in enumerate(headings):
            place = _place(at, row[at])
            if heading and heading not in COLUMNS:
                remedy = f"call it one of {', '.join(COLUMNS)}, or take it out"
                self._fault(number, place, "is no column known here", remedy)
            elif heading and heading not in SEVERAL and heading in headings[:at]:
                self._fault(number, place, "stands there twice", "keep one of the two")
        for needed in NEEDED:
            if needed not in headings:
                self._fault(number, "", f"no column is called {needed}", "the first row names them")
        if self._faults:
            raise SheetError([text for _, text in self._faults])
        return headings

    def _cells(self, number: int, row: Sequence[str], headings: Sequence[str]) -> list[_Cell]:
        """The cells of a row that hold something."""
        cells = []
        for at, text in enumerate(row):
            heading = headings[at] if at < len(headings) else ""
            if text and not heading:
                self._fault(number, _place(at, ""), "has no heading", "name it in the first row")
            elif text:
                cells.append(_Cell(at, heading, text))
        for needed in NEEDED:
            if not any(cell.heading == needed for cell in cells):
                self._fault(number, needed, "is empty", "fill it in, or empty the whole row")
                self._explained.add((number, "choice" if needed in SEVERAL else needed))
        return cells

    def _fault(self, row: int, column: str, wrong: str, remedy: str) -> None:
        self._faults.append((row, self._said(row, column, wrong, remedy)))

    def _error(self, row: int, column: str, wrong: str, remedy: str) -> SheetError:
        return SheetError([self._said(row, column, wrong, remedy)])

    def _said(self, row: int, column: str, wrong: str, remedy: str) -> str:
        at = f", row {row}" if row else ""
        return f"{self._file}{at}{f', {column}' if column else ''}: {wrong}; {remedy}"


def _heading(cell: str) -> str:
    """`Wrong 2` is one more `wrong`: some programs want no heading twice."""
    word = " ".join(cell.casefold().split())
    return re.sub(r"^(right|wrong)[ .]*\d+$", r"\1", word)


def _known_in(text: str, separator: str) -> int:
    """How many columns of the first row are known if they are separated so."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    try:
        first = next((row for row in reader if any(row)), [])
    except csv.Error:
        return 0
    return sum(_heading(cell.strip()) in COLUMNS for cell in first)


def _place(at: int, heading: str) -> str:
    """`column C (wrong)`, as spreadsheets name it."""
    letters = chr(65 + at) if at < 26 else f"{chr(64 + at // 26)}{chr(65 + at % 26)}"
    return f"column {letters}{f' ({heading[:20]})' if heading else ''}"


def _values(row: Sequence[_Cell]) -> dict[str, object]:
    """The question of a row, as a deck's file holds it."""
    values: dict[str, object] = {"kind": "choose-one"}
    for cell in row:
        if cell.heading in ("prompt", "why"):
            values[cell.heading] = "\n".join(cell.text.splitlines())
        elif cell.heading not in SEVERAL:
            values[cell.heading] = " ".join(cell.text.split())
    choices = []
    for cell in _answers(row):
        right = {"right": True} if cell.heading == "right" else {}
        choices.append({"text": " ".join(cell.text.split()), **right})
    if sum("right" in choice for choice in choices) > 1:
        values["kind"] = "choose-several"
    return {"id": _id_of(values), **values, "choice": choices}


def _written(values: Mapping[str, object]) -> str:
    """A question by itself, as a deck's file has it."""
    draft = Draft("", "")
    draft.add(values)
    return draft.text


def _id_of(values: Mapping[str, object]) -> str:
    """The same wherever in the sheet the question stands, and whatever else of it changes."""
    asked = f"{values.get('prompt', '')}\0{values.get('sargam', '')}"
    mark = hashlib.sha256(asked.encode("utf-8", "surrogatepass")).hexdigest()[:MARK]
    return f"{slug(values.get('prompt'), LONGEST_ID - MARK - 1) or 'question'}-{mark}"


def _answers(row: Sequence[_Cell]) -> Iterator[_Cell]:
    for heading in SEVERAL:
        yield from (cell for cell in row if cell.heading == heading)


def _column_of(field: str, row: Sequence[_Cell]) -> str:
    """The column of a field of a deck's question."""
    if match := _CHOICE.match(field):
        cell = list(_answers(row))[int(match[1]) - 1]
        return _place(cell.column, cell.heading)
    found = next((cell for cell in row if cell.heading == field), None)
    return _place(found.column, found.heading) if found else ""


def _in_a_sheet(remedy: str) -> str:
    """What would be right, for somebody who sees columns and no file."""
    return remedy if "[[" not in remedy and " = " not in remedy else "fill in right and wrong"
