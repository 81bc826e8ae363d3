"""How answers are taken up, one after the other: all that they teach, and nothing else.

A function of the answers in order alone, the same to the last bit on every machine.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from scheduler.answer import SECONDS_A_DAY, Meeting
from scheduler.belief import (
    DOUBTFUL_GAP_DAYS,
    Belief,
    Leaning,
    foretold,
    is_doubtful_gap,
    met,
)
from scheduler.evidence import is_told
from scheduler.figures import Figures, noting, taken_up, usual
from scheduler.pace import Pace, paced

CONFUSIONS_KEPT = 8  # of each ordered pair, the last ones

Heard = Mapping[str, Mapping[str, tuple[float, ...]]]


class Learnt(NamedTuple):
    """What answers have taught; see the fields of the same names in `scheduler.memory.Memory`."""

    beliefs: Mapping[str, Belief]
    leanings: Mapping[str, Leaning]
    figures: Mapping[str, Figures]
    heard: Heard
    paces: Mapping[str, Pace]


class Sitting(NamedTuple):
    """The session last seen, and where its clocks stand."""

    device: str
    session: str
    at_s: float
    monotonic_s: float


class Taking:
    """What was learnt, being changed, so that a million answers need not be a million copies."""

    def __init__(
        self,
        learnt: Learnt,
        families: Mapping[str, str],
        kin: Mapping[str, str],
        sitting: Sitting | None,
    ) -> None:
        self._families, self._kin = families, kin
        self.sitting = sitting
        copies = (dict(learnt.beliefs), dict(learnt.leanings), dict(learnt.figures))
        self._beliefs, self._leanings, self._figures = copies
        self._heard, self._paces = dict(learnt.heard), dict(learnt.paces)

    @property
    def learnt(self) -> Learnt:
        return Learnt(self._beliefs, self._leanings, self._figures, self._heard, self._paces)

    def take(self, meeting: Meeting) -> None:
        """Take up one answer."""
        self.sitting = self._sat(meeting)
        at_s, skill = self.sitting.at_s, meeting.skill
        name = self._families.get(skill, "")
        figures = self._figures.get(name) or usual(name)
        kin = self._kin.get(skill, skill)
        leaning = self._leanings.get(kin) or Leaning()
        before = self._beliefs.get(skill)
        weighed_at_s, is_doubtful = at_s, False
        if before is not None and is_doubtful_gap(before, at_s):
            weighed_at_s, is_doubtful = before.at_s + DOUBTFUL_GAP_DAYS * SECONDS_A_DAY, True
        quickness, pace = 1.0, self._paces.get(meeting.kind)
        if not is_told(meeting.chance):
            quickness, pace = paced(pace, meeting.response_ms)
        belief, shared, surprise = met(
            before,
            foretold(before, weighed_at_s, figures.family, leaning.mean),
            at_s,
            figures.family,
            credit=meeting.credit,
            chance=meeting.chance,
            quickness=quickness,
            common_variance=leaning.variance,
        )
        self._beliefs[skill] = belief
        if pace is not None:
            self._paces[meeting.kind] = pace
        self._leanings[kin] = leaning.after(shared, surprise.information)
        if not is_doubtful:
            self._figures[name] = noting(
                figures, surprise, credit=meeting.credit, chance=meeting.chance
            )
        self._note_heard(meeting, at_s)

    def _sat(self, meeting: Meeting) -> Sitting:
        """The sitting that an answer belongs to, its clocks at the answer."""
        last = self.sitting
        if last and (last.session, last.device) == (meeting.session, meeting.device):
            at_s = last.at_s + max(meeting.monotonic_s - last.monotonic_s, 0.0)
            return Sitting(last.device, last.session, at_s, meeting.monotonic_s)
        for name, figures in self._figures.items():
            self._figures[name] = taken_up(figures, usual(name))
        at_s = meeting.utc_ms / 1000.0
        return Sitting(meeting.device, meeting.session, at_s, meeting.monotonic_s)

    def _note_heard(self, meeting: Meeting, at_s: float) -> None:
        if meeting.heard is None or meeting.heard == meeting.skill or meeting.credit >= 1.0:
            return
        others = dict(self._heard.get(meeting.skill, {}))
        others[meeting.heard] = (*others.get(meeting.heard, ()), at_s)[-CONFUSIONS_KEPT:]
        self._heard[meeting.skill] = others
