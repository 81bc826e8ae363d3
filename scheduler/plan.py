"""The plan of one practice: which skill next, and why, until the time is up.

Whatever gains most per second is asked, the next new skill of the course among it. Out of turn
comes what was told and not yet asked; and now and then what was missed a moment ago, or what the
skill just asked is often taken for, to be heard beside it.
"""

from __future__ import annotations

import zlib
from collections.abc import Collection, Iterable, Iterator, Sequence
from copy import copy
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import product
from typing import NamedTuple

import numpy as np

from scheduler.answer import Answer, Item, Meeting, moment_of
from scheduler.belief import gap_days
from scheduler.errors import PlanError
from scheduler.evidence import is_told
from scheduler.gain import Lesson
from scheduler.memory import Memory, seconds_of
from scheduler.mixture import Mixture
from scheduler.pacing import DayPace
from scheduler.reason import Reason
from scheduler.today import APART, CONTRASTS_APART, Today
from scheduler.why import reason_for
from scheduler.worths import Floats, Places, Worths

INTRODUCING = 1.5
"""How many times longer than usual the first question takes: the skill is shown and heard first."""
_LEAST_RIGHT, _RIGHT_COUNTED = 0.5, 6  # of this practice's answers, once there are so many
_FEW, _ENOUGH_TO_REST_ON = 4, 6
"""With fewer skills begun nothing can be mixed; with fewer than the second, misses stop nothing."""
_TOLD_DAYS, _TOLD_ROUNDS = 0.7, 2.0
_MOST_TOLD = 2
"""Nothing new while so many skills have been told and not yet asked."""
_NEW_APART = 2
"""Questions from one new skill to the next, at least; and for each day that it takes to come round
to all that is begun, one more."""
_NEW_SHARE = 0.75
"""Of a practice's time, for telling what is new and asking it once."""
_NEW_BEGINNING = 10
"""New skills in a practice, at most, for who has begun few."""
_GONE_KNOWN, _MOST_GONE = 0.4, 0.5
"""Nothing new while more than a share of what is begun is less known than that."""
_NEARLY = 0.95
"""Skills whose worth is this share of the best one's are as good as it."""
_SHORT_LIST, _NEARLY_OF_FEW = 24, 0.5
"""Of few, more are: what can be foreseen is not listened to."""
_FREE = 3
"""Of so many skills begun one may be barred: an order that can be foreseen tells the answers."""
_RIVAL_WEIGHT = 0.5  # fading count of a confusion
_RIVALS_NEAR = 3  # questions after which a confused pair is still side by side
_CONTRAST_FACTOR, _MISSED_FACTOR, _MEANT_FACTOR = 1.3, 1.2, 4.0
_SPACINGS = ((APART, True), (APART, False), (2, False), (1, False), (0, False))
"""From strict to lax: questions between two of one skill, and whether kinds must change. What is
idle comes only after that, in the same turn."""


class Contrasting(NamedTuple):
    """How readily a skill is set beside what it is taken for, out of turn."""

    apart: int
    """Questions from one such to the next."""
    least: float
    """Fading count of the confusion."""
    most: int
    """Times in a practice."""


_NOW_AND_THEN = Contrasting(CONTRASTS_APART, 1.2, 1)
_WHENEVER = Contrasting(3, _RIVAL_WEIGHT, 3)

Rivals = dict[str, tuple[str, float]]
"""Skills that one just asked is taken for → that one, and how often of late."""


@dataclass(frozen=True, slots=True)
class Pick:
    """What to ask next. `predicted` is the chance of a right answer at the item's usual chance."""

    skill: str
    item: Item
    reason: Reason
    predicted: float
    is_new: bool


