"""A course under edit: its file's text, changed step by step, with undo.

Comments and order of a file that somebody wrote by hand survive. A draft need not be a course that
can be taken: `faults` say what is still wrong with it. Where the text is no TOML, so does `wrong`,
and whatever else is asked of it raises DraftError.
"""

from __future__ import annotations

import secrets
import string
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from quizzes.course import HEAD, LISTS, NO_DECKS, Course
from quizzes.courses import read_course
from quizzes.decks.deck import Deck
from quizzes.decks.draft import RANDOM_LETTERS, slug
from quizzes.decks.faults import Fault
from quizzes.decks.limits import LONGEST_ID
from quizzes.drafts import Order, TextDraft
from quizzes.errors import At, CourseError

STEP = "step"
ORDER: Order = {(): HEAD, (STEP,): ("name", *LISTS, "ask")}
_MEND = "mend the text, it should be TOML"


class CourseDraft:
    """The draft of a course; `file` is its file's name, for messages."""

    def __init__(self, text: str, file: str) -> None:
        self.file = file
        self._draft = TextDraft(text, file, order=ORDER)

    @classmethod
    def new(cls, name: str) -> CourseDraft:
        """A course without steps, whose file's name nobody else has."""
        draft = cls("", f"{new_id(name)}.toml")
        draft.set_head(name=name)
        return cls(draft.text, draft.file)

    @property
    def id(self) -> str:
        """The course's id."""
        return Path(self.file).stem

    @property
    def text(self) -> str:
        return self._draft.text

    @property
    def wrong(self) -> str:
        """Why the text is no TOML; "" where it is."""
        return self._draft.wrong

    # What stands there.

    def course(self, *, decks: Mapping[str, Deck] = NO_DECKS, tradition: str = "") -> Course:
        """The course as it stands. Raises CourseError with all that is wrong."""
        return read_course(self.text, Path(self.file), decks=decks, tradition=tradition)

    def faults(
        self, *, decks: Mapping[str, Deck] = NO_DECKS, tradition: str = ""
    ) -> tuple[Fault, ...]:
        """All that is wrong; of a fault, `entry` is the step, from 0."""
        if self.wrong:
            return (Fault(self.file, self._draft.line, "", self.wrong, _MEND),)
        try:
            self.course(decks=decks, tradition=tradition)
        except CourseError as error:
            return tuple(self._fault(at) for at in error.faults)
        return ()

    def _fault(self, at: At) -> Fault:
        wrong, _, remedy = at.message.partition("; ")
        if not remedy:
            wrong, remedy = "cannot be used", wrong
        entry = at.number - 1 if at.number else None
        return Fault(self.file, at.line, at.field, wrong, remedy, entry)

    def head(self) -> dict[str, Any]:
        """What stands above the steps, by the file's fields."""
        return {name: self._draft.value(name) for name in self._draft.names() if name != STEP}

    def entries(self) -> list[dict[str, Any]]:
        """The steps, by the file's fields."""
        found = self._draft.value(STEP)
        listed = found if isinstance(found, list) else []
        return [each if isinstance(each, dict) else {} for each in listed]

    # Edits.

    def set_head(self, **values: Any) -> None:
        """Set fields above the steps; None takes one out."""
        self._draft.put((), values)

    def put(self, at: int, **values: Any) -> None:
        """Set fields of a step; None takes one out."""
        self._draft.put((STEP, at), values)

    def add(self, values: Mapping[str, Any], at: int | None = None) -> int:
        """A step more, before the one at `at` or at the end; where it is."""
        return self._draft.add((STEP,), values, at)

    def duplicate(self, at: int) -> int:
        """A copy behind the step at `at`; where it is."""
        return self._draft.duplicate((STEP,), at)

    def move(self, at: int, to: int) -> None:
        """Bring a step to another place."""
        self._draft.move((STEP,), at, to)

    def remove(self, at: int) -> None:
        """Take a step out, with the comments that stand right above it."""
        self._draft.remove((STEP,), at)

    # Undo.

    @property
    def can_undo(self) -> bool:
        return self._draft.can_undo

    @property
    def can_redo(self) -> bool:
        return self._draft.can_redo

    def undo(self) -> bool:
        """Back before the last edit; whether there was one."""
        return self._draft.undo()

    def redo(self) -> bool:
        """Do again what was undone last; whether there was anything."""
        return self._draft.redo()


def new_id(name: str) -> str:
    """An id for a course of this name that nobody else has."""
    drawn = "".join(secrets.choice(string.ascii_lowercase) for _ in range(RANDOM_LETTERS))
    return f"{slug(name, LONGEST_ID - RANDOM_LETTERS - 1) or 'course'}-{drawn}"
