"""The work of the benchmark, cut into jobs: one student in one world by one way."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass
from typing import Any

from tests.benchmarks.simulated import ours, peers
from tests.benchmarks.simulated.course import course
from tests.benchmarks.simulated.measures import calibrated, measured
from tests.benchmarks.simulated.practice import Make, Mixed, Terms, practise
from tests.benchmarks.simulated.student import Student


@dataclass(frozen=True)
class Job:
    """What one process does at a time; `what` is "practice" or "calibration"."""

    what: str
    way: str
    world: str
    student: int
    terms: Terms


HINDSIGHT = "library, hindsight"
"""The library that the search found best in that very world, with its settings for it."""


def names() -> list[str]:
    """All ways of choosing, ours first; by hindsight only once a search has been made."""
    return [*ours.WAYS, *peers.WAYS, *([HINDSIGHT] if peers.BEST_BY_WORLD else [])]


def _make(job: Job) -> Make:
    """The way, peers as tuned for the job's minutes a day."""
    if job.way == HINDSIGHT:
        budgets = {minutes for world, minutes in peers.BEST_BY_WORLD if world == job.world}
        nearest = min(budgets, key=lambda budget: abs(budget - job.terms.minutes))
        return peers.BEST_BY_WORLD[job.world, nearest][1]
    return {**ours.WAYS, **peers.ways(job.terms.minutes)}[job.way]


def done(job: Job) -> dict[str, Any] | None:
    """One row of results; None where a way does not predict and calibration was asked."""
    items = course()
    way = _make(job)(items, job.student)
    student = Student(items, job.world, job.student)
    if job.what == "practice":
        figures = measured(practise(way, items, student, job.terms, job.student)).as_json()
    else:
        mixed = Mixed(items, job.student)
        stream = practise(mixed, items, student, job.terms, job.student)
        calibration = calibrated(way, stream)
        if calibration is None:
            return None
        figures = calibration.as_json()
    return {
        "what": job.what,
        "way": job.way,
        "world": job.world,
        "student": job.student,
        "minutes": job.terms.minutes,
        **figures,
    }


def all_done(jobs: Iterable[Job], processes: int) -> Iterator[dict[str, Any] | None]:
    """Results as they come; their order does not matter, as every row says what it is of."""
    jobs = list(jobs)
    if processes <= 1:
        yield from map(done, jobs)
        return
    with ProcessPoolExecutor(processes, initializer=_give_way) as pool:
        for future in as_completed([pool.submit(done, job) for job in jobs]):
            yield future.result()


def _give_way() -> None:
    os.nice(5)  # a benchmark of hours should leave the machine usable
