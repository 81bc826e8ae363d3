"""Tables of a TOML text, put, added, moved and removed with everything else left as it is."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from quizzes.drafts import values
from quizzes.drafts.layout import (
    above_comments,
    below_comments,
    comment_of,
    indent_of,
    is_set_off,
    set_off,
    trimmed,
)
from quizzes.drafts.nested import MISSING, changed
from quizzes.drafts.pieces import Field, Line, Loose, Path, Piece, Section, resolve
from quizzes.drafts.standing import Held, Standing

Order = Mapping[tuple[str, ...], Sequence[str]]
"""By the names of a table, such as ("question", "choice"): its fields as they are written in."""


class Tables(Standing):
    """The pieces of a text while they are changed."""

    def __init__(
        self, pieces: Iterable[Piece], paths: Iterable[Path], newline: str, order: Order
    ) -> None:
        super().__init__(pieces, paths)
        self._newline = newline
        self._order = order

    def become(self, path: Path, new: Any) -> None:
        """Make what stands at a path the new value."""
        self._become(path, self.value(path), new)

    def _become(self, path: Path, old: Any, new: Any) -> None:
        if values.same(old, new):
            return
        held = self._holder(path)
        if held and not (held.whole and values.is_tables(new) and not values.is_tables(old)):
            self._rewrite(held, new)
        elif isinstance(old, dict) and isinstance(new, dict):
            for key in sorted(old.keys() - new.keys()):
                self._drop((*path, key))
            for key, value in new.items():
                self._become((*path, key), old.get(key, MISSING), value)
            if not new and self.value(path) is MISSING:
                self._add(path, new)
        elif isinstance(old, list) and isinstance(new, list) and values.is_tables(new) and not held:
            self.plan(path, values.match(old, new))
        else:
            if old is not MISSING:
                self._drop(path)
            self._add(path, new)

    def plan(self, path: Path, plan: values.Plan) -> None:
        """Make a list of tables what the plan says; one that is taken twice is copied."""
        held = self._holder(path)
        if held and held.whole:
            self._rewrite(held, None, plan)
        elif held:
            old = self.value(path)
            new = [old[source] if value is values.KEPT else value for source, value in plan]
            self._rewrite(held, new)
        else:
            self._arrange(path, plan)
            for place, (source, value) in enumerate(plan):
                if source is not None and value is not values.KEPT:
                    self.become((*path, place), value)

    # Fields.

    def _rewrite(self, held: Held, new: Any, plan: values.Plan | None = None) -> None:
        """Change a field so that the new value stands in the place that is held."""
        field = held.field
        how: dict[str, Any] = {"newline": self._newline, "indent": indent_of(field.text)}
        if plan is not None:
            written = values.rewrite_list(field.written, plan, used=field.begin, **how)
        else:
            value = changed(field.value, held.inner, new)
            written = values.rewrite(field.written, value, used=field.begin, **how)
        self._set_line(held.place, held.at, field.become(written))

    def _set_line(self, place: int, at: int, *lines: Line) -> None:
        piece = self._section(place)
        body = (*piece.body[:at], *lines, *piece.body[at + 1 :])
        self.pieces[place] = replace(piece, body=body)

    def _drop(self, path: Path) -> None:
        """Take out what stands at a path; a comment behind a field stays, on a line of its own."""
        held = self._holder(path)
        if held and held.whole:
            self._set_line(held.place, held.at, *comment_of(held.field))
            return
        if held:
            self._rewrite(held, MISSING)
            return
        for place, piece in list(self._near(path)):
            whole = self.paths[place]
            if len(whole) < len(path):
                body: list[Line] = []
                for line in piece.body:
                    gone = isinstance(line, Field) and (*whole, *line.keys)[: len(path)] == path
                    body += comment_of(line) if isinstance(line, Field) and gone else [line]
                if body != list(piece.body):
                    self.pieces[place] = replace(piece, body=tuple(body))
        for place in reversed(self._block(path)):
            del self.pieces[place]
        self._settle()

    def _add(self, path: Path, new: Any) -> None:
        """Write in what does not stand there yet."""
        table, name = path[:-1], str(path[-1])
        if dotted := self._dotted(table):
            place, at, prefix = dotted
            self._write_in(place, (*prefix, name), new, at + 1)
        elif values.is_tables(new):
            at = (self._block(table) or self._all_sections())[-1] + 1
            if isinstance(new, list):
                built = [self._built((*path, place), each) for place, each in enumerate(new)]
                self._insert(at, [piece for each in built for piece in each])
            else:
                self._insert(at, self._built(path, new))
        elif exact := [place for place in self._all_sections() if self.paths[place] == table]:
            self._write_in(exact[0], (name,), new, None)
        else:
            within = self._block(table)
            at = within[0] if within else self._all_sections()[-1] + 1
            self._insert(at, self._built(table, {name: new}))

    def _write_in(self, place: int, keys: tuple[str, ...], value: Any, at: int | None) -> None:
        """A new field into a section, at a line or where the order has it."""
        self._end_line()
        piece = self._section(place)
        if at is None:
            at = self._where(piece, keys[0])
        beside = next(piece.fields, None)
        indent = indent_of(beside.text if beside else piece.heading)
        field = self._field(keys, value, indent)
        self.pieces[place] = replace(piece, body=(*piece.body[:at], field, *piece.body[at:]))

    def _where(self, piece: Section, key: str) -> int:
        """Behind the last of the fields that come before it; else before the first field."""
        names = [line.keys[0] if isinstance(line, Field) else "" for line in piece.body]
        order = list(self._order.get(piece.keys, ()))
        if key in order:
            earlier = set(order[: order.index(key)])
            later = set(order[order.index(key) + 1 :])
            behind = [at for at, name in enumerate(names) if name in earlier]
            if behind:
                return below_comments(piece.body, behind[-1])
            before = [at for at, name in enumerate(names) if name in later]
            if before:
                return above_comments(piece.body, before[0])
        last = max((at for at, name in enumerate(names) if name), default=None)
        return len(names) if last is None else below_comments(piece.body, last)

    def _field(self, keys: tuple[str, ...], value: Any, indent: str) -> Field:
        begun = f"{indent}{'.'.join(map(values.key, keys))} = "
        written = values.write(value, newline=self._newline, used=len(begun), indent=indent)
        return Field(begun + written + self._newline, keys, len(begun), len(begun) + len(written))

    # Sections.

    def _built(self, path: Path, table: Mapping[str, Any]) -> list[Piece]:
        """A new table with all that is in it; indented and set off like one that stands beside."""
        names = tuple(each for each in path if isinstance(each, str))
        many = isinstance(path[-1], int)
        inside = sum(isinstance(each, int) for each in path[:-1])
        indent = inner = "  " * inside
        lead = () if inside else (self._newline,)
        for place in self._all_sections():
            beside = self._section(place)
            if beside.keys == names:
                indent = inner = indent_of(beside.heading)
                inner = next((indent_of(line.text) for line in beside.fields), indent)
                if not self._opens_file(place):
                    lead = (self._newline,) if is_set_off(beside) else ()
        name = ".".join(map(values.key, names))
        heading = f"{indent}[[{name}]]" if many else f"{indent}[{name}]"
        order = {key: place for place, key in enumerate(self._order.get(names, ()))}
        fields = {name: value for name, value in table.items() if not values.is_tables(value)}
        body = tuple(
            self._field((key,), fields[key], inner)
            for key in sorted(fields, key=lambda key: order.get(key, len(order)))
        )
        built: list[Piece] = [Section(lead, heading + self._newline, names, many, body)]
        inner_tables = [key for key in table if key not in fields]
        for key in sorted(inner_tables, key=lambda key: order.get(key, len(order))):
            value = table[key]
            if isinstance(value, list):
                for place, each in enumerate(value):
                    built += self._built((*path, key, place), each)
            else:
                built += self._built((*path, key), value)
        return built

    def _insert(self, place: int, pieces: Sequence[Piece]) -> None:
        self._end_line()
        self.pieces[place:place] = pieces
        self._settle()

    def _opens_file(self, place: int) -> bool:
        return place == 1 and not self.pieces[0].text

    def _settle(self) -> None:
        """After sections have come, gone or moved."""
        if len(self.pieces) > 1 and self._opens_file(1):
            first = self.pieces[1]
            if isinstance(first, Section) and is_set_off(first):
                self.pieces[1] = replace(first, lead=trimmed(first.lead))
        self.paths = resolve(self.pieces)

    def _end_line(self) -> None:
        """The last line gets its end, so that something can stand behind it."""
        last = self.pieces[-1]
        if not last.text or last.text.endswith("\n"):
            return
        if isinstance(last, Loose):
            self.pieces[-1] = Loose(last.text + self._newline)
        elif not last.body:
            self.pieces[-1] = replace(last, heading=last.heading + self._newline)
        else:
            line = last.body[-1]
            ended: Field | str = (
                line + self._newline
                if isinstance(line, str)
                else replace(line, text=line.text + self._newline)
            )
            self._set_line(len(self.pieces) - 1, len(last.body) - 1, ended)

    def _arrange(self, path: Path, plan: values.Plan) -> None:
        """Bring the tables of a list into the order of a plan; new ones are built, and those that
        no longer occur are taken out. Those that can stay where they are do."""
        self._end_line()
        blocks = self._blocks(path)
        stay = _rising([source for source, _ in plan if source is not None])
        begin = self._block(path)[0]
        spaced = any(is_set_off(block[0]) for block in blocks[1:])
        if spaced and self._opens_file(begin) and begin:
            blocks[0][0] = self.pieces[begin] = set_off(blocks[0][0], self._newline)
        gone = {id(piece) for at, block in enumerate(blocks) if at not in stay for piece in block}
        begin -= sum(id(piece) in gone for piece in self.pieces[:begin])
        self.pieces = [piece for piece in self.pieces if id(piece) not in gone]
        last: Piece | None = None
        for place, (source, value) in enumerate(plan):
            if source in stay:
                block = blocks[source]
                stay.remove(source)
            else:
                if source is None:
                    block = self._built((*path, place), value)
                else:
                    block = [replace(piece) for piece in blocks[source]]
                    if spaced:
                        block[0] = set_off(block[0], self._newline)
                at = self._index(last) + 1 if last else begin
                self.pieces[at:at] = block
            last = block[-1]
        self._settle()

    def _index(self, piece: Piece) -> int:
        return next(place for place, each in enumerate(self.pieces) if each is piece)


def _rising(sources: Sequence[int]) -> set[int]:
    """The most of the numbers that already stand in rising order."""
    lowest: list[int] = []
    """Of each length: the lowest number that a run so long ends with."""
    before: dict[int, int | None] = {}
    for source in sources:
        at = bisect_left(lowest, source)
        before[source] = lowest[at - 1] if at else None
        lowest[at : at + 1] = [source]
    found: set[int] = set()
    last = lowest[-1] if lowest else None
    while last is not None:
        found.add(last)
        last = before[last]
    return found
