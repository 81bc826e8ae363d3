"""What planning is worth: students made up for the purpose, practising by plan, in turn, at random.

Run by hand: `python tests/benchmarks/planning.py [--students 4] [--days 40] [--minutes 15]`. Prints
J, the mean of knowledge over all skills by day and of knowledge 14 days after the end, averaged,
for each way of choosing in each world, and the difference to round robin paired by student.

The worlds are invented: in one, knowledge fades by a power law (as the plan itself supposes); in
one, it halves, later after each spaced meeting; in one, every meeting leaves a trace that fades by
itself, the more slowly the less was left of the others (after Pavlik & Anderson 2008).

Round robin and chance begin the whole course at once, which J rewards and no student would bear;
"in turn, begun" takes new skills at the plan's rate and is the fairer peer.
"""

from __future__ import annotations

import argparse
import math
import random
import statistics
import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from scheduler import Item, Meeting, Memory, Plan, families_of
from scheduler.answer import milliseconds_of

START = datetime(2026, 1, 1, 18, tzinfo=UTC)
SLIP, KNOWN_BEFORE, MISSED_DAYS = 0.05, 0.15, 0.1


class PowerLaw:
    """Log-odds that fall with the logarithm of time."""

    def __init__(self, rng: random.Random) -> None:
        self.fading, self.gain = rng.gauss(0.8, 0.1), rng.uniform(0.5, 1.0)
        self.strength = 6.0 if rng.random() < KNOWN_BEFORE else None
        self.met_at = -5.0

    def known(self, day: float) -> float:
        if self.strength is None:
            return 0.0
        fallen = self.fading * math.log1p((day - self.met_at) / 0.01)
        return 1.0 / (1.0 + math.exp(fallen - self.strength))

    def meet(self, day: float, right: bool) -> None:
        known = self.known(day)
        if self.strength is None:
            self.strength = 2.6
        else:
            self.strength += self.gain * (0.15 + 0.85 * (1 - known)) * (1.0 if right else 0.6)
        self.met_at = day


class Halving:
    """Knowledge that halves; spaced meetings lengthen the time it takes."""

    def __init__(self, rng: random.Random) -> None:
        self.growth = rng.uniform(0.8, 1.6)
        self.half_life = 20.0 if rng.random() < KNOWN_BEFORE else 0.0
        self.met_at = -5.0

    def known(self, day: float) -> float:
        return 2.0 ** (-(day - self.met_at) / self.half_life) if self.half_life else 0.0

    def meet(self, day: float, right: bool) -> None:
        known = self.known(day)
        if not self.half_life:
            self.half_life = 0.7
        elif right:
            self.half_life *= 1.0 + self.growth * (1.0 - known)
        else:
            self.half_life = max(0.5, 0.6 * self.half_life)
        self.met_at = day


class Traces:
    """A trace for each meeting, each with a decay set by what was active when it was made."""

    def __init__(self, rng: random.Random) -> None:
        self.traces = [(-5.0, 0.2)] * 6 if rng.random() < KNOWN_BEFORE else []
        self.scale = rng.uniform(0.18, 0.26)

    def activation(self, day: float) -> float:
        total = sum(max(day - at, 0.002) ** -decay for at, decay in self.traces)
        return math.log(total) if total else -20.0

    def known(self, day: float) -> float:
        return 1.0 / (1.0 + math.exp(-(self.activation(day) - 0.3) / 0.35))

    def meet(self, day: float, right: bool) -> None:
        decay = min(self.scale * math.exp(self.activation(day)) * 0.25 + 0.25, 1.2)
        self.traces = [*self.traces[-30:], (day, decay)]


WORLDS: dict[str, Callable[[random.Random], PowerLaw | Halving | Traces]] = {
    "power law": PowerLaw,
    "halving": Halving,
    "traces": Traces,
}


def course() -> list[Item]:
    """90 perceptual skills, 48 facts, 12 orders, in turn."""
    kinds = [
        ("gap", "perception", 90, 11.0),
        ("fact", "facts", 48, 9.0),
        ("order", "orders", 12, 16.0),
    ]
    items = [
        ((i + 0.5) / many, Item(f"{kind}:{i}", kind, family, f"{kind} {i // 4}", 0.25, seconds))
        for kind, family, many, seconds in kinds
        for i in range(many)
    ]
    return [item for _, item in sorted(items, key=lambda pair: (pair[0], pair[1].skill))]


def practise(way: str, world: str, *, student: int, days: int, minutes: float) -> float:
    """One student's J. "in turn, begun" takes new skills at the plan's rate, the rest in turn."""
    rng = random.Random(f"{world} {student}")
    items = course()
    truth = {item.skill: WORLDS[world](rng) for item in items}
    memory, turn, by_day = Memory(families=families_of(items)), 0, []
    luck, begun = random.Random(student), set[str]()
    for day in range(days):
        began = START + timedelta(days=day)
        plan = Plan(items, memory, minutes=minutes, started=began, seed=student)
        left = 0.0 if rng.random() < MISSED_DAYS else minutes * 60.0
        while left > 0.0:
            now = began + timedelta(seconds=minutes * 60.0 - left)
            if way == "plan":
                pick = plan.pick(now, seconds_left=left)
                if pick is None:
                    break
                item = pick.item
            elif way == "random":
                item = luck.choice(items)
            else:
                pool = items if way == "round robin" else [i for i in items if i.skill in begun]
                item = pool[turn % len(pool)] if pool else items[0]
                if way == "in turn, begun":
                    item = plan._next_new(left) or item
                turn += 1
            left -= item.seconds * (1.5 if item.skill not in begun else 1.0)  # introduced first
            begun.add(item.skill)
            moment = day + (minutes * 60.0 - left) / 86_400.0
            known = truth[item.skill].known(moment)
            right = luck.random() < (1 - SLIP) * known + item.chance * (1 - known)
            truth[item.skill].meet(moment, right)
            if way in ("plan", "in turn, begun"):
                plan.answered(_meeting(item, day, moment, right))
        memory = plan.memory
        by_day.append(statistics.fmean(skill.known(day + 0.99) for skill in truth.values()))
    at_end = statistics.fmean(skill.known(days + 14.0) for skill in truth.values())
    return (statistics.fmean(by_day) + at_end) / 2


def _meeting(item: Item, day: int, moment: float, right: bool) -> Meeting:
    utc_ms = milliseconds_of(START) + round(moment * 86_400_000)
    credit, second = float(right), moment * 86_400.0
    return Meeting(
        item.skill, item.kind, credit, None, item.chance, 2500, utc_ms, second, "d", f"{day}"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--students", type=int, default=4)
    parser.add_argument("--days", type=int, default=40)
    parser.add_argument("--minutes", type=float, default=15.0)
    asked = parser.parse_args()
    for world in WORLDS:
        found: dict[str, list[float]] = {}
        for way in ("round robin", "random", "in turn, begun", "plan"):
            before = time.perf_counter()
            found[way] = [
                practise(way, world, student=student, days=asked.days, minutes=asked.minutes)
                for student in range(asked.students)
            ]
            in_turn = found.get("round robin", found[way])
            differences = [a - b for a, b in zip(found[way], in_turn, strict=True)]
            spread = statistics.stdev(differences) / math.sqrt(len(differences))
            print(
                f"{world:10} {way:15} J {statistics.fmean(found[way]):.3f}   "
                f"to round robin {statistics.fmean(differences):+.3f} ± {spread:.3f}   "
                f"{time.perf_counter() - before:.1f} s"
            )


if __name__ == "__main__":
    main()
