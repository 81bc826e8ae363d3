"""What one student knows: a belief for each skill met, what is heard as what, and the usual pace.

A Memory is never changed: `after` gives the next one. All of it comes from the log alone, and
`rebuilt` takes the same steps as `after`, to the last bit.

Gaps are taken from UTC. Within a session its own monotonic clock counts instead, so that setting
the clock during practice does no harm; a clock set back between sessions counts as one day.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

from scheduler.answer import Answer, Item, Meeting, milliseconds_of
from scheduler.belief import FAMILIES, Belief, Family, chance_right, gap_days, knowledge, met, state

RECENT = 12
"""How many of the last answers are kept to see how practice goes."""
_USUAL = FAMILIES["perception"]  # the family of a skill that no course names any more
_CONFUSIONS_KEPT = 8  # of each ordered pair, the last ones
_CONFUSION_HALF_LIFE_DAYS = 14.0
_SECONDS_A_DAY = 86_400.0

# How quickness speaks for knowledge: log response times of known and guessed answers as two normal
# distributions of one width, so that the log of the likelihood ratio is linear; held and tempered,
# since a student may also be quick by temper or slow by a knock at the door.
_QUICK_SLOPE, _QUICK_LIMIT, _QUICK_POWER = 1.4, 3.0, 0.7
_PACE_KNOWN_AFTER, _PACE_WINDOW = 8, 200  # answers
_SHORTEST_MS, _LONGEST_MS = 200, 60_000


class Pace(NamedTuple):
    """The running mean of log response times in one kind of question; `mean` in log ms."""

    answers: int
    mean: float


class Sitting(NamedTuple):
    """The session last seen: where its clocks stand, and the skills missed in it, in order."""

    device: str
    session: str
    at_s: float
    monotonic_s: float
    missed: tuple[str, ...] = ()


_Heard = Mapping[str, Mapping[str, tuple[float, ...]]]


@dataclass(frozen=True, slots=True)
class Memory:
    """What one student knows; a fresh one has met nothing.

    `families` says to which family a skill belongs, `models` how each family is learnt.
    """

    families: Mapping[str, str] = field(default_factory=dict)
    models: Mapping[str, Family] = field(default_factory=lambda: FAMILIES)
    beliefs: Mapping[str, Belief] = field(default_factory=dict)
    """Of the skills met, in the order of their first meeting."""
    heard: _Heard = field(default_factory=dict)
    """Skill asked → skill heard instead → when, in seconds since 1970."""
    paces: Mapping[str, Pace] = field(default_factory=dict)
    """By kind of question."""
    recent: tuple[float, ...] = ()
    """Credits of the last answers, the latest at the end."""
    sitting: Sitting | None = None

    @classmethod
    def rebuilt(
        cls,
        answers: Iterable[Answer | Meeting],
        *,
        families: Mapping[str, str],
        models: Mapping[str, Family] = FAMILIES,
    ) -> Memory:
        """The memory after all `answers` of one student, in the order of the log."""
        draft = _Draft(cls(families=families, models=models))
        for answer in answers:
            draft.take(answer if isinstance(answer, Meeting) else answer.meeting)
        return draft.finished()

    def after(self, answer: Answer | Meeting) -> Memory:
        """The memory after one more answer."""
        draft = _Draft(self)
        draft.take(answer if isinstance(answer, Meeting) else answer.meeting)
        return draft.finished()

    def family(self, skill: str) -> Family:
        return self.models.get(self.families.get(skill, ""), _USUAL)

    def knowledge(self, skill: str, now: datetime) -> float:
        """Chance that `skill` is known at `now`."""
        return knowledge(self.beliefs.get(skill), seconds_of(now), self.family(skill))

    def predict(self, skill: str, now: datetime, chance: float) -> float:
        """Chance of a right answer to `skill` at `now`, when a guess is right at `chance`."""
        return chance_right(self.knowledge(skill, now), chance)

    def state(self, skill: str, now: datetime) -> str:
        """ "firm", "shaky", "coming" or "unheard"; see `scheduler.belief.state`."""
        return state(self.beliefs.get(skill), seconds_of(now), self.family(skill))

    def days_since(self, skill: str, now: datetime) -> float | None:
        """Days since `skill` was last met; None if never."""
        belief = self.beliefs.get(skill)
        return None if belief is None else gap_days(belief, seconds_of(now))

    def confusions(self, skill: str, now: datetime) -> list[tuple[str, float]]:
        """Skills heard instead of `skill`, with a count that halves every 14 days; worst first."""
        now_s = seconds_of(now)
        weights = [
            (other, sum(_confusion_weight(now_s - at_s) for at_s in times))
            for other, times in self.heard.get(skill, {}).items()
        ]
        return sorted(weights, key=lambda pair: (-pair[1], pair[0]))

    def times_heard(self, skill: str, other: str, now: datetime, *, days: float = 7.0) -> int:
        """How often `other` was heard instead of `skill` in the last `days`; counts up to 8."""
        since_s = seconds_of(now) - days * _SECONDS_A_DAY
        return sum(at_s >= since_s for at_s in self.heard.get(skill, {}).get(other, ()))

    def pairs(self, now: datetime) -> list[tuple[str, str, float]]:
        """All (asked, heard, weight), worst first."""
        found = [
            (skill, other, weight)
            for skill in self.heard
            for other, weight in self.confusions(skill, now)
        ]
        return sorted(found, key=lambda pair: (-pair[2], pair[0], pair[1]))


class _Draft:
    """A memory being changed, so that a million answers need not be a million copies."""

    def __init__(self, memory: Memory) -> None:
        self._families, self._models = memory.families, memory.models
        self._beliefs = dict(memory.beliefs)
        self._heard = dict(memory.heard)
        self._paces = dict(memory.paces)
        self._recent = memory.recent
        self._sitting = memory.sitting

    def finished(self) -> Memory:
        return Memory(
            families=self._families,
            models=self._models,
            beliefs=self._beliefs,
            heard=self._heard,
            paces=self._paces,
            recent=self._recent,
            sitting=self._sitting,
        )

    def take(self, meeting: Meeting) -> None:
        at_s = self._time_of(meeting)
        skill = meeting.skill
        self._beliefs[skill] = met(
            self._beliefs.get(skill),
            at_s,
            self._models.get(self._families.get(skill, ""), _USUAL),
            credit=meeting.credit,
            chance=meeting.chance,
            quickness=self._quickness(meeting),
        )
        if meeting.heard is not None and meeting.heard != skill and meeting.credit < 1.0:
            others = dict(self._heard.get(skill, {}))
            others[meeting.heard] = (*others.get(meeting.heard, ()), at_s)[-_CONFUSIONS_KEPT:]
            self._heard[skill] = others
        self._recent = (*self._recent[1 - RECENT :], meeting.credit)

    def _time_of(self, meeting: Meeting) -> float:
        """When the answer came, in seconds since 1970, and note the sitting."""
        last = self._sitting
        at_s = meeting.utc_ms / 1000.0
        missed: tuple[str, ...] = ()
        if last and (last.session, last.device) == (meeting.session, meeting.device):
            at_s = last.at_s + max(meeting.monotonic_s - last.monotonic_s, 0.0)
            missed = last.missed
        if meeting.credit < 1.0 and meeting.skill not in missed:
            missed = (*missed, meeting.skill)
        self._sitting = Sitting(meeting.device, meeting.session, at_s, meeting.monotonic_s, missed)
        return at_s

    def _quickness(self, meeting: Meeting) -> float:
        """How many times likelier so quick an answer is from knowledge; and learn the pace."""
        log_ms = math.log(min(max(meeting.response_ms, _SHORTEST_MS), _LONGEST_MS))
        pace = self._paces.get(meeting.kind)
        if pace is None:
            self._paces[meeting.kind] = Pace(1, log_ms)
            return 1.0
        answers = pace.answers + 1
        mean = pace.mean + (log_ms - pace.mean) / min(answers, _PACE_WINDOW)
        self._paces[meeting.kind] = Pace(answers, mean)
        if pace.answers < _PACE_KNOWN_AFTER:
            return 1.0
        ratio = math.exp(_QUICK_SLOPE * (pace.mean - log_ms))
        return math.pow(min(max(ratio, 1.0 / _QUICK_LIMIT), _QUICK_LIMIT), _QUICK_POWER)


def families_of(items: Iterable[Item]) -> dict[str, str]:
    """Skill → family, as Memory wants it."""
    return {item.skill: item.family for item in items}


def seconds_of(moment: datetime) -> float:
    """Seconds since 1970 of an aware datetime, to the millisecond."""
    return milliseconds_of(moment) / 1000.0


def _confusion_weight(age_s: float) -> float:
    days = max(age_s, 0.0) / _SECONDS_A_DAY
    return math.exp2(-days / _CONFUSION_HALF_LIFE_DAYS)
