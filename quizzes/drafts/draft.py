r"""A TOML text under edit, with undo: what drafts of decks, traditions and courses share.

    draft = TextDraft('[durga]\nvadi = "D R"  # as taught here\n', "tradition.toml")
    draft.put(("durga",), vadi="D m")
    draft.text  # '[durga]\nvadi = "D m"  # as taught here\n'

A path is made of the names of tables and, in lists of tables, of numbers from 0:
`("question", 2, "choice", 0)`; `()` is the file itself. Values are what `tomllib` gives.
"""

from __future__ import annotations

import re
import time
import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from quizzes.drafts import values
from quizzes.drafts.nested import MISSING
from quizzes.drafts.pieces import Path, Piece, cut, resolve
from quizzes.drafts.tables import Order, Tables
from quizzes.errors import QuizError

MARK = "\ufeff"
"""Some programs put it first, to tell the encoding; it is kept, and means nothing."""
NOTHING: frozenset[Path] = frozenset()
TOGETHER_S = 1.0
"""Changes of one field that follow each other this fast are undone together."""


class DraftError(QuizError):
    """The text is no TOML, so that nothing can be put into it but another text."""


@dataclass(frozen=True, slots=True)
class _State:
    """A text as its pieces, of which states that follow each other share most; or a text that is
    no TOML, and at which line what is wrong with it."""

    begun: str
    """All of a text that is no TOML; else the mark that it may begin with."""
    pieces: tuple[Piece, ...] = ()
    paths: tuple[Path, ...] = ()
    line: int = 0
    wrong: str = ""

    @property
    def text(self) -> str:
        return self.begun + "".join(piece.text for piece in self.pieces)


