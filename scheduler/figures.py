"""The figures of a family as this student's own answers have corrected them.

Each figure is believed to be normal about where it began. Every answer tells, beside the skill's
own log-odds, how they would differ with another figure (`Belief.bends`), so a slope and a curvature
for each figure come with it; they are gathered in a session and taken up when the next one begins:
the precision grows by the curvature, the figure moves by the slope over the precision (Newton's
step on the log-posterior, each figure by itself). What is said is straightened alike, by the
logistic regression of answers on the log-odds foretold (Platt 1999), slope and height at once.

The sums of a session are kept as whole numbers of a small unit, so that the order in which
unrelated skills were answered in it changes nothing, to the last bit.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from scheduler.belief import Family, Surprise
from scheduler.evidence import SLIP
from scheduler.portable import logit, sigmoid

FAMILIES: Mapping[str, Family] = {
    "perception": Family(first=2.4, fading=0.80, gain=0.65),
    "facts": Family(first=3.2, fading=0.80, gain=0.90),
    "orders": Family(first=3.0, fading=0.80, gain=0.80),
}
"""Where a student's figures begin."""

_DEVIATIONS = (0.8, 0.12, 0.25)  # how far first, fading and gain may lie from there
_BOUNDS = ((0.5, 6.0), (0.3, 2.0), (0.1, 2.5))
_SHIFT_PRECISION, _STEEPNESS_PRECISION = 4.0, 16.0  # deviations of a half and a quarter
_SHIFT_BOUND, _STEEPNESS_BOUNDS = 2.0, (0.4, 2.5)
_BELIEVED = 0.5  # answers to one skill are not independent of each other
_LASTING = 0.995  # of what was learnt about the figures, session by session: students change
_UNIT = 1099511627776.0  # 2 to the power of 40
_NOTHING = (0,) * 11


class Figures(NamedTuple):
    """One family's figures for one student, how sure they are, and what waits to be taken up."""

    family: Family
    precisions: tuple[float, float, float]
    straight: tuple[float, float, float]
    """Curvatures for shift, both, steepness."""
    gathered: tuple[int, ...]
    """Sums over the answers of one session, in units of 1 / `_UNIT`: three slopes and three
    curvatures for first, fading and gain; for shift and steepness two slopes, three curvatures."""


def usual(family: str) -> Figures:
    """The figures of a student of whom nothing is known."""
    first, fading, gain = (1.0 / (deviation * deviation) for deviation in _DEVIATIONS)
    return Figures(
        FAMILIES.get(family, FAMILIES["perception"]),
        (first, fading, gain),
        (_SHIFT_PRECISION, 0.0, _STEEPNESS_PRECISION),
        _NOTHING,
    )


def noting(figures: Figures, surprise: Surprise, *, credit: float, chance: float) -> Figures:
    """With one answer more gathered."""
    first, fading, gain = surprise.bends
    score, information = surprise.score * _UNIT, surprise.information * _UNIT
    parts = (
        score * first,
        score * fading,
        score * gain,
        information * first * first,
        information * fading * fading,
        information * gain * gain,
        *_straightening(figures.family, surprise.known, credit, chance),
    )
    gathered = tuple(map(_added, figures.gathered, parts))
    return Figures(figures.family, figures.precisions, figures.straight, gathered)


def taken_up(figures: Figures, begun: Figures) -> Figures:
    """What was gathered is taken up; `begun` are the usual figures."""
    gathered = [part / _UNIT for part in figures.gathered]
    values = []
    precisions = []
    for value, precision, start, slope, curvature, bounds in zip(
        figures.family[:3],
        figures.precisions,
        begun.precisions,
        gathered[0:3],
        gathered[3:6],
        _BOUNDS,
        strict=True,
    ):
        kept = start + _LASTING * (precision - start)
        precision = kept + _BELIEVED * curvature
        values.append(_within(value + _BELIEVED * slope / precision, bounds))
        precisions.append(precision)
    down, lean, up_shift, both, up_lean = gathered[6:]
    a, b, c = (
        start + _LASTING * (now - start) + more
        for now, start, more in zip(
            figures.straight, begun.straight, (up_shift, both, up_lean), strict=True
        )
    )
    whole = a * c - b * b
    shift = figures.family.shift + (c * down - b * lean) / whole
    steepness = figures.family.steepness + (a * lean - b * down) / whole
    first, fading, gain = values
    family = Family(
        first,
        fading,
        gain,
        shift=_within(shift, (-_SHIFT_BOUND, _SHIFT_BOUND)),
        steepness=_within(steepness, _STEEPNESS_BOUNDS),
    )
    return Figures(family, (precisions[0], precisions[1], precisions[2]), (a, b, c), _NOTHING)


def _straightening(
    family: Family, known: float, credit: float, chance: float
) -> tuple[float, float, float, float, float]:
    """Slopes and curvatures of the answer's log-likelihood along shift and steepness, in units."""
    x = logit(min(max(known, 1e-6), 1.0 - 1e-6))
    said = sigmoid(family.shift + family.steepness * x)
    right = (1.0 - SLIP) * said + chance * (1.0 - said)
    spread = right * (1.0 - right)
    if chance > 1.0 - SLIP or spread <= 0.0:  # as good as told: it says nothing
        return 0.0, 0.0, 0.0, 0.0, 0.0
    tilt = (1.0 - SLIP - chance) * said * (1.0 - said)
    per = _UNIT * tilt / spread
    slope, curvature = (credit - right) * per, tilt * per
    return slope, slope * x, curvature, curvature * x, curvature * x * x


def _added(total: int, part: float) -> int:
    return total + round(part)


def _within(value: float, bounds: tuple[float, float]) -> float:
    return min(max(value, bounds[0]), bounds[1])
