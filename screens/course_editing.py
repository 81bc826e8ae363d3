"""A course while it is being made: each change is in its file at once, and can be undone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from practice import Practice
from quizzes.course import Course
from quizzes.course_draft import CourseDraft
from quizzes.course_words import holds_words, name_of, step_name
from quizzes.decks.faults import Fault
from quizzes.errors import CourseError
from screens.edited import Edited
from words import say

Ticked = tuple[str, str]
"""One thing that was ticked: the field of a step, and the id that stands in it."""


class CourseEditing(Edited):
    """The draft of one course of one's own."""

    def __init__(self, practice: Practice, draft: CourseDraft, **kwargs: Any) -> None:
        self.practice, self.draft = practice, draft
        self.course: Course | None = None
        """The course as it stands; None while something is wrong with it."""
        super().__init__(draft, **kwargs)

    @property
    def id(self) -> str:
        """The course's id."""
        return self.draft.id

    @property
    def name(self) -> str:
        """What it is called."""
        name = self.head.get("name")
        return name if isinstance(name, str) and name.strip() else say("A course without a name")

    def write(self, text: str) -> None:
        self.practice.shelf.write_course(self.id, text)

    def find_faults(self) -> tuple[Fault, ...]:
        given = self.practice.given
        try:
            self.course = self.draft.course(decks=given.decks, tradition=given.tradition)
        except CourseError:
            self.course = None
            return self.draft.faults(decks=given.decks, tradition=given.tradition)
        return ()

    def add(self, ticked: Sequence[Ticked], *, as_one: bool) -> None:
        """Steps at the end: one for each thing that was ticked, or one for all."""
        given = self.practice.given
        groups = [ticked] if as_one else [[one] for one in ticked]
        steps: list[Mapping[str, Any]] = []
        for group in groups:
            names = [name_of(field, id, given.decks, given.tradition) for field, id in group]
            lists: dict[str, list[str]] = {}
            for field, id in group:
                lists.setdefault(field, []).append(id)
            steps.append({"name": step_name(names), **lists})
        self.draft.add_all(steps)
        self.keep()

    def words_of(self, at: int) -> str:
        """What a step brings in."""
        given = self.practice.given
        return holds_words(self.entries[at], given.decks, given.tradition)

    def skills_of(self, at: int) -> int | None:
        """How many skills are new in a step; None while the course has faults."""
        return None if self.course is None else len(self.course.steps[at].skills)

    def missing_of(self, at: int) -> tuple[str, ...]:
        """Ids of decks of a step that are not here."""
        return () if self.course is None else self.course.steps[at].missing
