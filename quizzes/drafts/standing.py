"""Where in a text that is cut into pieces its tables and fields stand."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from quizzes.drafts.nested import MISSING, copied, put_in, reach, within
from quizzes.drafts.pieces import Field, Loose, Path, Piece, Section


@dataclass(frozen=True, slots=True)
class Held:
    """A field, where it stands, and the rest of the path, within its value."""

    place: int
    at: int
    field: Field
    inner: Path

    @property
    def whole(self) -> bool:
        return not self.inner


class Standing:
    """The pieces of a text, to be looked through."""

    def __init__(self, pieces: Iterable[Piece], paths: Iterable[Path]) -> None:
        self.pieces = list(pieces)
        self.paths = list(paths)
        """Of each piece, as `resolve` has it."""

    def value(self, path: Path) -> Any:
        """What stands at a path; MISSING where nothing does."""
        holder: dict[Any, Any] = {}
        for place, piece in self._near(path):
            whole = self.paths[place]
            if len(whole) >= len(path):
                table = reach(holder, ("", *whole[len(path) :]))
                for field in piece.fields:
                    put_in(table, field.keys, copied(field.value))
                continue
            for field in piece.fields:
                full = (*whole, *field.keys)
                if full[: len(path)] == path:
                    put_in(holder, ("", *full[len(path) :]), copied(field.value))
                elif path[: len(full)] == full:
                    return within(field.value, path[len(full) :])
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

    def count(self, path: Path) -> int:
        """How many tables a list has."""
        held = self._holder(path)
        if held:
            found = within(held.field.value, held.inner)
            return len(found) if isinstance(found, list) else 0
        inside = (
            each for each in self.paths if len(each) > len(path) and each[: len(path)] == path
        )
        return 1 + max((int(each[len(path)]) for each in inside), default=-1)

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

    def _near(self, path: Path) -> Iterator[tuple[int, Section]]:
        """The sections on the way to a path, and those within it."""
        for place, (whole, piece) in enumerate(zip(self.paths, self.pieces, strict=True)):
            if isinstance(piece, Section):
                short = min(len(whole), len(path))
                if whole[:short] == path[:short]:
                    yield place, piece

    def _holder(self, path: Path) -> Held | None:
        """The field that holds what stands at a path."""
        for place, piece in self._near(path):
            whole = self.paths[place]
            if len(whole) < len(path):
                for at, line in enumerate(piece.body):
                    if isinstance(line, Field):
                        full = (*whole, *line.keys)
                        if path[: len(full)] == full:
                            return Held(place, at, line, path[len(full) :])
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

    def _section(self, place: int) -> Section:
        piece = self.pieces[place]
        assert isinstance(piece, Section)
        return piece

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
