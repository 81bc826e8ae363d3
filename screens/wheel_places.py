"""Where everything on a wheel of matras stands, without a window.

Sam, or on a blind wheel its first point, is at the top, and the wheel is read clockwise. A place
is counted in matras from there; lengths are pixels from the hub, x to the right and y upwards.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import atan2, ceil, cos, hypot, pi, sin, tau

from quizzes.question import Question
from quizzes.wheel import Span, Wheel
from words import say

TOUCH_FROM, TOUCH_TO = 0.4, 1.5
"""A touch means a matra from so much of the way to the points on, and so far beyond them."""
SAM_PART = 1.3
"""How much larger the star of sam is than the disc of a tali."""
SIGN_OF_HALF = 0.1
"""A disc is no larger than this part of half the breadth."""
BANDS_PART = 0.6
"""What spans may take together of the way from the hub to the points."""
STEP = tau / 90
"""An arc is drawn in steps no longer than this."""

Point = tuple[float, float]


def angle_of(place: Fraction | float, matras: int) -> float:
    """Radians from the top, clockwise, of a place; more than one turn beyond the cycle."""
    return float(place) * tau / matras


def point_at(angle: float, radius: float) -> Point:
    return radius * sin(angle), radius * cos(angle)


def matra_at(x: float, y: float, matras: int, points: float) -> int | None:
    """The matra nearest to a touch, the points standing on a circle of radius `points`; None at
    the hub and far outside."""
    if not TOUCH_FROM * points <= hypot(x, y) <= TOUCH_TO * points:
        return None
    return round(atan2(x, y) * matras / tau) % matras + 1


# Spans.


@dataclass(frozen=True, slots=True)
class Laid:
    """A span on the path that all spans follow: `begins` counts on beyond the cycle."""

    begins: Fraction
    matras: Fraction
    kind: str
    label: str

    @property
    def ends(self) -> Fraction:
        return self.begins + self.matras


def lay(spans: Sequence[Span], matras: int) -> tuple[Laid, ...]:
    """Spans one after another: each begins where it says for the first time since the last."""
    laid: list[Laid] = []
    for span in spans:
        since = laid[-1].ends if laid else Fraction(0)
        begins = since + (span.start - since) % matras
        laid.append(Laid(begins, span.matras, span.kind, span.label))
    return tuple(laid)


def turns_of(laid: Sequence[Laid], matras: int) -> Fraction:
    """How many times round all spans go together."""
    return (laid[-1].ends - laid[0].begins) / matras if laid else Fraction(0)


# Sizes.


@dataclass(frozen=True, slots=True)
class Sizes:
    """How far from the hub things stand, and how large they are, as radii.

    From outside inwards there are the numbers, the points, the path of the spans, which winds
    outwards from turn to turn, and room for words.
    """

    numbers: float
    points: float
    sign: float
    """Of a disc with its sign."""
    dot: float
    spans: float
    """Where the path of the spans begins, in its middle."""
    band: float
    """How broad that path is."""
    winds: float
    """How much further out the path is after one turn; 0 where it does not go round so far."""
    words: float
    """Within this there is nothing but words."""

    @property
    def sam(self) -> float:
        return SAM_PART * self.sign

    def span_at(self, place: Fraction | float, first: Fraction, matras: int) -> float:
        """How far from the hub the path of spans, which begins at `first`, is at a place."""
        return self.spans + self.winds * float(place - first) / matras


def sizes_of(half: float, text: float, matras: int, turns: Fraction) -> Sizes:
    """The sizes for a wheel within a square of side 2 `half`, with `text` pixels from line to line,
    along which spans go round `turns` times."""
    numbers = half - 0.55 * text
    sign = min(0.8 * text, SIGN_OF_HALF * half)
    points = max(1.0, numbers - 0.55 * text - SAM_PART * sign)
    sign = min(sign, 0.4 * apart(points, matras))
    inside = points - SAM_PART * sign - 0.25 * text
    bands = float(turns) + 1.0 if turns > 1 else float(ceil(turns))
    band = min(1.4 * text, BANDS_PART * inside / bands) if bands else 0.0
    return Sizes(
        numbers=numbers,
        points=points,
        sign=sign,
        dot=0.42 * sign,
        spans=inside - (bands - 0.5) * band,
        band=band,
        winds=band if turns > 1 else 0.0,
        words=inside - bands * band,
    )


def apart(points: float, matras: int) -> float:
    """From one point to the next, in a straight line."""
    return 2.0 * points * sin(pi / matras) if matras > 1 else 2.0 * points


def arc(
    begins: float, ends: float, radii: tuple[float, float] | float, *, step: float = STEP
) -> list[Point]:
    """Points along the circle from one angle to another; with two radii it winds from the first to
    the second."""
    first, last = radii if isinstance(radii, tuple) else (radii, radii)
    count = max(1, ceil(abs(ends - begins) / step))
    parts = [n / count for n in range(count + 1)]
    return [point_at(begins + p * (ends - begins), first + p * (last - first)) for p in parts]


Box = tuple[Point, float, float]
"""A middle, a width and a height."""


def words_inside(
    words: Sequence[tuple[float, float, float]], radius: float, taken: Sequence[Box] = ()
) -> list[Point] | None:
    """The middles of words inside a circle, each as near as can be to the edge at its angle.

    `words` are (angle, width, height). None where they have no room: each stays on its own side of
    the hub, and none lies over another or over what is `taken`.
    """
    found: list[Box] = []
    for angle, width, height in words:
        far = radius
        while far > 0.0 and not _within(point_at(angle, far), width, height, radius):
            far -= 1.0
        box = point_at(angle, far), width, height
        if far < 0.2 * radius or any(_over(box, other) for other in (*found, *taken)):
            return None
        found.append(box)
    return [middle for middle, _, _ in found]


def _over(one: Box, other: Box) -> bool:
    """Whether two boxes lie over each other."""
    (x, y), width, height = one
    (u, v), broad, high = other
    return abs(x - u) < (width + broad) / 2 and abs(y - v) < (height + high) / 2


def _within(middle: Point, width: float, height: float, radius: float) -> bool:
    x, y = abs(middle[0]) + width / 2, abs(middle[1]) + height / 2
    return hypot(x, y) <= radius


# Time, and answers.


def place_at(wheel: Wheel, second: float) -> float | None:
    """The place on the wheel as it is drawn that sounds at a second of the score."""
    if wheel.turning is None:
        return None
    place = wheel.turning.place_at(second, wheel.matras)
    if place is None:
        return None
    return (place - _first(wheel)) % wheel.matras


def lit_at(wheel: Wheel, second: float) -> int:
    """The matra, or on a blind wheel the point, that sounds at a second; 0 for none."""
    place = place_at(wheel, second)
    return 0 if place is None else int(place) % wheel.matras + 1


def _first(wheel: Wheel) -> Fraction:
    """The place in the cycle that stands at the top."""
    return wheel.turning.from_place if wheel.blind and wheel.turning else Fraction(0)


def answered_on(told: Wheel, question: Question, answer: str) -> int:
    """Which matra of the wheel that is shown after the answer an answer is; 0 for none."""
    asked = question.wheel
    if question.answer_on != "wheel" or asked is None or asked.matras != told.matras:
        return 0
    if told.blind:
        return int(answer)
    return int((_first(asked) + int(answer) - 1) % told.matras) + 1


def name_of(wheel: Wheel, matra: int) -> str:
    """A matra in words, with its sign on the hand: "matra 9, khali"; of a blind wheel a point."""
    if wheel.blind:
        return say("point {number}", number=matra)
    signs = []
    if matra == 1:
        signs.append(say("sam"))
    elif matra in wheel.form.tali:
        signs.append(say("tali {number}", number=wheel.form.sign(matra)))
    if matra in wheel.form.khali:
        signs.append(say("khali"))
    return ", ".join([say("matra {number}", number=matra), *signs])
