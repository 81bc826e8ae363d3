"""A course under edit: its file's text, changed step by step, with undo.

Comments and order of a file that somebody wrote by hand survive. A draft need not be a course that
can be taken: `faults` say what is still wrong with it. Where the text is no TOML, so does `wrong`,
and whatever else is asked of it raises DraftError.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from quizzes.course import HEAD, LISTS, NO_DECKS, Course
from quizzes.courses import read_course
from quizzes.decks.deck import Deck
from quizzes.decks.faults import Fault
from quizzes.drafts import ListDraft, Order
from quizzes.errors import At, CourseError
from quizzes.ids import new_id

STEP = "step"
ORDER: Order = {(): HEAD, (STEP,): ("name", *LISTS, "ask")}
_MEND = "mend the text, it should be TOML"


class CourseDraft(ListDraft):
    """The draft of a course; `file` is its file's name, for messages."""

    def __init__(self, text: str, file: str) -> None:
        super().__init__(text, file, many=STEP, order=ORDER)

    @classmethod
    def new(cls, name: str) -> CourseDraft:
        """A course without steps, whose file's name nobody else has."""
        draft = cls("", f"{new_id(name, 'course')}.toml")
        draft.set_head(name=name)
        return cls(draft.text, draft.file)

    @property
    def id(self) -> str:
        """The course's id."""
        return Path(self.file).stem

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
