"""Where each field of a TOML text stands: a small walker that knows lines, and no values.

    places_in('a = 1\n[[b]]\nc = ["x",\n  "y"]').lines
    # {("a",): 1, ("b",): 2, ("b", 0): 2, ("b", 0, "c"): 3, (…, "c", 0): 3, (…, "c", 1): 4}

A path is made of keys and, in lists, of indices from 0; a table stands where its heading or its
first key does, a value where its key begins. It reads what `tomllib` accepts (TOML 1.0.0,
https://toml.io/en/v1.0.0); of any other text it tells as much as can be told, and never fails.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field

Path = tuple[str | int, ...]

_GAP = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_BLANKS = re.compile(r"[ \t]*")
_REST_OF_LINE = re.compile(r"[^\n]*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_ATOM = re.compile(r"[^,\[\]{}#\n\r\t\"']+")
_STRINGS = {
    '"""': re.compile(r'(?:[^"\\]|\\[\s\S]|"{1,2}(?!"))*("{3,5}|\Z)'),
    "'''": re.compile(r"(?:[^']|'{1,2}(?!'))*('{3,5}|\Z)"),
    '"': re.compile(r'(?:[^"\\\n]|\\[^\n])*("|)'),
    "'": re.compile(r"[^'\n]*('|)"),
}
"""What follows the sign that opens a string, to where it is closed, or where it must end."""


@dataclass
class Places:
    """What a walk has found."""

    lines: dict[Path, int] = field(default_factory=dict)
    """By path, in the order of the file: the line, from 1."""
    begun: list[tuple[int, Path]] = field(default_factory=list)
    """The same line by line, with fields that stand there again."""
    deepest: int = 0
    """The most keys and lists that lie within one another."""
    whole: bool = True
    """Whether the walk came to the end of the text."""

    def line_of(self, path: Path) -> int:
        """Of the field; where it is missing, of the table that should hold it; else the first."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 1)

    def at(self, line: int) -> Path:
        """The last field that begins on this line or before it; () where there is none."""
        before = [path for begun, path in self.begun if begun <= line]
        return before[-1] if before else ()


def places_in(text: str, *, most: int | None = None, deepest: int = 100) -> Places:
    """Walk over a text; stops where `most` fields were found or they lie deeper than `deepest`."""
    walker = _Walker(text, most, deepest)
    walker.walk()
    return walker.found


class _Stopped(Exception):
    """There is more than is asked for."""


class _Walker:
    def __init__(self, text: str, most: int | None, deepest: int) -> None:
        self._text, self._most, self._deepest = text, most, deepest
        self._at = 0
        self._line, self._counted = 1, 0
        self._lists: dict[Path, int] = {}
        """How many tables each [[list of tables]] has so far."""
        self.found = Places()

    def walk(self) -> None:
        table: Path = ()
        try:
            while self._past(_GAP) or self._at < len(self._text):
                if self._at == len(self._text):
                    return
                begun = self._at
                if self._text[begun] == "[":
                    table = self._heading()
                elif not self._pair(table):
                    self._past(_REST_OF_LINE)
                if self._at == begun:
                    self._past(_REST_OF_LINE)
        except _Stopped:
            self.found.whole = False

    def _past(self, pattern: re.Pattern[str]) -> bool:
        """Go past what the pattern matches here; whether that is anything."""
        match = pattern.match(self._text, self._at)
        begun, self._at = self._at, match.end() if match else self._at
        return self._at > begun

    def _note(self, path: Path, at: int) -> None:
        """A field begins at this place; the first time counts."""
        self.found.deepest = max(self.found.deepest, len(path))
        if len(path) > self._deepest or len(self.found.begun) == self._most:
            raise _Stopped
        self._line += self._text.count("\n", self._counted, at)
        self._counted = at
        self.found.lines.setdefault(path, self._line)
        self.found.begun.append((self._line, path))

    def _heading(self) -> Path:
        """Past `[a.b]` or `[[a.b]]`: the table that is meant from here on."""
        begun = self._at
        opening = 2 if self._text.startswith("[[", begun) else 1
        self._at += opening
        keys = self._keys()
        path: Path = ()
        for place, key in enumerate(keys, 1):
            path = (*path, key)
            self._note(path, begun)
            if place == len(keys) and opening == 2:
                self._lists[path] = self._lists.get(path, 0) + 1
            if path in self._lists:
                path = (*path, self._lists[path] - 1)
                self._note(path, begun)
        self._past(_REST_OF_LINE)
        return path

    def _keys(self) -> list[str]:
        """Past a dotted key: its parts."""
        keys: list[str] = []
        while True:
            self._past(_BLANKS)
            begun = self._at
            if self._text[begun : begun + 1] in ('"', "'"):
                keys.append(self._quoted_key())
            elif self._past(_BARE_KEY):
                keys.append(self._text[begun : self._at])
            else:
                return keys
            self._past(_BLANKS)
            if not self._text.startswith(".", self._at):
                return keys
            self._at += 1

    def _quoted_key(self) -> str:
        begun, sign = self._at, self._text[self._at]
        self._at += 1
        self._past(_STRINGS[sign])
        body = self._text[begun + 1 : max(begun + 1, self._at - 1)]
        return body if sign == "'" else unescaped(body)

    def _pair(self, table: Path) -> bool:
        """Past `a.b = value`; whether there was one."""
        begun = self._at
        path = self._key_of(table, begun)
        if path == table or not self._text.startswith("=", self._at):
            return False
        self._at += 1
        self._past(_BLANKS)
        self._value(path)
        self._past(_REST_OF_LINE)
        return True

    def _key_of(self, table: Path, begun: int) -> Path:
        path = table
        for key in self._keys():
            path = (*path, key)
            self._note(path, begun)
        return path

    def _value(self, path: Path) -> None:
        """Past a value, with all that it holds; a stack stands for what would be recursion."""
        open_in: list[tuple[str, Path, int]] = []
        while True:
            if self._at == len(self._text):
                return
            sign = self._text[self._at]
            if sign in "[{":
                self._at += 1
                open_in.append((sign, path, 0))
            else:
                self._scalar()
            path = self._next(open_in, path)
            if not open_in:
                return

    def _next(self, open_in: list[tuple[str, Path, int]], path: Path) -> Path:
        """Past closings and commas, to where the next value begins: its path."""
        while open_in:
            self._past(_GAP)
            kind, holder, count = open_in.pop()
            sign = self._text[self._at : self._at + 1]
            if sign in ("]", "}", ""):
                self._at += len(sign)
                continue
            if sign == ",":
                self._at += 1
                open_in.append((kind, holder, count))
                continue
            open_in.append((kind, holder, count + 1))
            if kind == "[":
                path = (*holder, count)
                self._note(path, self._at)
                return path
            path = self._key_of(holder, self._at)
            if not self._text.startswith("=", self._at):
                open_in.clear()
                return path
            self._at += 1
            self._past(_BLANKS)
            return path
        return path

    def _scalar(self) -> None:
        """Past a string, a number, a date or whatever else stands here."""
        for sign, closing in _STRINGS.items():
            if self._text.startswith(sign, self._at):
                self._at += len(sign)
                self._past(closing)
                return
        self._past(_ATOM)


def unescaped(body: str) -> str:
    """What a basic string means; as it stands where it means nothing.

    TOML's escapes are JSON's with `\\UXXXXXXXX` besides.
    """
    try:
        long = re.sub(r"\\U([0-9a-fA-F]{8})", lambda found: chr(int(found[1], 16)), body)
        return str(json.loads(f'"{long}"', strict=False))
    except (ValueError, OverflowError):
        return body
