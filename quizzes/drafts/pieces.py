"""A TOML text cut into pieces with nothing lost: put together again they are the text.

A piece is a `Section` (a heading such as `[[question]]`, the comments right above it, and what
stands below it) or `Loose` (comments that stand alone between two sections, and stay where they
are when a section goes elsewhere). The text must be such as `tomllib` accepts.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

Path = tuple[str | int, ...]

_PART = r"""(?:[A-Za-z0-9_-]+|"(?:\\.|[^"\\\n])*"|'[^'\n]*')"""
_KEYS = rf"{_PART}(?:[ \t]*\.[ \t]*{_PART})*"
_HEADING = re.compile(rf"[ \t]*\[(\[?)[ \t]*({_KEYS})[ \t]*\]")
FIELD = re.compile(rf"[ \t]*({_KEYS})[ \t]*=[ \t]*")
_REST = re.compile(r"[^\n]*\n?")
_PLAIN = re.compile(r"[^\n#,\]}]*")
TOKEN = re.compile(
    r'(?P<text>"""(?:\\.|[^\\])*?""""{0,2}'
    r"|'''.*?''''{0,2}"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*')"
    r"|(?P<open>[\[{])|(?P<close>[\]}])|(?P<comma>,)|(?P<comment>\#[^\n]*)"
    r"|(?P<gap>\s+)|(?P<plain>[^\s,\[\]{}\#\"']+)",
    re.DOTALL,
)


def value_end(text: str, at: int) -> int:
    """Where the value that begins at this place ends."""
    if text[at] not in "[{\"'":
        plain = _PLAIN.match(text, at)
        assert plain
        return at + len(plain[0].rstrip())
    depth = 0
    while token := TOKEN.match(text, at):
        at = token.end()
        depth += (token.lastgroup == "open") - (token.lastgroup == "close")
        if depth == 0:
            break
    return at


@lru_cache(maxsize=4096)
def keys_of(written: str) -> tuple[str, ...]:
    """The keys of `a."b c"`, as they are meant."""
    found: list[str] = []
    node: Any = tomllib.loads(f"{written} = 0")
    while isinstance(node, dict):
        ((key, node),) = node.items()
        found.append(key)
    return tuple(found)


@lru_cache(maxsize=1 << 15)
def value_of(written: str) -> Any:
    """What a value means; not to be changed by who gets it, since it is kept."""
    return tomllib.loads(f"x = {written}")["x"]


@dataclass(frozen=True, slots=True)
class Field:
    """`key = value`, with what stands on its lines; the value is `text[begin:end]`."""

    text: str
    keys: tuple[str, ...]
    begin: int
    end: int

    @property
    def written(self) -> str:
        return self.text[self.begin : self.end]

    @property
    def value(self) -> Any:
        return value_of(self.written)

    def become(self, written: str) -> Field:
        """With another value."""
        text = self.text[: self.begin] + written + self.text[self.end :]
        return Field(text, self.keys, self.begin, self.begin + len(written))


Line = Field | str
"""A field, or a line that is blank or a comment."""


@dataclass(frozen=True, eq=False)
class Section:
    """One heading with all that belongs to it; what stands above the first has no heading."""

    lead: tuple[str, ...] = ()
    """Blank lines and comments right above the heading."""
    heading: str = ""
    keys: tuple[str, ...] = ()
    many: bool = False
    """Whether it is one of a list of tables, `[[so]]`."""
    body: tuple[Line, ...] = ()
    text: str = field(init=False)

    def __post_init__(self) -> None:
        said = "".join(line if isinstance(line, str) else line.text for line in self.body)
        object.__setattr__(self, "text", "".join(self.lead) + self.heading + said)

    @property
    def fields(self) -> Iterator[Field]:
        return (line for line in self.body if isinstance(line, Field))


@dataclass(frozen=True, eq=False)
class Loose:
    """Comments that belong to no section."""

    text: str


Piece = Section | Loose


def cut(text: str) -> tuple[Piece, ...]:
    """All pieces of a text, in order; the first has no heading."""
    pieces: list[Piece] = []
    lead: Sequence[str] = ()
    heading, many = "", False
    keys: tuple[str, ...] = ()
    body: list[Line] = []
    at = 0
    while at < len(text):
        begun = at
        if head := _HEADING.match(text, at):
            rest = _REST.match(text, head.end())
            assert rest
            kept, loose, next_lead = _parted(body)
            pieces.append(Section(tuple(lead), heading, keys, many, tuple(kept)))
            pieces.extend([Loose("".join(loose))] if loose else [])
            at, lead, body = rest.end(), next_lead, []
            heading, keys, many = text[begun:at], keys_of(head[2]), bool(head[1])
        elif found := FIELD.match(text, at):
            end = value_end(text, found.end())
            rest = _REST.match(text, end)
            assert rest
            at = rest.end()
            here = text[begun:at]
            body.append(Field(here, keys_of(found[1]), found.end() - begun, end - begun))
        else:
            rest = _REST.match(text, at)
            assert rest
            at = rest.end()
            body.append(rest[0])
    kept, loose = _ended(body)
    pieces.append(Section(tuple(lead), heading, keys, many, tuple(kept)))
    pieces.extend([Loose("".join(loose))] if loose else [])
    return tuple(pieces)


def is_blank(line: Line) -> bool:
    return isinstance(line, str) and not line.strip()


def _ended(body: list[Line]) -> tuple[list[Line], list[str]]:
    """A body without the comments at its end that a blank line sets off, and these."""
    begin = len(body)
    while begin and isinstance(body[begin - 1], str):
        begin -= 1
    while begin < len(body) and not is_blank(body[begin]):
        begin += 1
    return body[:begin], [line for line in body[begin:] if isinstance(line, str)]


def _parted(body: list[Line]) -> tuple[list[Line], list[str], list[str]]:
    """What stands before a heading: the body above, what is loose, and what is the heading's own:
    the comments right above it and the blank lines above these."""
    kept, run = _ended(body)
    if not run:
        while kept and isinstance(kept[-1], str):
            run.insert(0, kept.pop())  # type: ignore[arg-type]
        return kept, [], run
    own = len(run)
    while own and not is_blank(run[own - 1]):
        own -= 1
    while own and is_blank(run[own - 1]):
        own -= 1
    return kept, run[:own], run[own:]


def resolve(pieces: Iterable[Piece]) -> list[Path]:
    """Of each piece, where it stands: `("question", 2, "choice", 0)`; () for what is loose."""
    counts: dict[Path, int] = {}
    paths: list[Path] = []
    for piece in pieces:
        path: Path = ()
        if isinstance(piece, Section):
            for place, key in enumerate(piece.keys, 1):
                path = (*path, key)
                if piece.many and place == len(piece.keys):
                    counts[path] = counts.get(path, 0) + 1
                if path in counts:
                    path = (*path, counts[path] - 1)
        paths.append(path)
    return paths
