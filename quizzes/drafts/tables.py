"""Tables of a TOML text, put, added, moved and removed with everything else left as it is."""

from __future__ import annotations

import itertools
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from quizzes.drafts import values
from quizzes.drafts.pieces import Field, Line, Loose, Path, Piece, Section, is_blank, resolve

Order = Mapping[tuple[str, ...], Sequence[str]]
"""By the names of a table, such as ("question", "choice"): its fields as they are written in."""
MISSING = object()


class Tables:
    """The pieces of a text while they are changed."""

    def __init__(
        self, pieces: Iterable[Piece], paths: Iterable[Path], newline: str, order: Order
    ) -> None:
        self.pieces = list(pieces)
        self.paths = list(paths)
        """Of each piece, as `resolve` has it."""
        self._newline = newline
        self._order = order

    def value(self, path: Path) -> Any:
        """What stands at a path; MISSING where nothing does."""
        holder: dict[Any, Any] = {}
        for place, piece in self._near(path):
            whole = self.paths[place]
            if len(whole) >= len(path):
                table = _reach(holder, ("", *whole[len(path) :]))
                for field in piece.fields:
                    _set(table, field.keys, _copied(field.value))
                continue
            for field in piece.fields:
                full = (*whole, *field.keys)
                if full[: len(path)] == path:
                    _set(holder, ("", *full[len(path) :]), _copied(field.value))
                elif path[: len(full)] == full:
                    return _within(field.value, path[len(full) :])
        return holder.get("", MISSING if path else {})

    def names(self, path: Path) -> list[str]:
        """What the fields of a table, and the tables in it, are called."""
        found: dict[str, None] = {}
        for place, piece in self._near(path):
            whole = self.paths[place]
            inside = whole[len(path) :]
            if inside:
                found[str(inside[0])] = None
            else:
                for field in piece.fields:
                    full = (*whole, *field.keys)
                    if len(full) > len(path) and full[: len(path)] == path:
                        found[str(full[len(path)])] = None
        return list(found)

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

    def count(self, path: Path) -> int:
        """How many tables a list has."""
        held = self._holder(path)
        if held:
            found = _within(held.field.value, held.inner)
            return len(found) if isinstance(found, list) else 0
        inside = (
            each for each in self.paths if len(each) > len(path) and each[: len(path)] == path
        )
        return 1 + max((int(each[len(path)]) for each in inside), default=-1)

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

    def alone(self, path: Path) -> tuple[str, int, int] | None:
        """What stands above all headings and then only what is at a path, as a text; its first
        lines, so many, are those of the whole text, and the others stand there so much lower. None
        where no heading leads there."""
        block = self._block(path)
        if not block:
            return None
        above = self.pieces[0].text
        lines = above.count("\n")
        before = sum(piece.text.count("\n") for piece in self.pieces[: block[0]])
        text = "".join(self.pieces[place].text for place in block)
        return above + text, lines, before - lines

    # Where things stand.

    def _near(self, path: Path) -> Iterator[tuple[int, Section]]:
        """The sections on the way to a path, and those within it."""
        for place, (whole, piece) in enumerate(zip(self.paths, self.pieces, strict=True)):
            if isinstance(piece, Section):
                short = min(len(whole), len(path))
                if whole[:short] == path[:short]:
                    yield place, piece

    def _holder(self, path: Path) -> _Held | None:
        """The field that holds what stands at a path."""
        for place, piece in self._near(path):
            whole = self.paths[place]
            if len(whole) < len(path):
                for at, line in enumerate(piece.body):
                    if isinstance(line, Field):
                        full = (*whole, *line.keys)
                        if path[: len(full)] == full:
                            return _Held(place, at, line, path[len(full) :])
        return None

    def _block(self, path: Path) -> list[int]:
        """All pieces that are at a path or within it, with the loose ones between them."""
        places = [place for place, _ in self._near(path) if self.paths[place][: len(path)] == path]
        found = places[:1]
        for before, place in itertools.pairwise(places):
            between = range(before + 1, place)
            found += between if all(isinstance(self.pieces[i], Loose) for i in between) else ()
            found.append(place)
        return found

    # Fields.

    def _rewrite(self, held: _Held, new: Any, plan: values.Plan | None = None) -> None:
        """Change a field so that the new value stands in the place that is held."""
        field = held.field
        how: dict[str, Any] = {"newline": self._newline, "indent": _indent(field.text)}
        if plan is not None:
            written = values.rewrite_list(field.written, plan, used=field.begin, **how)
        else:
            value = _changed(field.value, held.inner, new)
            written = values.rewrite(field.written, value, used=field.begin, **how)
        self._set_line(held.place, held.at, field.become(written))

    def _set_line(self, place: int, at: int, *lines: Line) -> None:
        piece = self._section(place)
        body = (*piece.body[:at], *lines, *piece.body[at + 1 :])
        self.pieces[place] = replace(piece, body=body)

    def _section(self, place: int) -> Section:
        piece = self.pieces[place]
        assert isinstance(piece, Section)
        return piece

    def _drop(self, path: Path) -> None:
        """Take out what stands at a path; a comment behind a field stays, on a line of its own."""
        held = self._holder(path)
        if held and held.whole:
            self._set_line(held.place, held.at, *_comment_of(held.field))
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
                    body += _comment_of(line) if isinstance(line, Field) and gone else [line]
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

    def _all_sections(self) -> list[int]:
        return [place for place, piece in enumerate(self.pieces) if isinstance(piece, Section)]

    def _dotted(self, table: Path) -> tuple[int, int, tuple[str, ...]] | None:
        """Where the last field of a table stands that is written `table.field = …`."""
        found = None
        for place, piece in self._near(table):
            whole = self.paths[place]
            if len(whole) < len(table):
                for at, line in enumerate(piece.body):
                    if isinstance(line, Field):
                        full = (*whole, *line.keys)
                        if len(full) > len(table) and full[: len(table)] == table:
                            found = place, at, line.keys[: len(table) - len(whole)]
        return found

    def _write_in(self, place: int, keys: tuple[str, ...], value: Any, at: int | None) -> None:
        """A new field into a section, at a line or where the order has it."""
        self._end_line()
        piece = self._section(place)
        if at is None:
            at = self._where(piece, keys[0])
        beside = next(piece.fields, None)
        indent = _indent(beside.text if beside else piece.heading)
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
                return _below_comments(piece.body, behind[-1])
            before = [at for at, name in enumerate(names) if name in later]
            if before:
                return _above_comments(piece.body, before[0])
        last = max((at for at, name in enumerate(names) if name), default=None)
        return len(names) if last is None else _below_comments(piece.body, last)

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
                indent = inner = _indent(beside.heading)
                inner = next((_indent(line.text) for line in beside.fields), indent)
                if not self._opens_file(place):
                    lead = (self._newline,) if _is_set_off(beside) else ()
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
            if isinstance(first, Section) and _is_set_off(first):
                self.pieces[1] = replace(first, lead=_trimmed(first.lead))
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
        gone = {id(piece) for at, block in enumerate(blocks) if at not in stay for piece in block}
        begin = self._block(path)[0]
        spaced = any(_is_set_off(block[0]) for block in blocks[1:])
        if spaced and self._opens_file(begin) and begin:
            blocks[0][0] = self.pieces[begin] = _set_off(blocks[0][0], self._newline)
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
                        block[0] = _set_off(block[0], self._newline)
                at = self._index(last) + 1 if last else begin
                self.pieces[at:at] = block
            last = block[-1]
        self._settle()

    def _blocks(self, path: Path) -> list[list[Piece]]:
        """Of each table of a list: all pieces, with the loose ones between them."""
        blocks: list[list[Piece]] = [[] for _ in range(self.count(path))]
        loose: list[Piece] = []
        last = -1
        for whole, piece in zip(self.paths, self.pieces, strict=True):
            if isinstance(piece, Loose):
                loose.append(piece)
                continue
            mine = whole[: len(path)] == path and len(whole) > len(path)
            at = int(whole[len(path)]) if mine else -1
            if mine:
                blocks[at] += [*loose, piece] if at == last else [piece]
            loose, last = [], at
        return blocks

    def _index(self, piece: Piece) -> int:
        return next(place for place, each in enumerate(self.pieces) if each is piece)


