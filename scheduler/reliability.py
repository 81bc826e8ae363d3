"""How far what was foretold came true: the predictions in a log against the answers given.

A prediction is the chance of a wholly right answer, so one that is right in part counts as not
right. Left out are answers that foretell nothing (`chance` is 1), since they had just been told or
nothing else was possible, and those that the student has left out as somebody else's. Scores, all
of them 0 at best, are means over answers:

- log loss, in nats: -ln of the chance that was given to what happened;
- Brier score: the squared distance of prediction and outcome. A. H. Murphy, "A new vector partition
  of the probability score", J. Applied Meteorology 12 (1973), parts it into reliability minus
  resolution plus uncertainty; D. B. Stephenson, C. A. S. Coelho and I. T. Jolliffe, "Two extra
  components in the Brier score decomposition", Weather and Forecasting 23 (2008), add what lies
  within the bands, without which the sum is not whole;
- calibration error: the distance of mean prediction and share of right answers, band by band.

A share's interval is E. B. Wilson's, J. American Statistical Association 22 (1927), at 95 %.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from scheduler.answer import Answer

BANDS = 10
FEW = 20
"""A band of fewer answers tells little: the interval of its share is wider than 0.4 at worst."""
LEAST_TOLD = 5
"""Of fewer, a share is not told at all: the interval would hold nearly everything."""
TOO_FEW = 100
"""Below so many answers in all the scores say more about luck than about the predictions."""
SUREST = 1e-6
"""What was said to be impossible would cost an infinite log loss; it is taken for this chance."""
_Z95 = 1.959963984540054


class Foretold(NamedTuple):
    """One prediction and what came of it."""

    kind: str
    predicted: float
    right: bool


@dataclass(frozen=True, slots=True)
class Told:
    """All that a log foretold, and how many answers foretold nothing, were right in part, or were
    left out as somebody else's."""

    foretold: tuple[Foretold, ...]
    presented: int
    in_part: int
    others: int

    def by_kind(self) -> dict[str, list[Foretold]]:
        """Those of each kind of question, the kind with most of them first."""
        kinds: dict[str, list[Foretold]] = {}
        for each in self.foretold:
            kinds.setdefault(each.kind, []).append(each)
        return dict(sorted(kinds.items(), key=lambda kind: -len(kind[1])))


@dataclass(frozen=True, slots=True)
class Band:
    """What was foretold from `low` to below `high`, and how much of it was right."""

    low: float
    high: float
    count: int
    right: int
    predicted: float
    """The mean prediction; 0 where there is none."""

    @property
    def share(self) -> float:
        """Of right answers; 0 where there is none."""
        return self.right / self.count if self.count else 0.0

    @property
    def interval(self) -> tuple[float, float]:
        """Within which the true share probably lies."""
        return wilson(self.right, self.count)

    @property
    def is_few(self) -> bool:
        return self.count < FEW


@dataclass(frozen=True, slots=True)
class Brier:
    """A Brier score and its parts: reliability - resolution + uncertainty + within."""

    score: float
    reliability: float
    resolution: float
    uncertainty: float
    """Also the score of one constant prediction, the share of right answers."""
    within: float
    """What the bands hide: spread of predictions within a band, less what that spread explains."""


@dataclass(frozen=True, slots=True)
class Reliability:
    """What a set of predictions is worth."""

    bands: tuple[Band, ...]
    brier: Brier
    log_loss: float
    constant_log_loss: float
    """Of one constant prediction, the share of right answers, which is known only afterwards."""
    calibration_error: float
    calibration_luck: float
    """The calibration error that as many perfect predictions would show, by luck alone."""

    @property
    def count(self) -> int:
        return sum(band.count for band in self.bands)

    @property
    def share(self) -> float:
        return sum(band.right for band in self.bands) / self.count

    @property
    def predicted(self) -> float:
        """The mean prediction."""
        return math.fsum(band.count * band.predicted for band in self.bands) / self.count

    @property
    def fullest(self) -> Band:
        """The band with most answers."""
        return max(self.bands, key=lambda band: band.count)

    @property
    def is_few(self) -> bool:
        return self.count < TOO_FEW


