"""The plan of one practice: which skill next, and why, until the time is up.

In this order: what was missed a moment ago comes back; what is new today is asked until it has
settled; what the skill just asked is often taken for is set beside it; what was missed last time
comes early, every other question; then whatever gains most per second, the next new skill of the
course among it. A pick is made from a shortlist laid out when the
practice starts, so that a large course costs nothing while somebody waits.
"""

from __future__ import annotations

import heapq
import math
import zlib
from collections.abc import Iterable, Sequence
from copy import copy
from dataclasses import dataclass
from datetime import datetime, timedelta

from scheduler.answer import Answer, Item, Meeting
from scheduler.belief import knowledge
from scheduler.errors import PlanError
from scheduler.gain import HORIZONS, Lesson, gain, lesson_terms
from scheduler.memory import Memory, seconds_of
from scheduler.reason import Reason, whole_days
from scheduler.today import APART, Today
from scheduler.why import reason_for

SHORTLIST = 240
_OWED = 12
"""How many skills missed before come early."""
_NEW_WORTH = 1.5  # a skill begun can be built on, which the gain of one question does not count
_INTRODUCING = 1.5  # a new skill is shown and heard before it is asked
_SETTLING_AT_ONCE = 2
_NEW_BASE, _NEW_A_MINUTE, _NEW_A_RECALL = 3, 1 / 3, 1 / 2
_NEW_A_MINUTE_LATER = 1 / 2
_MANY = 12  # skills begun: then new ones may follow each other more closely
_LEAST_RIGHT, _RIGHT_COUNTED = 0.65, 6  # of the last answers, once there are so many
_FEW, _ENOUGH_TO_REST_ON = 4, 6
"""With fewer skills begun nothing can be mixed; with fewer than the second, misses stop nothing."""
_NEARLY = 0.7
"""Skills whose worth is this share of the best one's are as good as it."""
_FREE = 3
"""Of so many skills begun one may be barred: an order that can be foreseen tells the answers."""
_LOOSE_KNOWN, _LOOSE_LEAST, _ASKS_TO_MEND = 0.5, 4, 2
_RIVAL_WEIGHT, _RIVAL_PRESSING = 0.5, 1.2  # fading counts of a confusion
_CONTRASTS = 2  # times a day that a rival is asked for contrast alone
_RIVALS_NEAR = 3  # questions after which a confused pair is still side by side
_SECONDS_A_DAY = 86_400.0
_SPACINGS = ((APART, True), (APART, False), (2, False), (1, False), (0, False))
"""From strict to lax: questions between two of one skill, and whether kinds must change."""


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

    `items` is the course in the order to be met, `memory` what the student knows. Among skills
    nearly as good as the best, `seed` decides. Raises PlanError for a course without items or
    with one twice.
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
    ) -> None:
        self.minutes, self.started, self.seed, self.lesson = minutes, started, seed, lesson
        self.memory = memory
        self.items = {item.skill: item for item in items}
        _check(items, minutes, started)
        self._terms = HORIZONS + lesson_terms(lesson, started, focus=False)
        self._focus_terms = HORIZONS + lesson_terms(lesson, started, focus=True)
        self._today = Today()
        self._unheard = [item for item in items if item.skill not in memory.beliefs]
        self._unheard.reverse()  # the next of the course at the end
        self._lay_out()

    def pick(self, now: datetime, *, seconds_left: float | None = None) -> Pick | None:
        """What to ask at `now`; None when nothing fits into what is left of the time.

        Changes nothing: asked again before an answer, it says the same. `seconds_left` is to come
        from a monotonic clock where there is one; else it is reckoned from `started`.
        """
        left = self._left(now) if seconds_left is None else seconds_left
        fitting = [item for item in self._shortlist.values() if item.seconds <= left]
        new = self._next_new(left)
        most_apart = max(1, len(self._shortlist) // _FREE)
        for apart, change_kind in _SPACINGS:
            barred = self._today.barred(min(apart, most_apart))
            worn = self._today.worn_kind() if change_kind else None
            free = [i for i in fitting if i.skill not in barred and i.kind != worn]
            fresh = new if new and new.kind != worn else None
            pressing = self._pressing(free, now)
            if pressing:
                return self._picked(*pressing, now)
            if free or fresh:
                return self._picked([*free, fresh] if fresh else free, None, now)
        return None

    def answered(self, answer: Answer | Meeting) -> None:
        """Learn of an answer, whether or not it is to what was picked."""
        item = self.items.get(answer.skill)
        is_new = answer.skill not in self.memory.beliefs
        self.memory = self.memory.after(answer)
        if item is None:
            return  # of another course: remembered, but not part of this practice
        if is_new:
            self._unheard = [i for i in self._unheard if i.skill != item.skill]
        self._shortlist[item.skill] = item
        self._today.note(item, right=answer.credit >= 1.0, is_new=is_new)
        self._loose.discard(item.skill)
        if self._is_loose(item.skill, self.memory.sitting.at_s if self.memory.sitting else 0.0):
            self._loose.add(item.skill)

    def copy(self) -> Plan:
        """A plan that goes its own way from here."""
        other = copy(self)
        other._today = self._today.copy()
        other._unheard, other._loose = list(self._unheard), set(self._loose)
        other._shortlist = dict(self._shortlist)
        return other

    def _lay_out(self) -> None:
        """Scan the whole course once: the shortlist, what is owed, what is falling apart."""
        now_s = seconds_of(self.started)
        begun = [self.items[skill] for skill in self.memory.beliefs if skill in self.items]
        owed = self._missed_before()
        worth = heapq.nlargest(SHORTLIST, begun, key=lambda item: self._worth(item, now_s))
        rivals = [
            self.items[other]
            for item in [*owed, *worth]
            for other, _ in self.memory.confusions(item.skill, self.started)[:1]
            if other in self.items and other in self.memory.beliefs
        ]
        self._shortlist = {item.skill: item for item in [*owed, *rivals, *worth]}
        self._owed = tuple(item.skill for item in owed)
        self._loose = {item.skill for item in begun if self._is_loose(item.skill, now_s)}

    def _missed_before(self) -> list[Item]:
        """What was missed in the last practice, in order, then what is missed since long."""
        last = self.memory.sitting.missed if self.memory.sitting else ()
        longer = [skill for skill, belief in self.memory.beliefs.items() if belief.missed]
        longer.sort(key=lambda skill: -self.memory.beliefs[skill].at_s)
        both = dict.fromkeys([*last, *longer])
        return [self.items[skill] for skill in both if skill in self.items][:_OWED]

    def _pressing(self, free: list[Item], now: datetime) -> tuple[list[Item], str] | None:
        """What takes precedence over gain, and why, where there is any."""
        last = self._today.items[-1].skill if self._today.items else None
        asked = self._today.tallies
        owed = [] if last in self._owed else [s for s in self._owed if s not in asked]
        for skills, why in (
            (self._today.returning(), "missed today"),
            (self._today.settling(), "settling"),
            (self._to_contrast(now), "contrast"),
            (owed, "missed before"),
        ):
            items = [item for item in free if item.skill in skills]
            if items:
                return items, why
        return None

    def _picked(self, items: list[Item], why: str | None, now: datetime) -> Pick:
        now_s = seconds_of(now)
        rivals = self._rivals(now)
        scored = [
            (self._worth(item, now_s) * self._today.factor(item, frozenset(rivals)), item)
            for item in items
        ]
        best = max(score for score, _ in scored)
        item = min((i for score, i in scored if score >= _NEARLY * best), key=self._lot)
        return Pick(
            skill=item.skill,
            item=item,
            reason=self._reason(item.skill, why, rivals.get(item.skill), now),
            predicted=self.memory.predict(item.skill, now, item.chance),
            is_new=item.skill not in self.memory.beliefs,
        )

    def _reason(self, skill: str, why: str | None, beside: str | None, now: datetime) -> Reason:
        if skill not in self.memory.beliefs:
            return Reason("new")
        if why == "settling":
            return Reason(why, (self._today.tallies[skill].asked,))
        if why == "missed before":
            return Reason(why, (whole_days(self.memory.days_since(skill, now) or 0.0),))
        if why == "missed today":
            return Reason(why)
        return reason_for(skill, self.memory, now, beside=beside, lesson=self.lesson)

    def _to_contrast(self, now: datetime) -> list[str]:
        """Skills that one just asked is often taken for, to be heard beside it."""
        rivals = self._rivals(now, least=_RIVAL_PRESSING)
        asked = self._today.tallies
        return [s for s in rivals if s not in asked or asked[s].asked < _CONTRASTS]

    def _rivals(self, now: datetime, *, least: float = _RIVAL_WEIGHT) -> dict[str, str]:
        """Skills that one just asked is taken for, → that one."""
        rivals: dict[str, str] = {}
        for item in self._today.items[-_RIVALS_NEAR:]:
            for other, weight in self.memory.confusions(item.skill, now):
                if weight >= least and other != item.skill:
                    rivals[other] = item.skill
        return rivals

    def _lot(self, item: Item) -> int:
        """Decides between equals: differs from question to question, the same on any machine."""
        lot = f"{self.seed} {len(self._today.items)} {item.skill}"
        return zlib.crc32(lot.encode())

    def _worth(self, item: Item, now_s: float) -> float:
        """Expected gain per second."""
        belief = self.memory.beliefs.get(item.skill)
        focus = self.lesson is not None and item.skill in self.lesson.skills
        terms = self._focus_terms if focus else self._terms
        worth = gain(belief, now_s, self.memory.family(item.skill), terms) / item.seconds
        return worth if belief else worth * _NEW_WORTH

    def _left(self, now: datetime) -> float:
        elapsed = (now - self.started) / timedelta(seconds=1)
        if elapsed < 0.0:  # the clock was set back: what was asked says how long it has been
            elapsed = self._today.seconds
        return self.minutes * 60.0 - elapsed

    def _next_new(self, left: float) -> Item | None:
        """The next of the course, if there is time for it and the student can bear it."""
        if not self._unheard:
            return None
        item = self._unheard[-1]
        if item.seconds * _INTRODUCING > left:
            return None
        return item if self._can_bear_more(item, left) else None

    def _can_bear_more(self, item: Item, left: float) -> bool:
        begun = len(self._shortlist)
        if begun < 2:
            return True
        if begun < _FEW:
            return self._today.since_introduced() > 1
        recent = self.memory.recent
        falling = (
            begun >= _ENOUGH_TO_REST_ON
            and len(recent) >= _RIGHT_COUNTED
            and math.fsum(recent) < _LEAST_RIGHT * len(recent)
        )
        mendable = self.minutes * 60.0 / (item.seconds * _ASKS_TO_MEND)
        return (
            not falling
            and len(self._loose) <= max(_LOOSE_LEAST, mendable)
            and len(self._today.settling()) < _SETTLING_AT_ONCE
            and self._today.since_introduced()
            >= (2 if len(self.memory.beliefs) >= _MANY else APART)
            and self._today.introduced() < self._bearable_new()
            and left >= (APART + 2) * item.seconds
        )

    def _bearable_new(self) -> float:
        """New skills that this practice can take: the more was still known, the more."""
        many = len(self.memory.beliefs) - self._today.introduced() >= _MANY
        base = _NEW_BASE + self.minutes * (_NEW_A_MINUTE_LATER if many else _NEW_A_MINUTE)
        return base + self._today.recalled() * _NEW_A_RECALL

    def _is_loose(self, skill: str, now_s: float) -> bool:
        """Whether a skill begun will more likely than not be gone by tomorrow."""
        belief, family = self.memory.beliefs[skill], self.memory.family(skill)
        return knowledge(belief, now_s + _SECONDS_A_DAY, family) < _LOOSE_KNOWN


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
