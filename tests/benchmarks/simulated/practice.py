"""How a made-up student practises: what a way of choosing is, and the days it goes through."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import NamedTuple, Protocol

import numpy as np

from scheduler import Item, Lesson, Meeting
from scheduler.answer import milliseconds_of
from tests.benchmarks.simulated.student import Student

START = datetime(2026, 1, 1, tzinfo=UTC)
INTRODUCTION = 1.5
"""How many times the seconds of a question a skill's first meeting takes."""
WEEK, LESSON_SKILLS, LESSON_NAMED_DAYS = 7, 8, 3
MISSED_DAYS = 0.10
PRACTICE_AT, LESSON_AT, COUNTED_AT, LATER_DAYS = 0.75, 0.65, 1.5, 14
"""Of a day, as its fraction: practice in the evening, a lesson before it; counted the next noon."""


class Way(Protocol):
    """One way of choosing what to practise, for one student; made afresh for each.

    A skill's first meeting is an introduction: it is shown and explained, takes 1.5 × its seconds,
    and its Meeting has a chance of 1.0 and a credit of 1.0, which says nothing.
    """

    def begin(self, now: datetime, seconds: float, lesson: Lesson | None) -> None:
        """A day of so many seconds begins; `now` is what the device's clock says, in UTC."""

    def pick(self, now: datetime, seconds_left: float) -> Item | None:
        """What to ask now; None: nothing more today."""

    def answered(self, meeting: Meeting) -> None:
        """What was asked, by this way or (in a common stream of answers) by another."""

    def predict(self, skill: str, now: datetime, chance: float) -> float | None:
        """Chance of a right answer where a guess is right at `chance`; None: it does not say."""


Make = Callable[[Sequence[Item], int], Way]
"""From the course in order and the student's seed to one way of choosing for that student."""


@dataclass(frozen=True)
class Terms:
    """Under which a student practises."""

    minutes: float = 15.0
    days: int = 70
    bad_clocks: float = 0.0
    """Share of days on which the device's clock is off by days or weeks, either way."""
    siblings: float = 0.0
    """Share of days whose second half is answered by someone else, unnoticed."""


class Begun(NamedTuple):
    """A day's practice begins."""

    now: datetime
    seconds: float
    lesson: Lesson


class Asked(NamedTuple):
    """A question was answered."""

    day: int
    meeting: Meeting
    now: datetime
    """By the device's clock, when it was picked."""
    known: float
    """Chance that the student knew it, just before."""
    chance_right: float
    """Chance of a right answer by the true model."""
    is_new: bool
    by_sibling: bool


class Counted(NamedTuple):
    """What is known at noon after `day`, at lessons, or two weeks after the end."""

    day: int
    what: str
    """ "day", "lesson" or "later"."""
    known: np.ndarray
    own: tuple[int, ...] = ()
    """The lesson's own skills, by number."""


Event = Begun | Asked | Counted


@dataclass
class _Life:
    """What happens to a student whatever they practise; drawn from the seed alone."""

    terms: Terms
    seed: int
    skills: int
    missed: np.ndarray = field(init=False)
    begins_at: np.ndarray = field(init=False)
    clock_off_days: np.ndarray = field(init=False)
    sibling: np.ndarray = field(init=False)
    lesson_order: np.ndarray = field(init=False)
    """By lesson, all skills by number, the ones it would soonest be about first."""

    def __post_init__(self) -> None:
        days = self.terms.days
        rng = np.random.default_rng([self.seed, 21])
        self.missed = rng.random(days) < MISSED_DAYS
        self.begins_at = np.arange(days) + PRACTICE_AT + rng.uniform(-0.06, 0.06, days)
        off = np.round(np.exp(rng.uniform(0.0, np.log(42.0), days))) * rng.choice([-1, 1], days)
        self.clock_off_days = np.where(rng.random(days) < self.terms.bad_clocks, off, 0.0)
        self.sibling = rng.random(days) < self.terms.siblings
        weeks = days // WEEK + 2
        self.lesson_order = np.argsort(rng.random((weeks, self.skills)), axis=1)