def told_in(
    answers: Iterable[Answer],
    *,
    since: datetime | None = None,
    left_out: Mapping[str, Collection[str]] | None = None,
) -> Told:
    """What was foretold of these answers, from a moment on where one is given, but for the sessions
    that are left out, by student."""
    foretold, presented, in_part, others = [], 0, 0, 0
    for answer in answers:
        if since is not None and answer.utc < since:
            continue
        if left_out and answer.session in left_out.get(answer.student, ()):
            others += 1
            continue
        if answer.chance >= 1.0:
            presented += 1
            continue
        in_part += 0.0 < answer.credit < 1.0
        foretold.append(Foretold(answer.kind, answer.predicted, answer.credit == 1.0))
    return Told(tuple(foretold), presented, in_part, others)


def reliability(foretold: Sequence[Foretold]) -> Reliability:
    """What these predictions are worth. Raises ValueError where there are none."""
    if not foretold:
        raise ValueError("nothing was foretold: give at least one prediction")
    sorted_in: list[list[Foretold]] = [[] for _ in range(BANDS)]
    for each in foretold:
        sorted_in[min(int(each.predicted * BANDS), BANDS - 1)].append(each)
    bands = tuple(_band(number, told) for number, told in enumerate(sorted_in))
    count = len(foretold)
    share = sum(each.right for each in foretold) / count
    off = math.fsum(band.count * abs(band.predicted - band.share) for band in bands)
    luck = math.fsum(
        math.sqrt(2.0 / math.pi * math.fsum(p * (1.0 - p) for _, p, _ in told))
        for told in sorted_in
    )
    return Reliability(
        bands=bands,
        brier=_brier(sorted_in, bands, share, count),
        log_loss=math.fsum(_surprise(p, right=right) for _, p, right in foretold) / count,
        constant_log_loss=share * _surprise(share, right=True)
        + (1.0 - share) * _surprise(share, right=False),
        calibration_error=off / count,
        calibration_luck=luck / count,
    )


def wilson(right: int, count: int) -> tuple[float, float]:
    """The interval of a share at 95 %; all from 0 to 1 where nothing was counted."""
    if not count:
        return 0.0, 1.0
    share, z2 = right / count, _Z95 * _Z95
    middle = (share + z2 / (2 * count)) / (1 + z2 / count)
    spread = math.sqrt(share * (1 - share) / count + z2 / (4 * count * count))
    half = _Z95 / (1 + z2 / count) * spread
    # At the ends the formula gives 0 and 1 but for rounding.
    return (max(0.0, middle - half) if right else 0.0, middle + half if right < count else 1.0)


def _band(number: int, told: Sequence[Foretold]) -> Band:
    predicted = math.fsum(each.predicted for each in told) / len(told) if told else 0.0
    right = sum(each.right for each in told)
    return Band(number / BANDS, (number + 1) / BANDS, len(told), right, predicted)


def _brier(
    sorted_in: Sequence[Sequence[Foretold]], bands: Sequence[Band], share: float, count: int
) -> Brier:
    off = math.fsum((p - right) ** 2 for told in sorted_in for _, p, right in told)
    unreliable = math.fsum(band.count * (band.predicted - band.share) ** 2 for band in bands)
    resolved = math.fsum(band.count * (band.share - share) ** 2 for band in bands)
    within = math.fsum(
        (p - band.predicted) * ((p - band.predicted) - 2.0 * (right - band.share))
        for told, band in zip(sorted_in, bands, strict=True)
        for _, p, right in told
    )
    return Brier(
        score=off / count,
        reliability=unreliable / count,
        resolution=resolved / count,
        uncertainty=share * (1.0 - share),
        within=within / count,
    )


def _surprise(predicted: float, *, right: bool) -> float:
    given = predicted if right else 1.0 - predicted
    return -math.log(max(given, SUREST))