class Plan:
    """The plan of one practice of `minutes`, begun at `started` (aware).

    `items` is the course in the order to be met, `memory` what the student knows. With
    `side_by_side` what is confused is set against each other whenever it can be, else now and then.
    Where some skills are `meant`, these are asked above all, and the others only come in between.
    At most `new_a_day` skills are met for the first time in one day by the clock on the wall; those
    met at the times `begun_at` (aware; see `scheduler.pacing`), before this practice, count too.
    Among skills nearly as good as the best, `seed` decides. Raises PlanError for a course without
    items or with one twice.
    """

    def __init__(
        self,
        items: Sequence[Item],
        memory: Memory,
        *,
        minutes: float,
        started: datetime,
        seed: int = 0,
        lesson: Lesson | None = None,
        side_by_side: bool = False,
        meant: Collection[str] = (),
        new_a_day: int | None = None,
        begun_at: Iterable[datetime] = (),
    ) -> None:
        _check(items, minutes, started, new_a_day)
        self.minutes, self.started, self.seed, self.lesson = minutes, started, seed, lesson
        self.memory = memory
        self._contrasting = _WHENEVER if side_by_side else _NOW_AND_THEN
        self._meant = frozenset(meant)
        self.items = {item.skill: item for item in items}
        self._worths = Worths(tuple(items), memory, minutes=minutes, started=started, lesson=lesson)
        own = lesson.skills if lesson else frozenset()
        # Where all is for the lesson, that it is so says nothing.
        self._lesson_told = lesson if any(item.skill not in own for item in items) else None
        self._mixture = Mixture(items)
        self._today = Today()
        self._pace = DayPace(new_a_day, begun_at)
        self._unheard = [item for item in items if item.skill not in memory.beliefs]
        self._unheard.reverse()  # the next of the course at the end
        self._told = self._told_long_since()
        self._missed = {skill for skill, belief in memory.beliefs.items() if belief.missed}

    def pick(self, now: datetime, *, seconds_left: float | None = None) -> Pick | None:
        """What to ask at `now`; None when nothing fits into what is left of the time.

        Changes nothing: asked again before an answer, it says the same. `seconds_left` is to come
        from a monotonic clock where there is one; else it is reckoned from `started`.
        """
        left = self._left(now) if seconds_left is None else seconds_left
        fits = self._worths.begun & (self._worths.seconds <= left)
        rivals = self._rivals(now)
        scores = self._scores(now, rivals)
        new = self._next_new(left, now)
        most_apart = max(1, int(self._worths.begun.sum()) // _FREE)
        idle = self._places(self._today.idle())
        for bars_idle, (apart, change_kind) in product((True, False), _SPACINGS):
            free = fits.copy()
            free[self._places(self._today.barred(min(apart, most_apart)))] = False
            if bars_idle:
                free[idle] = False
            worn = self._today.worn_kind() if change_kind else None
            if worn is not None:
                free &= self._mixture.is_not(worn)
            for skills, why in self._out_of_turn(rivals):
                places = self._places(skills)
                places = places[free[places]]
                if places.size:
                    return self._picked(self._best(scores, places), why, rivals, now)
            fresh = new if new is not None and new.kind != worn else None
            worth = self._worth_of_new(fresh, now) if fresh else 0.0
            places = np.flatnonzero(free)
            if places.size or worth > 0.0:
                return self._picked(self._best(scores, places, fresh, worth), None, rivals, now)
        return None

    @property
    def _is_beginning(self) -> bool:
        """Whether so little is begun that what is told is asked in the same practice."""
        return int(self._worths.begun.sum()) <= _SHORT_LIST

    def _told_long_since(self) -> list[str]:
        """Skills that were told, not really asked since, and have waited for two rounds."""
        wait = max(_TOLD_DAYS, self._worths.round_days)
        beliefs, now_s = self.memory.beliefs, seconds_of(self.started)
        return [
            skill
            for skill in self.items
            if (belief := beliefs.get(skill))
            and not belief.asked
            and gap_days(belief, now_s) >= _TOLD_ROUNDS * wait
        ]

    def answered(self, answer: Answer | Meeting) -> None:
        """Learn of an answer, whether or not it is to what was picked."""
        item = self.items.get(answer.skill)
        is_new = answer.skill not in self.memory.beliefs
        meeting = answer if isinstance(answer, Meeting) else answer.meeting
        rivals = self._rivals(moment_of(meeting.utc_ms))
        self.memory = self.memory.after(meeting)
        self._worths.learn(answer.skill, self.memory)
        if is_new:
            self._pace.begin(self._time_of(meeting))
        if item is None:
            return  # of another course: remembered, but not part of this practice
        if is_new:
            self._unheard = [i for i in self._unheard if i.skill != item.skill]
        self._told = [skill for skill in self._told if skill != item.skill]
        beside = rivals.get(item.skill, ("", 0.0))[1] >= self._contrasting.least
        told = is_told(meeting.chance)
        self._today.note(item, right=answer.credit >= 1.0, is_new=is_new, told=told, beside=beside)

    def now_at(self, monotonic_s: float, clock: datetime) -> datetime:
        """What time it is for memory: from answer to answer of a practice the steady clock counts,
        so that setting the wall's, which says `clock`, changes nothing of what is asked."""
        sitting = self.memory.sitting
        if sitting is None or not self._today.items:
            return clock
        passed_s = max(monotonic_s - sitting.monotonic_s, 0.0)
        return moment_of(round((sitting.at_s + passed_s) * 1000.0))

    @property
    def begun_at(self) -> tuple[datetime, ...]:
        """When skills were met for the first time, those of this practice among them."""
        return self._pace.begun_at

    def copy(self) -> Plan:
        """A plan that goes its own way from here."""
        other = copy(self)
        other._today, other._worths = self._today.copy(), self._worths.copy()
        other._pace = self._pace.copy()
        other._unheard = list(self._unheard)
        return other

    def _time_of(self, meeting: Meeting) -> datetime:
        """When an answer just remembered was given, by memory's clock."""
        sitting = self.memory.sitting
        return moment_of(round(sitting.at_s * 1000.0) if sitting else meeting.utc_ms)

    def _scores(self, now: datetime, rivals: Iterable[str]) -> Floats:
        """What each skill begun is worth a second, with regard to what was just asked."""
        worth = self._worths.gains(seconds_of(now)) / self._worths.seconds
        scores: Floats = np.maximum(worth, 0.0) * self._mixture.factors(self._today)
        scores[self._places(rivals)] *= _CONTRAST_FACTOR
        scores[self._places(self._missed - self._today.tallies.keys())] *= _MISSED_FACTOR
        scores[self._places(self._meant)] *= _MEANT_FACTOR
        return scores

    def _best(
        self, scores: Floats, places: Places, new: Item | None = None, worth: float = 0.0
    ) -> Item:
        """The best of `places` and of a new one; among those nearly as good, by lot."""
        found = scores[places]
        best = max(float(found.max(initial=0.0)), worth)
        share = _NEARLY if self._worths.begun.sum() > _SHORT_LIST else _NEARLY_OF_FEW
        least = share * best
        near: list[Item] = [self._worths.items[place] for place in places[found >= least]]
        if new is not None and 0.0 < worth >= least:
            near.append(new)
        return min(near, key=self._lot)

    def _out_of_turn(self, rivals: Rivals) -> Iterator[tuple[list[str], str]]:
        """What takes precedence over gain, and why."""
        if self._comes_by_lot():
            own = self.lesson.skills if self.lesson else frozenset()
            yield self._today.returning(), "missed today"
            yield self._told, "told"
            yield [s for s in self._today.told() if self._is_beginning or s in own], "settling"
        apart, least, most = self._contrasting
        if self._today.since_contrast >= apart:
            asked = self._today.tallies
            pressing = (s for s, (_, often) in rivals.items() if often >= least)
            yield [s for s in pressing if s not in asked or asked[s].asked < most], "contrast"

    def _comes_by_lot(self) -> bool:
        """Every other time: what came back at a fixed distance could be foreseen."""
        lot = f"{self.seed} {len(self._today.items)}"
        return zlib.crc32(lot.encode()) % 2 == 0

    def _picked(self, item: Item, why: str | None, rivals: Rivals, now: datetime) -> Pick:
        return Pick(
            skill=item.skill,
            item=item,
            reason=self._reason(item.skill, why, rivals, now),
            predicted=self.memory.predict(item.skill, now, item.chance),
            is_new=item.skill not in self.memory.beliefs,
        )

    def _reason(self, skill: str, why: str | None, rivals: Rivals, now: datetime) -> Reason:
        if skill not in self.memory.beliefs:
            return Reason("new")
        if why == "contrast":
            return Reason(why, skills=(rivals[skill][0],))
        tally = self._today.tallies.get(skill)
        if tally is not None and tally.missed_last:
            return Reason("missed today")
        if tally is not None:
            return Reason("settling" if tally.is_new else "again", (tally.asked,))
        if self._meant and skill not in self._meant:
            return Reason("between")
        return reason_for(skill, self.memory, now, lesson=self._lesson_told)

    def _rivals(self, now: datetime) -> Rivals:
        rivals: Rivals = {}
        for item in self._today.items[-_RIVALS_NEAR:]:
            for other, weight in self.memory.confusions(item.skill, now):
                if weight >= max(_RIVAL_WEIGHT, rivals.get(other, ("", 0.0))[1]):
                    rivals[other] = item.skill, weight
        return rivals

    def _places(self, skills: Iterable[str]) -> Places:
        place = self._worths.place
        return np.array([place[skill] for skill in skills if skill in place], np.intp)

    def _lot(self, item: Item) -> int:
        """Decides between equals: differs from question to question, the same on any machine."""
        lot = f"{self.seed} {len(self._today.items)} {item.skill}"
        return zlib.crc32(lot.encode())

    def _left(self, now: datetime) -> float:
        elapsed = (now - self.started) / timedelta(seconds=1)
        if elapsed < 0.0:  # the clock was set back: what was asked says how long it has been
            elapsed = self._today.seconds
        return self.minutes * 60.0 - elapsed

    def _worth_of_new(self, item: Item, now: datetime) -> float:
        gain = self._worths.gain_of_new(item.skill, self.memory, seconds_of(now))
        return gain / (INTRODUCING * item.seconds)

    def _next_new(self, left: float, now: datetime) -> Item | None:
        """The next of the course, if there is time for it and the student can bear it."""
        if not self._unheard:
            return None
        item = self._unheard[-1]
        if self._pace.is_full(now):
            return None
        if self._is_beginning and self._today.introduced() >= _NEW_BEGINNING:
            return None
        spent = (INTRODUCING + 1.0) * (self._today.seconds_of_new + item.seconds)
        if item.seconds * INTRODUCING > left or (
            spent > _NEW_SHARE * self.minutes * 60.0 and self._worths.begun.sum() >= _FEW
        ):
            return None
        return item if self._can_bear_more(left, now) else None

    def _can_bear_more(self, left: float, now: datetime) -> bool:
        """Whether what is begun holds so well that something new may come to it."""
        begun = int(self._worths.begun.sum())
        if begun < 2:
            return True
        if begun < _FEW:
            return self._today.since_introduced() > 1
        apart = max(_NEW_APART, _NEW_APART - 1 + self._worths.round_days)
        told = len(self._told) + (len(self._today.told()) if self._is_beginning else 0)
        if self._today.since_introduced() < apart or told >= _MOST_TOLD:
            return False
        if begun < _ENOUGH_TO_REST_ON:
            return True
        gone = self._worths.known(seconds_of(now))[self._worths.begun] < _GONE_KNOWN
        return (
            float(gone.mean()) <= _MOST_GONE
            and self._today.right_lately(_RIGHT_COUNTED) >= _LEAST_RIGHT
        )


def _check(items: Iterable[Item], minutes: float, started: datetime, new_a_day: int | None) -> None:
    seen: set[str] = set()
    for item in items:
        if item.skill in seen:
            raise PlanError(f"skill {item.skill!r} stands twice in the course: keep one")
        if not item.seconds > 0.0:
            raise PlanError(f"seconds={item.seconds!r} of skill {item.skill!r} must be above 0")
        seen.add(item.skill)
    if not seen:
        raise PlanError("the course holds no skill: choose a course with at least one")
    if not minutes > 0.0:
        raise PlanError(f"minutes={minutes!r} must be above 0")
    if new_a_day is not None and new_a_day < 1:
        raise PlanError(f"new_a_day={new_a_day!r} must be 1 or more, or None")
    if started.tzinfo is None:
        raise PlanError(f"started={started!r} has no time zone: use datetime.now(UTC)")