@dataclass(frozen=True, slots=True)
class _Held:
    """A field, where it stands, and the rest of the path, within its value."""

    place: int
    at: int
    field: Field
    inner: Path

    @property
    def whole(self) -> bool:
        return not self.inner


def _reach(holder: Any, path: Path) -> Any:
    """The table at a path; dicts and lists are made where they are missing."""
    node = holder
    for place, part in enumerate(path):
        if isinstance(part, int):
            while len(node) <= part:
                node.append({})
        elif part not in node:
            many = place + 1 < len(path) and isinstance(path[place + 1], int)
            node[part] = [] if many else {}
        node = node[part]
    return node


def _set(table: Any, path: Path, value: Any) -> None:
    if len(path) > 1:
        table = _reach(table, path[:-1])
    table[path[-1]] = value


def _copied(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _copied(each) for key, each in value.items()}
    if isinstance(value, list):
        return [_copied(each) for each in value]
    return value


def _within(value: Any, path: Path) -> Any:
    for part in path:
        try:
            value = value[part]
        except (KeyError, IndexError, TypeError):
            return MISSING
    return _copied(value)


def _changed(value: Any, path: Path, new: Any) -> Any:
    """A copy with the new value at a path; without what stands there if that is MISSING."""
    if not path:
        return new
    if isinstance(value, list):
        copied: Any = list(value)
    else:
        copied = dict(value) if isinstance(value, dict) else {}
    if len(path) == 1 and new is MISSING:
        del copied[path[0]]
        return copied
    inner = _within(copied, path[:1])
    copied[path[0]] = _changed({} if inner is MISSING else inner, path[1:], new)
    return copied


def _indent(text: str) -> str:
    return text[: len(text) - len(text.lstrip(" \t"))]


def _comment_of(field: Field) -> list[Line]:
    """What stays of a field's lines when it is taken out."""
    rest = field.text[field.end :].lstrip(" \t")
    return [_indent(field.text) + rest] if rest.startswith("#") else []


def _above_comments(body: Sequence[Line], at: int) -> int:
    """Where a field begins with the comments right above it."""
    while at and isinstance(body[at - 1], str) and not is_blank(body[at - 1]):
        at -= 1
    return at


def _below_comments(body: Sequence[Line], at: int) -> int:
    """Where a field ends with the comments that go on below it, further in than it begins."""
    field = body[at]
    inward = len(_indent(field.text)) if isinstance(field, Field) else 0
    at += 1
    while at < len(body):
        line = body[at]
        if isinstance(line, Field) or is_blank(line) or len(_indent(line)) <= inward:
            break
        at += 1
    return at


def _is_set_off(piece: Piece) -> bool:
    return isinstance(piece, Section) and bool(piece.lead) and is_blank(piece.lead[0])


def _set_off(piece: Piece, newline: str) -> Piece:
    if isinstance(piece, Section) and not _is_set_off(piece):
        return replace(piece, lead=(newline, *piece.lead))
    return piece


def _trimmed(lead: tuple[str, ...]) -> tuple[str, ...]:
    while lead and is_blank(lead[0]):
        lead = lead[1:]
    return lead


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
