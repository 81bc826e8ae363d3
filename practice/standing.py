"""What one student's answers tell now: of the course, skill by skill, and week by week."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Protocol

from practice.courses import course_of, item_of, items_of
from practice.errors import SettingsError
from practice.given import Given, given_in
from practice.note_book import Notes, no_notes, notes_of
from practice.settings import FILE_NAME, Settings
from practice.shelf import Shelf
from practice.whose import LOG_NAME as LOG_NAME
from practice.whose import settings_of
from quizzes.catalogue import every_skill
from quizzes.course import Course, Step
from quizzes.decks.deck import KIND as DECK
from scheduler import (
    Answer,
    History,
    Item,
    Log,
    Memory,
    Recalled,
    families_of,
    keep,
    kin_of,
    recalled,
)
from words import say


class Latest(Protocol):
    """The last answers on a skill that count, the newest first, as `scheduler.Log.latest` gives
    them for one student. Raises LogError."""

    def __call__(
        self,
        skill: str,
        count: int,
        *,
        right: str | None = None,
        given: str | None = None,
        until: datetime | None = None,
    ) -> list[Answer]: ...


@dataclass(frozen=True, slots=True)
class Standing:
    """What the answers of the student of these `settings` tell at `now`, in local time.

    `items` are what is asked of this student, in the order of meeting; memory and history also know
    skills that are asked no more.
    """

    settings: Settings
    course: Course
    items: tuple[Item, ...]
    given: Given
    memory: Memory
    history: History
    now: datetime
    latest: Latest
    is_course_here: bool = True
    """Whether the student's course is on this device; else `course` is all that was begun."""
    notes: Notes = no_notes
    """What is noted of the student beside answers."""

    @property
    def begun(self) -> tuple[Item, ...]:
        """Those of `items` that the student has met."""
        return tuple(item for item in self.items if item.skill in self.memory.beliefs)

    def state(self, skill: str) -> str:
        """ "firm", "shaky", "coming" or "unheard"."""
        return self.memory.state(skill, self.now)

    def name_of(self, skill: str) -> str:
        return self.given.name_of(skill)


def recall(
    log: Log,
    student: str,
    items: Sequence[Item],
    since: Recalled | None = None,
    *,
    is_to_keep: bool = True,
) -> Recalled:
    """What the log tells of every skill ever asked, of `items` or not; it is kept beside the log
    unless that is not wanted. Raises LogError."""
    found = recalled(
        log,
        student,
        families={skill.id: skill.family for skill in every_skill()} | families_of(items),
        kin={skill.id: skill.kin for skill in every_skill()} | kin_of(items),
        since=since,
    )
    return keep(found, log) if is_to_keep else found


Asked = tuple[Course, tuple[Item, ...]]
"""A course and what is asked of who takes it."""
Taken = dict[tuple[str, frozenset[str] | None], Asked | None]
"""Those that have been read, by the course's id and the decks that are asked, all where these are
None; None for a course that is not to be had here. Reading one takes longer than all else."""


@contextmanager
def standing_in(
    folder: Path,
    now: datetime,
    *,
    home: Path,
    given: Given | None = None,
    taken: Taken | None = None,
) -> Iterator[Standing]:
    """How the student stands whose settings and log lie in `folder`, while they are open; nothing
    of them is changed. What students share lies in `home`, and is read unless it is `given`; for
    several students in turn, courses are kept in `taken`.

    Of the decks in `home` those are asked that the course names or the student has begun: others
    may be meant for others. Where the course is not to be had, all that was begun stands in its
    place. Raises
    LogError, and SettingsError where it is not to be known whose log it is.
    """
    try:
        settings = settings_of(folder)
    except SettingsError as error:
        raise SettingsError(
            f"{folder / FILE_NAME}: cannot be read ({error}); practise as this student once, which "
            "mends it"
        ) from error
    if given is None:
        given, _ = given_in(Shelf(home))
    asked_of = _Asking(settings, home, given, {} if taken is None else taken)
    with Log.reading(folder / LOG_NAME) as log:
        every = asked_of(None)
        found = recall(log, settings.student_id, every[1] if every else ())
        here = asked_of(_decks_begun(found.memory))
        course, items = here or _begun(settings.course, found.memory, given)
        latest = partial(log.latest, settings.student_id)
        yield Standing(
            settings,
            course,
            items,
            given,
            found.memory,
            found.history,
            now.astimezone(),
            latest,
            is_course_here=here is not None,
            notes=notes_of(log, settings.student_id),
        )


@dataclass(frozen=True, slots=True)
class _Asking:
    """What is asked of a student, by which decks are; read once."""

    settings: Settings
    home: Path
    given: Given
    taken: Taken

    def __call__(self, begun: frozenset[str] | None) -> Asked | None:
        key = self.settings.course, begun
        if key not in self.taken:
            self.taken[key] = self._read(begun)
        return self.taken[key]

    def _read(self, begun: frozenset[str] | None) -> Asked | None:
        try:
            course = course_of(self.settings, self.home, self.given)
        except SettingsError:
            return None
        if begun is None:
            return course, items_of(course, self.given)
        asked = begun | course.decks
        decks = {name: deck for name, deck in self.given.decks.items() if name in asked}
        return course, items_of(course, replace(self.given, decks=decks))


def _decks_begun(memory: Memory) -> frozenset[str]:
    """The decks of which the student was asked something of their own."""
    begun = (skill.split(":") for skill in memory.beliefs if skill.startswith(f"{DECK}:"))
    return frozenset(parts[1] for parts in begun)


def _begun(course: str, memory: Memory, given: Given) -> tuple[Course, tuple[Item, ...]]:
    """All that was begun, as a course of one part, in the order in which it was met."""
    of_decks = {skill.id: skill for deck in given.decks for skill in given.skills(deck)}
    known = {skill.id: skill for skill in every_skill()} | of_decks
    skills = tuple(known[skill] for skill in memory.beliefs if skill in known)
    step = Step(say("All that was begun"), skills)
    return Course(course, course, "", "", (step,)), tuple(item_of(skill) for skill in skills)
