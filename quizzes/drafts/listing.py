"""A file that is a head and a list of tables, under edit: a deck's questions, a course's steps."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from quizzes.drafts.draft import TextDraft
from quizzes.drafts.tables import Order
from quizzes.drafts.undoable import Undoable


class ListDraft(Undoable):
    """A text whose tables `[[many]]` are its entries, counted from 0; `file` is for messages.

    A text that is no TOML is held all the same: `text` gives it and takes another, and whatever
    else is asked of it raises DraftError, or what `_readable` of a class below raises.
    """

    def __init__(
        self,
        text: str,
        file: str,
        *,
        many: str,
        order: Order,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self.file = file
        self._many = many
        self._draft = TextDraft(text, file, order=order, clock=clock)

    @property
    def text(self) -> str:
        return self._draft.text

    @text.setter
    def text(self, text: str) -> None:
        self._replace(text)

    def _replace(self, text: str) -> None:
        self._draft.text = text

    # What stands there.

    def head(self) -> dict[str, Any]:
        """What stands above the entries, by the file's fields."""
        draft = self._readable()
        return {name: draft.value(name) for name in draft.names() if name != self._many}

    def entries(self) -> list[dict[str, Any]]:
        """All entries in order, by the file's fields."""
        found = self._readable().value(self._many)
        listed = found if isinstance(found, list) else []
        return [each if isinstance(each, dict) else {} for each in listed]

    def entry(self, at: int) -> dict[str, Any]:
        """One entry, without the time that all of them take. Raises IndexError."""
        found = self._readable().value(self._many, at) if at >= 0 else None
        if found is None:
            raise IndexError(f"there is no {self._many} {at}")
        return found if isinstance(found, dict) else {}

    # Edits.

    def set_head(self, **values: Any) -> None:
        """Set what stands above the entries; None takes a field out."""
        if self._many in values:
            raise TypeError(f"{self._many} is changed by put, add, duplicate, move and remove")
        self._readable().put((), values)

    def put(self, at: int, **values: Any) -> None:
        """Set fields of an entry, of which only what differs is written anew; None takes one out.
        Raises IndexError."""
        self.entry(at)
        self._readable().put((self._many, at), values)

    def add(self, values: Mapping[str, Any], at: int | None = None) -> int:
        """An entry more, before the one at `at` or at the end; where it is."""
        return self._readable().add((self._many,), values, at)

    def add_all(self, rows: Iterable[Mapping[str, Any]], at: int | None = None) -> int:
        """Several entries more, which are undone together; where the first of them is."""
        return self._readable().add_all((self._many,), rows, at)

    def duplicate(self, at: int) -> int:
        """A copy right behind an entry; where it is. Raises IndexError."""
        return self._copy(at)

    def _copy(self, at: int, **values: Any) -> int:
        self.entry(at)
        return self._readable().duplicate((self._many,), at, **values)

    def move(self, at: int, to: int) -> None:
        """Bring an entry to another place. Raises IndexError."""
        for place in (at, to):
            self.entry(place)
        self._readable().move((self._many,), at, to)

    def remove(self, at: int) -> None:
        """Take an entry out, with the comments that stand right above it. Raises IndexError."""
        self.entry(at)
        self._readable().remove((self._many,), at)

    def _readable(self) -> TextDraft:
        return self._draft
