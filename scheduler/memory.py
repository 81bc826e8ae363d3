"""What one student knows: a belief for each skill met, what is heard as what, and the usual pace.

A Memory is never changed: `after` gives the next one. All of it comes from the log alone, and
`rebuilt` takes the same steps as `after`, to the last bit, on any machine.

Gaps are taken from UTC. Within a session its own monotonic clock counts instead, so that setting
the clock during practice does no harm; a clock set back between sessions counts as one day.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from scheduler.answer import SECONDS_A_DAY, Answer, Item, Meeting, milliseconds_of
from scheduler.belief import Belief, Family, Leaning, gap_days, knowledge, state
from scheduler.evidence import chance_right
from scheduler.figures import Figures, usual
from scheduler.pace import Pace
from scheduler.taking import Heard, Learnt, Sitting, Taking

MODEL = 5
"""Changes whenever the same log would give another memory."""
_CONFUSION_HALF_LIFE_DAYS = 14.0


@dataclass(frozen=True, slots=True)
class Memory:
    """What one student knows; a fresh one has met nothing.

    `families` says to which family a skill belongs, `kin` with which others it has something in
    common; a skill of neither is taken for one of perception, alone.
    """

    families: Mapping[str, str] = field(default_factory=dict)
    kin: Mapping[str, str] = field(default_factory=dict)
    beliefs: Mapping[str, Belief] = field(default_factory=dict)
    """Of the skills met, in the order of their first meeting."""
    leanings: Mapping[str, Leaning] = field(default_factory=dict)
    """By kin: what its skills have in common, in log-odds; a skill without is its own kin."""
    figures: Mapping[str, Figures] = field(default_factory=dict)
    """By family: its figures, as far as this student's answers have corrected them."""
    heard: Heard = field(default_factory=dict)
    """Skill asked → skill heard instead → when, in seconds since 1970."""
    paces: Mapping[str, Pace] = field(default_factory=dict)
    """By kind of question."""
    sitting: Sitting | None = None

    @classmethod
    def rebuilt(
        cls,
        answers: Iterable[Answer | Meeting],
        *,
        families: Mapping[str, str],
        kin: Mapping[str, str] | None = None,
    ) -> Memory:
        """The memory after all `answers` of one student, in the order of the log."""
        return cls(families=families, kin=kin or {}).after_all(answers)

    def after_all(self, answers: Iterable[Answer | Meeting]) -> Memory:
        """The memory after these answers too."""
        taking = Taking(self.learnt, self.families, self.kin, self.sitting)
        for answer in answers:
            taking.take(answer if isinstance(answer, Meeting) else answer.meeting)
        return replace(self, **taking.learnt._asdict(), sitting=taking.sitting)

    @property
    def learnt(self) -> Learnt:
        """What the answers have taught."""
        return Learnt(self.beliefs, self.leanings, self.figures, self.heard, self.paces)

    def after(self, answer: Answer | Meeting) -> Memory:
        """The memory after one more answer."""
        return self.after_all((answer,))

    def as_json(self) -> dict[str, Any]:
        """All that the log has taught, for `from_json`; floats come back to the last bit."""
        return {**self.learnt._asdict(), "sitting": self.sitting}

    @classmethod
    def from_json(
        cls, data: Mapping[str, Any], *, families: Mapping[str, str], kin: Mapping[str, str]
    ) -> Memory:
        """The memory of which `data` is the JSON. Raises KeyError, TypeError or ValueError for
        what is none."""
        sitting = data["sitting"]
        return cls(
            families=families,
            kin=kin,
            **_learnt_of(data)._asdict(),
            sitting=None if sitting is None else Sitting._make(sitting),
        )

    def family(self, skill: str) -> Family:
        """How the skills of this one's family are learnt by this student."""
        return self.family_named(self.families.get(skill, ""))

    def family_named(self, name: str) -> Family:
        return (self.figures.get(name) or usual(name)).family

    def common(self, skill: str) -> float:
        """What `skill` has in common with its kin, in log-odds."""
        leaning = self.leanings.get(self.kin.get(skill, skill))
        return leaning.mean if leaning else 0.0

    def knowledge(self, skill: str, now: datetime) -> float:
        """Chance that `skill` is known at `now`."""
        return self._knowledge(skill, seconds_of(now))

    def _knowledge(self, skill: str, now_s: float) -> float:
        return knowledge(self.beliefs.get(skill), now_s, self.family(skill), self.common(skill))

    def predict(self, skill: str, now: datetime, chance: float) -> float:
        """Chance of a right answer to `skill` at `now`, when a guess is right at `chance`."""
        return chance_right(self.knowledge(skill, now), chance)

    def state(self, skill: str, now: datetime) -> str:
        """ "firm", "shaky", "coming" or "unheard"; see `scheduler.belief.state`."""
        belief, now_s = self.beliefs.get(skill), seconds_of(now)
        return state(belief, now_s, self.family(skill), self.common(skill))

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
        within_s = days * SECONDS_A_DAY
        now_s = seconds_of(now)
        return sum(
            abs(now_s - at_s) <= within_s for at_s in self.heard.get(skill, {}).get(other, ())
        )

    def pairs(self, now: datetime) -> list[tuple[str, str, float]]:
        """All (asked, heard, weight), worst first."""
        found = [
            (skill, other, weight)
            for skill in self.heard
            for other, weight in self.confusions(skill, now)
        ]
        return sorted(found, key=lambda pair: (-pair[2], pair[0], pair[1]))


def families_of(items: Iterable[Item]) -> dict[str, str]:
    """Skill → family, as Memory wants it."""
    return {item.skill: item.family for item in items}


def kin_of(items: Iterable[Item]) -> dict[str, str]:
    """Skill → kin, of those that have any."""
    return {item.skill: item.kin for item in items if item.kin}


def seconds_of(moment: datetime) -> float:
    """Seconds since 1970 of an aware datetime, to the millisecond."""
    return milliseconds_of(moment) / 1000.0


def _confusion_weight(age_s: float) -> float:
    days = abs(age_s) / SECONDS_A_DAY  # a clock that was ahead is as far off as one behind
    return math.exp2(-days / _CONFUSION_HALF_LIFE_DAYS)


def _learnt_of(data: Mapping[str, Any]) -> Learnt:
    return Learnt(
        beliefs={skill: _belief_of(row) for skill, row in data["beliefs"].items()},
        leanings={kin: Leaning._make(row) for kin, row in data["leanings"].items()},
        figures={
            name: Figures(Family(*family), tuple(precisions), tuple(straight), tuple(gathered))
            for name, (family, precisions, straight, gathered) in data["figures"].items()
        },
        heard={
            skill: {other: tuple(times) for other, times in others.items()}
            for skill, others in data["heard"].items()
        },
        paces={kind: Pace(*row) for kind, row in data["paces"].items()},
    )


def _belief_of(row: list[Any]) -> Belief:
    belief = Belief._make(row)
    first, fading, gain = belief.bends
    return belief._replace(bends=(first, fading, gain))
