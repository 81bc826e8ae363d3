"""The class page: all students of a teacher on this device, who is ready, and what many share."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import NamedTuple

from practice.guessed import is_surely_no_guess
from practice.lesson import lesson_words
from practice.mistaken import state_of
from practice.pages.confusions import figure_of, heard_as, is_worth_telling
from practice.pages.lesson_page import date_words
from practice.pages.practised import last_practised
from practice.pages.ready import OF_DAYS, Ready, ready_in
from practice.pages.said import minutes_words, so_many, some
from practice.pages.states import States, states_of
from practice.pages.topic import topic_of
from practice.pairs import Pair, worst_pairs
from practice.standing import Standing
from quizzes.names import capital
from scheduler.history import day_of, first_day, lately
from words import in_english

SHARED = 2
"""What fewer students have is no weak spot of the class."""
MOST_SHARED = 6
PAIRS_OF_EACH = 12
TITLE = "The class"
NAMELESS = "A student without a name"
NAMED = 4
"""So many students are named who share a weak spot."""
ABOUT = (
    "Days, minutes and questions are those of the last four weeks, this one among them. A "
    "range such as 21 to 57 % holds one student's true share in 19 cases of 20 (Wilson). Kaan "
    "advises; it does not diagnose."
)


class Spent(NamedTuple):
    """What was practised in the last four weeks, `of_days` until today."""

    days: int = 0
    of_days: int = 0
    minutes: float = 0.0
    asked: int = 0

    @property
    @in_english()
    def words(self) -> str:
        """`12 of 28 days, 140 minutes, 610 questions`."""
        if not self.days:
            return "No practice in the last four weeks"
        minutes, questions = minutes_words(self.minutes), so_many(self.asked, "question")
        return f"{self.days} of {self.of_days} days, {minutes}, {questions}"


@dataclass(frozen=True, slots=True)
class Student:
    """One student's row."""

    id: str
    name: str
    ready: Ready
    states: States
    spent: Spent
    lesson: str = ""
    """When the next lesson is, and on what; "" where none is set."""
    worst: str = ""
    """What is heard as what most, and surely not by chance, with its figure; "" for nothing."""
    trouble: str = ""
    """Why nothing is known of this student, in plain words."""
    known_by: str = "no answer"
    """What tells this one from another of the same name."""

    @property
    def state(self) -> str:
        """That of `Ready`, or "unread"."""
        return "unread" if self.trouble else self.ready.state

    @property
    def why(self) -> str:
        """When the lesson is, and by what it is called ready or not."""
        lesson = f"Lesson: {self.lesson}. " if self.lesson else ""
        return f"{lesson}{self.ready.figures}"


@dataclass(frozen=True, slots=True)
class Shared:
    """A weak spot of several students; `who` are some of these by name."""

    words: str
    figure: str
    who: str


@dataclass(frozen=True, slots=True)
class ClassPage:
    """All students at one moment, by name."""

    made: datetime
    students: tuple[Student, ...]
    confused: tuple[Shared, ...]
    """What is heard as what by several, by most of them first."""
    shaky: tuple[Shared, ...]
    """Skills that are shaky for several, for most of them first."""

    title = TITLE

    @property
    def date(self) -> str:
        return date_words(self.made)

    @property
    def summary(self) -> tuple[tuple[str, tuple[Student, ...]], ...]:
        """What is said of whom; only what is said of somebody."""
        groups = (
            ("Ready for the lesson", ("ready",)),
            ("Not ready yet", ("not yet",)),
            (f"Without practice in the last {OF_DAYS} days", ("away", "none")),
            ("With too few answers to say", ("few",)),
            ("Not to be read", ("unread",)),
        )
        found = (
            (said, tuple(one for one in self.students if one.state in states))
            for said, states in groups
        )
        return tuple((said, students) for said, students in found if students)

    @property
    def counts(self) -> str:
        """What is said of how many: `Of 40: 10 ready for the lesson, 30 not ready yet.`"""
        if not self.students:
            return "Nobody practises on this device yet."
        counts = ", ".join(f"{len(those)} {said.lower()}" for said, those in self.summary)
        return f"Of {len(self.students)}: {counts}."


@dataclass(frozen=True, slots=True)
class Unread:
    """A student whose answers cannot be read, or who has none yet (`trouble` is "")."""

    id: str
    name: str
    trouble: str = ""


