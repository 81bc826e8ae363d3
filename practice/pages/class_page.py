"""The class page: all students of a teacher on this device, who is ready, and what many share."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from practice.pages.confusions import LEAST, figure_of
from practice.pages.lesson_page import NAMELESS, date_words
from practice.pages.practised import WEEKS
from practice.pages.ready import OF_DAYS, Ready, ready_in
from practice.pages.said import amid, minutes_words, part_of
from practice.pages.states import States, states_of
from practice.pairs import Pair, worst_pairs
from practice.standing import Standing
from quizzes.names import capital
from scheduler.history import day_of, first_day, lately
from scheduler.reliability import wilson

SHARED = 2
"""What fewer students have is no weak spot of the class."""
MOST_SHARED = 8
PAIRS_OF_EACH = 12
TITLE = "The class"
ABOUT = (
    "Days, minutes and questions are those of the last four weeks, the running one with them. A "
    "range such as 21 to 57 % holds the true share in 19 cases of 20 (Wilson). Kaan advises; it "
    "does not diagnose."
)


class Spent(NamedTuple):
    """What was practised in the last four weeks, `of_days` until today."""

    days: int = 0
    of_days: int = 0
    minutes: float = 0.0
    asked: int = 0

    @property
    def words(self) -> str:
        """`12 of 28 days, 140 minutes, 610 questions`."""
        if not self.days:
            return "No practice in the last four weeks"
        minutes, questions = minutes_words(self.minutes), "question" + "s" * (self.asked != 1)
        return f"{self.days} of {self.of_days} days, {minutes}, {self.asked} {questions}"


@dataclass(frozen=True, slots=True)
class Student:
    """One student's row."""

    id: str
    name: str
    ready: Ready
    states: States
    spent: Spent
    worst: str = ""
    """What is heard as what most, with its figure; "" where nothing is."""
    trouble: str = ""
    """Why nothing is known of this student, in plain words."""

    @property
    def state(self) -> str:
        """That of `Ready`, or "unread"."""
        return "unread" if self.trouble else self.ready.state


@dataclass(frozen=True, slots=True)
class Shared:
    """A weak spot of several students."""

    words: str
    figure: str


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
        pairs = [p for p in worst_pairs(one, most=PAIRS_OF_EACH) if p.count >= LEAST]
        gathered.take(one, pairs)
        students.append(_student(one, pairs))
    students.sort(key=lambda student: (student.name.casefold(), student.id))
    return ClassPage(made, tuple(students), gathered.confused(), gathered.shaky())


def _unread(one: Unread) -> Student:
    ready = Ready("none", "There is no answer on this device.")
    return Student(one.id, one.name or one.id, ready, States(), Spent(), "", one.trouble)


def _student(standing: Standing, pairs: list[Pair]) -> Student:
    return Student(
        id=standing.settings.student_id,
        name=standing.settings.student_name or NAMELESS,
        ready=ready_in(standing),
        states=states_of(standing, (item.skill for item in standing.items)),
        spent=_spent(standing),
        worst=f"{capital(_words(pairs[0]))}: {figure_of(pairs[0])}" if pairs else "",
    )


def _spent(standing: Standing) -> Spent:
    days, today = standing.history.days, day_of(standing.now)
    first = first_day(lately(standing.now, WEEKS).start)
    found = [days[day] for day in range(first, first + 7 * WEEKS) if day in days]
    minutes = sum(day.seconds for day in found) / 60
    return Spent(len(found), today - first + 1, minutes, sum(day.asked for day in found))


def _words(pair: Pair) -> str:
    labels = pair.right_label, pair.given_label
    return " heard as ".join(amid(label, pair.subject) for label in labels)


class _Gathered:
    """What weak spots the students have in common."""

    def __init__(self) -> None:
        self._pairs: dict[str, list[Pair]] = defaultdict(list)
        self._asked: Counter[str] = Counter()
        self._shaky: Counter[str] = Counter()
        self._names: dict[str, str] = {}

    def take(self, standing: Standing, pairs: Iterable[Pair]) -> None:
        for pair in pairs:
            self._pairs[_words(pair)].append(pair)
        for item in standing.begun:
            self._asked[item.skill] += 1
            if standing.state(item.skill) == "shaky":
                self._shaky[item.skill] += 1
                if item.skill not in self._names:
                    self._names[item.skill] = standing.name_of(item.skill)

    def confused(self) -> tuple[Shared, ...]:
        shared = [(words, pairs) for words, pairs in self._pairs.items() if len(pairs) >= SHARED]
        shared.sort(key=lambda each: (-len(each[1]), -sum(pair.count for pair in each[1]), each[0]))
        return tuple(_confused(words, pairs) for words, pairs in shared[:MOST_SHARED])

    def shaky(self) -> tuple[Shared, ...]:
        shared = [(skill, count) for skill, count in self._shaky.items() if count >= SHARED]
        shared.sort(key=lambda each: (-each[1], self._asked[each[0]], each[0]))
        return tuple(
            Shared(
                capital(self._names[skill]),
                f"shaky for {count} of {self._asked[skill]} who have begun it",
            )
            for skill, count in shared[:MOST_SHARED]
        )


def _confused(words: str, pairs: list[Pair]) -> Shared:
    count, asked = sum(pair.count for pair in pairs), sum(pair.asked for pair in pairs)
    together = part_of(count, asked, wilson(count, asked))
    return Shared(capital(words), f"{len(pairs)} students, together {together}")
