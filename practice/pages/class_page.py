"""The class page: all students of a teacher on this device, who is ready, and what many share."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from practice.pages.confusions import LEAST, figure_of
from practice.pages.lesson_page import LACKING, date_words, name_on_page
from practice.pages.practised import WEEKS
from practice.pages.ready import MEANS, OF_DAYS, Ready, ready_in
from practice.pages.said import amid, minutes_words, part_of
from practice.pages.setting import STAND_IN, drawable
from practice.pages.states import States, states_of
from practice.pairs import Pair, worst_pairs
from practice.standing import Standing
from quizzes.names import capital, counted
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


@dataclass(frozen=True, slots=True)
class Student:
    """One student's row."""

    id: str
    name: str
    ready: Ready
    states: States
    practised: str
    """`12 of 28 days, 140 minutes, 610 questions`."""
    worst: str
    """What is taken for what most, with its figure; "" where nothing is."""
    trouble: str = ""
    """Why nothing is known of this student, in plain words."""


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
    """What is taken for what by several, by most of them first."""
    shaky: tuple[Shared, ...]
    """Skills that are shaky for several, for most of them first."""

    title = TITLE

    @property
    def date(self) -> str:
        return date_words(self.made)

    @property
    def summary(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """What is said of whom, by name; only what is said of somebody."""
        groups = (
            ("Ready for the lesson", ("ready",)),
            ("Not ready yet", ("not yet",)),
            (f"No practice in the last {OF_DAYS} days", ("away", "none")),
            ("Too few answers to say", ("few",)),
            ("Could not be read", ("unread",)),
        )
        named = (
            (said, tuple(one.name for one in self.students if state_of(one) in states))
            for said, states in groups
        )
        return tuple((said, names) for said, names in named if names)

    @property
    def notes(self) -> tuple[str, ...]:
        lacking = any(STAND_IN in student.name for student in self.students)
        return (MEANS, ABOUT, *([LACKING] if lacking else []))


def state_of(student: Student) -> str:
    """That of `Ready`, or "unread"."""
    return "unread" if student.trouble else student.ready.state


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
    return Student(one.id, drawable(one.name) or one.id, ready, States(), "", "", one.trouble)


def _student(standing: Standing, pairs: list[Pair]) -> Student:
    return Student(
        id=standing.settings.student_id,
        name=name_on_page(standing),
        ready=ready_in(standing),
        states=states_of(standing, (item.skill for item in standing.items)),
        practised=_practised(standing),
        worst=f"{capital(_words(pairs[0]))}: {figure_of(pairs[0])}" if pairs else "",
    )


def _practised(standing: Standing) -> str:
    days, today = standing.history.days, day_of(standing.now)
    first = first_day(lately(standing.now, WEEKS).start)
    found = [days[day] for day in range(first, first + 7 * WEEKS) if day in days]
    if not found:
        return "no practice in four weeks"
    minutes = minutes_words(sum(day.seconds for day in found) / 60)
    asked = sum(day.asked for day in found)
    questions = f"{asked} question{'s' * (asked != 1)}"
    return f"{len(found)} of {today - first + 1} days, {minutes}, {questions}"


def _words(pair: Pair) -> str:
    labels = pair.right_label, pair.given_label
    return " heard as ".join(drawable(amid(label, pair.subject)) for label in labels)


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
                capital(drawable(self._names[skill])),
                f"shaky for {count} of {counted(self._asked[skill], 'student')} who have begun it",
            )
            for skill, count in shared[:MOST_SHARED]
        )


def _confused(words: str, pairs: list[Pair]) -> Shared:
    count, asked = sum(pair.count for pair in pairs), sum(pair.asked for pair in pairs)
    together = part_of(count, asked, wilson(count, asked))
    return Shared(capital(words), f"{len(pairs)} students, together {together}")