def practise(
    way: Way, items: Sequence[Item], student: Student, terms: Terms, seed: int
) -> Iterator[Event]:
    """All that happens while `student` practises by `way`, in order; one seed, one run."""
    life = _Life(terms, seed, len(items))
    number = {item.skill: i for i, item in enumerate(items)}
    begun: set[int] = set()
    own: tuple[int, ...] = ()
    for day in range(terms.days):
        if day and day % WEEK == 0:
            yield Counted(day, "lesson", student.world.known(day + LESSON_AT), own)
            own = ()
        week = day // WEEK
        lesson_day = (week + 1) * WEEK
        if not own and lesson_day - day <= LESSON_NAMED_DAYS:
            soonest = (int(i) for i in life.lesson_order[week] if int(i) in begun)
            own = tuple(i for i, _ in zip(soonest, range(LESSON_SKILLS), strict=False))
        if not life.missed[day]:
            lesson = Lesson(
                START + timedelta(days=lesson_day + LESSON_AT),
                frozenset(items[i].skill for i in own),
            )
            yield from _day(way, items, number, student, life, day, begun, lesson)
        yield Counted(day, "day", student.world.known(day + COUNTED_AT))
    yield Counted(terms.days, "later", student.world.known(terms.days + LATER_DAYS))


def _day(
    way: Way,
    items: Sequence[Item],
    number: dict[str, int],
    student: Student,
    life: _Life,
    day: int,
    begun: set[int],
    lesson: Lesson,
) -> Iterator[Event]:
    """One day's practice."""
    seconds = life.terms.minutes * 60.0
    began = float(life.begins_at[day])
    clock = START + timedelta(days=began + float(life.clock_off_days[day]))
    stranger = np.random.default_rng([life.seed, 22, day])
    student.world.wake(began)
    way.begin(clock, seconds, lesson)
    yield Begun(clock, seconds, lesson)
    used = 0.0
    while used < seconds:
        now = clock + timedelta(seconds=used)
        item = way.pick(now, seconds - used)
        if item is None:
            break
        i = number[item.skill]
        is_new = i not in begun
        begun.add(i)
        used += item.seconds * (INTRODUCTION if is_new else 1.0)
        by_sibling = bool(life.sibling[day]) and used > seconds / 2
        reply = student.answer(i, began + used / 86_400.0, learns=not by_sibling)
        right, heard, response_ms = reply.right, reply.heard, reply.response_ms
        if by_sibling:  # who knows a third of it, and is quick
            right, heard = bool(stranger.random() < 0.33 + 0.67 * item.chance), None
            response_ms = int(2500.0 * np.exp(0.5 * stranger.normal()))
        meeting = Meeting(
            skill=item.skill,
            kind=item.kind,
            credit=1.0 if is_new or right else 0.0,
            heard=None if is_new or heard is None else items[heard].skill,
            chance=1.0 if is_new else item.chance,
            response_ms=response_ms,
            utc_ms=milliseconds_of(clock + timedelta(seconds=used)),
            monotonic_s=began * 86_400.0 + used,
            device="tablet",
            session=str(day),
        )
        way.answered(meeting)
        yield Asked(day, meeting, now, reply.known, reply.chance_right, is_new, by_sibling)
    student.world.sleep(began + used / 86_400.0)


class Mixed:
    """A mixture of habits, which makes the common streams of answers: in turn, again what was
    missed, at random, and something new from the course now and then."""

    def __init__(self, items: Sequence[Item], seed: int) -> None:
        self._items = list(items)
        self._of = {item.skill: item for item in items}
        self._rng = np.random.default_rng([seed, 31])
        self._begun: dict[str, None] = {}  # the one met longest ago first
        self._missed: list[str] = []

    def begin(self, now: datetime, seconds: float, lesson: Lesson | None) -> None:
        pass

    def pick(self, now: datetime, seconds_left: float) -> Item | None:
        fresh = len(self._begun)
        habit = float(self._rng.random())
        if fresh < 4 or (fresh < len(self._items) and habit < 0.06):
            return next(item for item in self._items if item.skill not in self._begun)
        if habit < 0.30 and self._missed:
            return self._of[self._missed.pop(int(self._rng.integers(len(self._missed))))]
        skills = list(self._begun)
        if habit < 0.65:
            return self._of[skills[0]]
        return self._of[skills[int(self._rng.integers(len(skills)))]]

    def answered(self, meeting: Meeting) -> None:
        self._begun.pop(meeting.skill, None)
        self._begun[meeting.skill] = None
        if meeting.credit < 1.0:
            self._missed = [*self._missed[-11:], meeting.skill]

    def predict(self, skill: str, now: datetime, chance: float) -> float | None:
        return None