class TextDraft:
    """A text that is edited table by table; every edit can be undone.

    `file` is for messages, `order` says in which order new fields are written. Where the text is
    no TOML, `wrong` says what is the matter, and reading or putting raises DraftError; `text` can
    be read and replaced all the same.
    """

    def __init__(
        self,
        text: str,
        file: str,
        *,
        order: Order | None = None,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self.file = file
        self._order = order or {}
        self._clock = clock
        self._states = [_read(text)]
        self._at = 0
        self._text = text
        self._last: tuple[frozenset[Path], float] = (NOTHING, 0.0)
        """Which fields the last edit changed, and when."""

    @property
    def text(self) -> str:
        return self._text

    @text.setter
    def text(self, text: str) -> None:
        self._commit(_read(text), NOTHING)

    @property
    def wrong(self) -> str:
        """Why the text is no TOML; "" where it is."""
        return self._now.wrong

    @property
    def line(self) -> int:
        """The line, from 1, at which the text is no TOML; 0 where it is."""
        return self._now.line

    def value(self, *path: str | int) -> Any:
        """What stands at a path, to be changed freely; None where nothing does."""
        found = self._tables().value(path)
        return None if found is MISSING else found

    def names(self, *path: str | int) -> list[str]:
        """What the fields of a table, and the tables in it, are called, in their order."""
        return self._tables().names(path)

    def alone(self, *path: str | int) -> tuple[str, int, int] | None:
        """What stands above all headings and then only what is at a path, as a text; its first
        lines, so many, are those of the whole text, and the others stand there so much lower. None
        where no heading leads there."""
        return self._tables().alone(path)

    # Edits.

    def put(self, path: Path, values_: Mapping[str, Any] | None = None, /, **fields: Any) -> None:
        """Set fields of a table, which is made where it is missing; None takes a field out.

        A table within it is given as a dict, a list of tables as a list of dicts, each whole; of
        these, too, only what differs is written anew. Raises TypeError for what TOML cannot hold.
        """
        fields = {**(values_ or {}), **fields}
        tables = self._tables()
        old = tables.value(path)
        kept = dict(old) if isinstance(old, dict) else {}
        new = {name: each for name, each in kept.items() if name not in fields}
        given = {name: each for name, each in fields.items() if each is not None}
        new |= values.plain(given)
        if old is MISSING and not new:
            return
        changed = frozenset(_changes(kept, new, path))
        tables.become(path, new)
        self._take(tables, changed)

    def add(self, path: Path, value: Mapping[str, Any], at: int | None = None) -> int:
        """A table more in a list of tables, before the one at `at` or at the end; where it is."""
        return self.add_all(path, [value], at)

    def add_all(self, path: Path, rows: Iterable[Mapping[str, Any]], at: int | None = None) -> int:
        """The same of several tables, which are undone together; where the first of them is."""
        tables, plan = self._plan(path)
        new = [values.plain(each) for each in rows]
        at = len(plan) if at is None else min(max(at, 0), len(plan))
        if plan:
            plan[at:at] = [(None, each) for each in new]
            tables.plan(path, plan)
        elif new:
            tables.become(path, new)
        self._take(tables)
        return at

    def duplicate(self, path: Path, at: int, **fields: Any) -> int:
        """A copy behind the one at `at`, with other values of some fields; where it is."""
        tables, plan = self._plan(path)
        plan.insert(at + 1, (plan[at][0], {**tables.value((*path, at)), **values.plain(fields)}))
        tables.plan(path, plan)
        self._take(tables)
        return at + 1

    def move(self, path: Path, at: int, to: int) -> None:
        """Bring a table of a list to another place."""
        tables, plan = self._plan(path)
        plan.insert(to, plan.pop(at))
        tables.plan(path, plan)
        self._take(tables)

    def remove(self, path: Path, at: int) -> None:
        """Take a table out of a list, with the comments that belong to it."""
        tables, plan = self._plan(path)
        del plan[at]
        tables.plan(path, plan)
        self._take(tables)

    # Undo.

    @property
    def can_undo(self) -> bool:
        return self._at > 0

    @property
    def can_redo(self) -> bool:
        return self._at < len(self._states) - 1

    def undo(self) -> bool:
        """Back before the last edit; whether there was one."""
        return self._step(-1)

    def redo(self) -> bool:
        """Do again what was undone last; whether there was anything."""
        return self._step(1)

    @contextmanager
    def as_one(self) -> Iterator[None]:
        """What is edited within is undone in one step."""
        begun, at = self._now, self._at
        try:
            yield
        finally:
            # The first edit may have gone into the step before it.
            at += self._states[at] is begun
            if self._at > at:
                self._states[at:] = [self._now]
                self._at = at

    def _step(self, by: int) -> bool:
        if not 0 <= self._at + by < len(self._states):
            return False
        self._at += by
        self._text = self._now.text
        self._last = (NOTHING, 0.0)
        return True

    @property
    def _now(self) -> _State:
        return self._states[self._at]

    def _tables(self) -> Tables:
        if self.wrong:
            remedy = "mend the text, it should be TOML"
            raise DraftError(f"{self.file}, line {self.line}: {self.wrong}; {remedy}")
        newline = "\r\n" if "\r\n" in self.text else "\n"
        return Tables(self._now.pieces, self._now.paths, newline, self._order)

    def _plan(self, path: Path) -> tuple[Tables, list[tuple[int | None, Any]]]:
        """A list of tables as it is, to be planned otherwise."""
        tables = self._tables()
        return tables, [(at, values.KEPT) for at in range(tables.count(path))]

    def _take(self, tables: Tables, changed: frozenset[Path] = NOTHING) -> None:
        paths = tuple(tables.paths)
        if paths == self._now.paths:
            paths = self._now.paths
        self._commit(_State(self._now.begun, tuple(tables.pieces), paths), changed)

    def _commit(self, state: _State, changed: frozenset[Path]) -> None:
        """Go on from a state; edits that `changed` the same fields may be one step of undo."""
        text = state.text
        if text == self._text:
            return
        self._text = text
        now = self._clock()
        lately, before = self._last
        del self._states[self._at + 1 :]
        both = changed & lately
        if both and both in (changed, lately) and now - before <= TOGETHER_S:
            self._states[self._at] = state
        else:
            self._states.append(state)
            self._at += 1
        self._last = (changed, now)


def _read(text: str) -> _State:
    body = text.removeprefix(MARK)
    try:
        tomllib.loads(body)
    except (ValueError, RecursionError) as error:
        # Besides its own error tomllib lets through that of a number with thousands of digits.
        said = str(error) if isinstance(error, ValueError) else "lists lie too deep in each other"
        found = re.search(r" ?\(at (?:line (\d+), column \d+|end of document)\)", said)
        line = int(found[1]) if found and found[1] else max(1, len(text.splitlines()))
        return _State(text, line=line, wrong=said.replace(found[0], "") if found else said)
    pieces = cut(body)
    return _State(text[: len(text) - len(body)], pieces, tuple(resolve(pieces)))


def _changes(old: Any, new: Any, path: Path) -> Iterator[Path]:
    """The paths of all that differs."""
    if isinstance(old, dict) and isinstance(new, dict):
        for key in old.keys() | new.keys():
            yield from _changes(old.get(key, MISSING), new.get(key, MISSING), (*path, key))
    elif isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        for at, (one, other) in enumerate(zip(old, new, strict=True)):
            yield from _changes(one, other, (*path, at))
    elif not values.same(old, new):
        yield path
