"""What is measured of a made-up student's practice, and how it is summed up over students."""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from tests.benchmarks.simulated.practice import Asked, Begun, Event, Way

FIRM, WASTED, BINS, CALIBRATED_FROM_DAY = 0.9, 0.95, 10, 14


@dataclass(frozen=True)
class Run:
    """One student's practice in figures."""

    by_day: list[float]
    """Mean knowledge over all skills, at noon after each day."""
    later: float
    """The same two weeks after the end."""
    J: float
    """The mean of the mean of `by_day` and `later`."""
    lesson_own: float
    """Knowledge at lessons of the skills that each is about (mean over lessons)."""
    lesson_rest: float
    """Of all other skills."""
    firm: int
    """Skills known above .9 at the last noon."""
    waste: float
    """Share of questions on what was known above .95 just then."""
    questions: int
    begun: int

    def as_json(self) -> dict[str, Any]:
        return asdict(self)


def measured(events: Iterable[Event]) -> Run:
    by_day, own, rest = [], [], []
    later, firm, wasted, questions, new = 0.0, 0, 0, 0, 0
    for event in events:
        if isinstance(event, Asked):
            questions += 1
            new += event.is_new
            wasted += event.known > WASTED
        elif isinstance(event, Begun):
            pass
        elif event.what == "day":
            by_day.append(float(event.known.mean()))
            firm = int((event.known > FIRM).sum())
        elif event.what == "later":
            later = float(event.known.mean())
        elif event.own:
            chosen = np.zeros(len(event.known), dtype=bool)
            chosen[list(event.own)] = True
            own.append(float(event.known[chosen].mean()))
            rest.append(float(event.known[~chosen].mean()))
    return Run(
        by_day=by_day,
        later=later,
        J=(statistics.fmean(by_day) + later) / 2,
        lesson_own=statistics.fmean(own) if own else math.nan,
        lesson_rest=statistics.fmean(rest) if rest else math.nan,
        firm=firm,
        waste=wasted / questions if questions else 0.0,
        questions=questions,
        begun=new,
    )


@dataclass(frozen=True)
class Calibration:
    """How the predictions of one way went with the answers of one student's common stream."""

    answers: int
    log_loss: float
    brier: float
    true_log_loss: float
    """Of the model that made the answers."""
    bins: list[list[float]]
    """Of equal width: answers, sum of predictions, sum of right answers."""
    true_bins: list[list[float]]

    def as_json(self) -> dict[str, Any]:
        return asdict(self)


def calibrated(way: Way, events: Iterable[Event]) -> Calibration | None:
    """Feed a common stream to `way`; None where it does not predict.

    Counted are graded answers from day 14 on, each predicted before it is told.
    """
    predicted, true, right = [], [], []
    for event in events:
        if isinstance(event, Begun):
            way.begin(event.now, event.seconds, event.lesson)
        elif isinstance(event, Asked):
            meeting = event.meeting
            if not event.is_new and event.day >= CALIBRATED_FROM_DAY:
                p = way.predict(meeting.skill, event.now, meeting.chance)
                if p is None:
                    return None
                predicted.append(p)
                true.append(event.chance_right)
                right.append(meeting.credit)
            way.answered(meeting)
    p, q, y = np.array(predicted), np.array(true), np.array(right)
    return Calibration(
        answers=len(y),
        log_loss=_log_loss(p, y),
        brier=float(((p - y) ** 2).mean()),
        true_log_loss=_log_loss(q, y),
        bins=_bins(p, y),
        true_bins=_bins(q, y),
    )


def _log_loss(p: np.ndarray, y: np.ndarray) -> float:
    p = np.clip(p, 1e-4, 1.0 - 1e-4)
    return float(-(y * np.log(p) + (1.0 - y) * np.log(1.0 - p)).mean())


def _bins(p: np.ndarray, y: np.ndarray) -> list[list[float]]:
    bin_of = np.minimum((p * BINS).astype(int), BINS - 1)
    sums = [np.bincount(bin_of, weights=w, minlength=BINS) for w in (np.ones_like(p), p, y)]
    return np.stack(sums, axis=1).tolist()


def calibration_error(bins: np.ndarray) -> float:
    """Expected calibration error of bins summed over students: mean |predicted − right|."""
    return float(np.abs(bins[:, 1] - bins[:, 2]).sum() / bins[:, 0].sum())


def jackknifed(bins: np.ndarray) -> tuple[float, float]:
    """Calibration error of bins [student, bin, 3] pooled over students, and its standard error."""
    n, pooled = len(bins), bins.sum(axis=0)
    whole = calibration_error(pooled)
    if n < 2:
        return whole, math.nan
    without = np.array([calibration_error(pooled - own) for own in bins])
    return whole, float(math.sqrt((n - 1) / n * ((without - without.mean()) ** 2).sum()))


def mean_and_error(values: Sequence[float]) -> tuple[float, float]:
    """Mean and its standard error; not a number where there are too few."""
    kept = [value for value in values if not math.isnan(value)]
    if len(kept) < 2:
        return (kept[0] if kept else math.nan), math.nan
    return statistics.fmean(kept), statistics.stdev(kept) / math.sqrt(len(kept))