def class_page(standings: Iterable[Standing | Unread], made: datetime) -> ClassPage:
    """The page on these students, each looked at once and let go; `made` is in local time. Raises
    LogError where a log can be read no more."""
    students: list[Student] = []
    gathered = _Gathered()
    for one in standings:
        if isinstance(one, Unread):
            students.append(_unread(one))
            continue
        pairs = [
            pair
            for pair in worst_pairs(one, most=PAIRS_OF_EACH)
            if is_worth_telling(pair) and is_surely_no_guess(one, pair)
        ]
        gathered.take(one, pairs)
        students.append(_student(one, pairs))
    students.sort(key=lambda student: (student.name.casefold(), student.id))
    return ClassPage(made, _told_apart(students), gathered.confused(), gathered.shaky())


def _told_apart(students: list[Student]) -> tuple[Student, ...]:
    """The same; those of one name with what tells them apart."""
    names = Counter(student.name.casefold() for student in students)
    return tuple(
        replace(one, name=f"{one.name} ({one.known_by})") if names[one.name.casefold()] > 1 else one
        for one in students
    )


def _unread(one: Unread) -> Student:
    ready = Ready("none", "There is no answer on this device.")
    return Student(one.id, one.name or one.id, ready, States(), Spent(), trouble=one.trouble)


def _student(standing: Standing, pairs: list[Pair]) -> Student:
    return Student(
        id=standing.settings.student_id,
        name=standing.settings.student_name or NAMELESS,
        ready=ready_in(standing, topic_of(standing)),
        states=states_of(standing, (item.skill for item in standing.items)),
        spent=_spent(standing),
        lesson=lesson_words(standing.settings, standing.now, standing.given.tradition),
        known_by=_known_by(standing),
        worst=f"{heard_as(standing, pairs[0])}: {figure_of(pairs[0])}" if pairs else "",
    )


def _known_by(standing: Standing) -> str:
    """`6 answers, last on 29 November 2026`."""
    last = last_practised(standing)
    if last is None:
        return "no answer"
    count = sum(day.asked + day.shown for day in standing.history.days.values())
    return f"{so_many(count, 'answer')}, last on {last.day} {last:%B %Y}"


def _spent(standing: Standing) -> Spent:
    days, today = standing.history.days, day_of(standing.now)
    weeks = lately(standing.now)
    first = first_day(weeks.start)
    found = [days[day] for day in range(first, first_day(weeks[-1])) if day in days]
    minutes = sum(day.seconds for day in found) / 60
    return Spent(len(found), today - first + 1, minutes, sum(day.asked for day in found))


class _Gathered:
    """What weak spots the students have in common."""

    def __init__(self) -> None:
        self._pairs: dict[str, list[tuple[str, Pair]]] = defaultdict(list)
        self._asked: Counter[str] = Counter()
        self._shaky: dict[str, list[str]] = defaultdict(list)
        self._names: dict[str, str] = {}

    def take(self, standing: Standing, pairs: Iterable[Pair]) -> None:
        """Of confusions those of the last four weeks."""
        student = standing.settings.student_name or NAMELESS
        for pair in pairs:
            if pair.is_lately:
                self._pairs[heard_as(standing, pair)].append((student, pair))
        for item in standing.begun:
            self._asked[item.skill] += 1
            if state_of(standing, item.skill) == "shaky":
                self._shaky[item.skill].append(student)
                if item.skill not in self._names:
                    self._names[item.skill] = standing.name_of(item.skill)

    def confused(self) -> tuple[Shared, ...]:
        shared = [(words, of) for words, of in self._pairs.items() if len(of) >= SHARED]
        shared.sort(key=lambda each: (-len(each[1]), -_together(each[1])[0], each[0]))
        return tuple(_confused(words, of) for words, of in shared[:MOST_SHARED])

    def shaky(self) -> tuple[Shared, ...]:
        shared = [(skill, who) for skill, who in self._shaky.items() if len(who) >= SHARED]
        shared.sort(key=lambda each: (-len(each[1]), self._asked[each[0]], each[0]))
        return tuple(
            Shared(
                capital(self._names[skill]),
                f"shaky for {len(who)} of {self._asked[skill]} who have begun it",
                _named(who),
            )
            for skill, who in shared[:MOST_SHARED]
        )


def _named(students: Iterable[str]) -> str:
    return some(sorted(students, key=str.casefold), NAMED)


def _together(of: Iterable[tuple[str, Pair]]) -> tuple[int, int]:
    """How often all of them, of how many times."""
    pairs = [pair for _, pair in of]
    return sum(pair.count for pair in pairs), sum(pair.asked for pair in pairs)


def _confused(words: str, of: list[tuple[str, Pair]]) -> Shared:
    """In counts only: answers of several are no draws of one share."""
    count, asked = _together(of)
    figure = f"{so_many(len(of), 'student')}, together {count} of {asked} times"
    return Shared(words, figure, _named(name for name, _ in of))
