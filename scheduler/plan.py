"""The plan of one practice: which skill next, and why, until the time is up.

Whatever gains most per second is asked, the next new skill of the course among it. Now and then
something comes out of turn: what was missed a moment ago, or what the skill just asked is often
taken for, to be heard beside it.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterable, Iterator, Sequence
from copy import copy
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from scheduler.answer import Answer, Item, Meeting, moment_of
from scheduler.errors import PlanError
from scheduler.gain import Lesson
from scheduler.memory import Memory, seconds_of
from scheduler.mixture import Mixture
from scheduler.reason import Reason
from scheduler.today import APART, Today
from scheduler.why import reason_for
from scheduler.worths import Floats, Places, Worths

INTRODUCING = 1.5
"""How many times longer than usual the first question takes: the skill is shown and heard first."""
_LEAST_RIGHT, _RIGHT_COUNTED = 0.55, 6  # of this practice's answers, once there are so many
_FEW, _ENOUGH_TO_REST_ON = 4, 6
"""With fewer skills begun nothing can be mixed; with fewer than the second, misses stop nothing."""
_NEW_APART = 2
"""Questions from one new skill to the next, at least; and for each day that it takes to come round
to all that is begun, one more."""
_NEW_SHARE = 0.4
"""Of a practice's time, for meeting what is new."""
_GONE_KNOWN, _MOST_GONE = 0.4, 0.45
"""Nothing new while more than a share of what is begun is less known than that."""
_NEARLY = 0.9
"""Skills whose worth is this share of the best one's are as good as it."""
_FREE = 3
"""Of so many skills begun one may be barred: an order that can be foreseen tells the answers."""
_RIVAL_WEIGHT, _RIVAL_PRESSING = 0.5, 1.2  # fading counts of a confusion
_CONTRASTS = 3  # times that a rival is set beside, where that is the purpose
_RIVALS_NEAR = 3  # questions after which a confused pair is still side by side
_CONTRAST_FACTOR, _MISSED_FACTOR = 1.3, 1.5
_SPACINGS = ((APART, True), (APART, False), (2, False), (1, False), (0, False))
"""From strict to lax: questions between two of one skill, and whether kinds must change."""

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
    ) -> None:
        _check(items, minutes, started)
        self.minutes, self.started, self.seed, self.lesson = minutes, started, seed, lesson
        self.memory, self._side_by_side = memory, side_by_side
        self.items = {item.skill: item for item in items}
        self._worths = Worths(tuple(items), memory, minutes=minutes, started=started, lesson=lesson)
        self._mixture = Mixture(items)
        self._today = Today()
        self._unheard = [item for item in items if item.skill not in memory.beliefs]
        self._unheard.reverse()  # the next of the course at the end
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
        for apart, change_kind in _SPACINGS:
            free = fits.copy()
            free[self._places(self._today.barred(min(apart, most_apart)))] = False
            worn = self._today.worn_kind() if change_kind else None
            if worn is not None:
                free &= self._mixture.is_not(worn)
            for skills, why in self._out_of_turn(rivals):
                places = self._places(skills)
                places = places[free[places]]
                if places.size:
                    return self._picked(self._best(scores, places), why, rivals, now)
            fresh = new if new is not None and new.kind != worn else None
            places = np.flatnonzero(free)
            if places.size or fresh:
                worth = self._worth_of_new(fresh, now) if fresh else 0.0
                return self._picked(self._best(scores, places, fresh, worth), None, rivals, now)
        return None

    def answered(self, answer: Answer | Meeting) -> None:
        """Learn of an answer, whether or not it is to what was picked."""
        item = self.items.get(answer.skill)
        is_new = answer.skill not in self.memory.beliefs
        meeting = answer if isinstance(answer, Meeting) else answer.meeting
        rivals = self._rivals(moment_of(meeting.utc_ms))
        self.memory = self.memory.after(meeting)
        self._worths.learn(answer.skill, self.memory)
        if item is None:
            return  # of another course: remembered, but not part of this practice
        if is_new:
            self._unheard = [i for i in self._unheard if i.skill != item.skill]
        beside = rivals.get(item.skill, ("", 0.0))[1] >= _RIVAL_PRESSING
        self._today.note(item, right=answer.credit >= 1.0, is_new=is_new, beside=beside)

    def copy(self) -> Plan:
        """A plan that goes its own way from here."""
        other = copy(self)
        other._today, other._worths = self._today.copy(), self._worths.copy()
        other._unheard = list(self._unheard)
        return other

    def _scores(self, now: datetime, rivals: Iterable[str]) -> Floats:
        """What each skill begun is worth a second, with regard to what was just asked."""
        worth = self._worths.gains(seconds_of(now)) / self._worths.seconds
        scores: Floats = np.maximum(worth, 0.0) * self._mixture.factors(self._today)
        scores[self._places(rivals)] *= _CONTRAST_FACTOR
        scores[self._places(self._missed - self._today.tallies.keys())] *= _MISSED_FACTOR
        return scores

    def _best(
        self, scores: Floats, places: Places, new: Item | None = None, worth: float = 0.0
    ) -> Item:
        """The best of `places` and of a new one; among those nearly as good, by lot."""
        found = scores[places]
        least = _NEARLY * max(float(found.max(initial=0.0)), worth)
        near: list[Item] = [self._worths.items[place] for place in places[found >= least]]
        if new is not None and worth >= least:
            near.append(new)
        return min(near, key=self._lot)

    def _out_of_turn(self, rivals: Rivals) -> Iterator[tuple[list[str], str]]:
        """What takes precedence over gain, and why."""
        if self._today.may_turn:
            yield self._today.returning(), "missed today"
        if self._today.may_turn or self._side_by_side:
            asked = self._today.tallies
            pressing = (s for s, (_, often) in rivals.items() if often >= _RIVAL_PRESSING)
            most = _CONTRASTS if self._side_by_side else 1
            yield [s for s in pressing if s not in asked or asked[s].asked < most], "contrast"

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
        if why == "missed today":
            return Reason(why)
        tally = self._today.tallies.get(skill)
        if tally is not None and tally.is_new:
            return Reason("settling", (tally.asked,))
        beside = rivals[skill][0] if skill in rivals else None
        return reason_for(skill, self.memory, now, beside=beside, lesson=self.lesson)

    def _rivals(self, now: datetime) -> Rivals:
        rivals: Rivals = {}
        for item in self._today.items[-_RIVALS_NEAR:]:
            for other, weight in self.memory.confusions(item.skill, now):
                if weight >= _RIVAL_WEIGHT and other != item.skill:
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
        spent = INTRODUCING * (self._today.seconds_of_new + item.seconds)
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
        if self._today.since_introduced() < apart:
            return False
        if begun < _ENOUGH_TO_REST_ON:
            return True
        gone = self._worths.known(seconds_of(now))[self._worths.begun] < _GONE_KNOWN
        return (
            float(gone.mean()) <= _MOST_GONE
            and self._today.right_lately(_RIGHT_COUNTED) >= _LEAST_RIGHT
        )


def _check(items: Iterable[Item], minutes: float, started: datetime) -> None:
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
    if started.tzinfo is None:
        raise PlanError(f"started={started!r} has no time zone: use datetime.now(UTC)")
