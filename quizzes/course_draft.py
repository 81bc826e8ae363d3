"""A course under edit: its file's text, changed step by step, with undo.

Comments and order of a file that somebody wrote by hand survive. A draft need not be a course that
can be taken: `faults` say what is still wrong with it.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from quizzes.course import HEAD, LISTS, NO_DECKS, Course
from quizzes.courses import read_course
from quizzes.decks.deck import Deck
from quizzes.decks.faults import Fault
from quizzes.drafts import TextDraft
from quizzes.errors import At, CourseError

STEP = ("step",)
_ORDER = {(): HEAD, STEP: ("name", *LISTS, "ask")}
_MEND = "mend the text, it should be TOML"


class CourseDraft(TextDraft):
    """The draft of a course; `file` is its file's name, for messages. Editing raises DraftError
    where the text is no TOML."""

    def __init__(self, text: str, file: str) -> None:
        super().__init__(text, file, order=_ORDER)

    @classmethod
    def new(cls, name: str, file: str) -> CourseDraft:
        """One without steps."""
        draft = cls("", file)
        draft.set_head(name=name)
        return cls(draft.text, file)

    def head(self) -> dict[str, Any]:
        """What stands above the steps, by the file's fields."""
        return {name: value for name, value in self.value().items() if name != "step"}

    def steps(self) -> list[dict[str, Any]]:
        """The steps, by the file's fields."""
        found = self.value(*STEP)
        if not isinstance(found, list):
            return []
        return [each for each in found if isinstance(each, dict)]

    def set_head(self, **fields: Any) -> None:
        """Set fields above the steps; None takes one out."""
        self.put((), fields)

    def put_step(self, at: int, **fields: Any) -> None:
        """Set fields of a step; None takes one out."""
        self.put((*STEP, at), fields)

    def add_step(self, values: Mapping[str, Any], at: int | None = None) -> int:
        """A step more, before the one at `at` or at the end; where it is."""
        return self.add(STEP, values, at)

    def duplicate_step(self, at: int) -> int:
        """A copy behind the step at `at`; where it is."""
        return self.duplicate(STEP, at)

    def move_step(self, at: int, to: int) -> None:
        """Bring a step to another place."""
        self.move(STEP, at, to)

    def remove_step(self, at: int) -> None:
        """Take a step out."""
        self.remove(STEP, at)

    def course(self, *, decks: Mapping[str, Deck] = NO_DECKS, tradition: str = "") -> Course:
        """The course as it stands. Raises CourseError with all that is wrong."""
        return read_course(self.text, Path(self.file), decks=decks, tradition=tradition)

    def faults(
        self, *, decks: Mapping[str, Deck] = NO_DECKS, tradition: str = ""
    ) -> tuple[Fault, ...]:
        """All that is wrong; of a fault, `entry` is the step, from 0."""
        if self.wrong:
            return (Fault(self.file, self.line, "", self.wrong, _MEND),)
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
