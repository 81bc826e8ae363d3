"""What a practice will probably hold, to be shown before it starts.

The plan is played through with the answers that are likelier than not; what comes of it is a
forecast, and the practice itself follows the answers that are given.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from datetime import timedelta

from scheduler.answer import Meeting, milliseconds_of
from scheduler.memory import Memory
from scheduler.plan import INTRODUCING, Pick, Plan
from scheduler.reason import Reason


@dataclass(frozen=True, slots=True)
class Planned:
    """One skill that today probably holds; `reason` is why it is asked the first time."""

    skill: str
    kind: str
    reason: Reason
    is_new: bool
    times: int


@dataclass(frozen=True, slots=True)
class Outlook:
    """What a practice probably holds; `planned` in the order of first asking."""

    minutes: float
    questions: int
    planned: tuple[Planned, ...]

    @property
    def new(self) -> tuple[str, ...]:
        return tuple(planned.skill for planned in self.planned if planned.is_new)

    @property
    def kinds(self) -> tuple[tuple[str, int], ...]:
        """(kind, how many of its skills), the most first."""
        return tuple(Counter(planned.kind for planned in self.planned).most_common())


def outlook(plan: Plan) -> Outlook:
    """What `plan`, not yet begun, probably holds; `plan` stays as it is."""
    trial, left = plan.copy(), plan.minutes * 60.0
    picks: list[Pick] = []
    while True:
        now = plan.started + timedelta(seconds=plan.minutes * 60.0 - left)
        pick = trial.pick(now, seconds_left=left)
        if pick is None:
            break
        picks.append(pick)
        left -= pick.item.seconds * (INTRODUCING if pick.is_new else 1.0)
        passed = plan.minutes * 60.0 - left
        trial.answered(_likeliest(pick, trial.memory, plan, passed))
    times = Counter(pick.skill for pick in picks)
    firsts = {pick.skill: pick for pick in reversed(picks)}
    planned = tuple(
        Planned(skill, first.item.kind, first.reason, first.is_new, times[skill])
        for skill, first in sorted(firsts.items(), key=lambda pair: picks.index(pair[1]))
    )
    return Outlook(plan.minutes, len(picks), planned)


def _likeliest(pick: Pick, memory: Memory, plan: Plan, passed_s: float) -> Meeting:
    """The likelier answer to `pick`, at the usual pace; what is introduced is told."""
    pace = memory.paces.get(pick.item.kind)
    return Meeting(
        skill=pick.skill,
        kind=pick.item.kind,
        credit=1.0 if pick.is_new or pick.predicted >= 0.5 else 0.0,
        heard=None,
        chance=1.0 if pick.is_new else pick.item.chance,
        response_ms=round(math.exp(pace.mean)) if pace else 3000,
        utc_ms=milliseconds_of(plan.started) + round(1000 * passed_s),
        monotonic_s=passed_s,
        device="",
        session="outlook",
    )
