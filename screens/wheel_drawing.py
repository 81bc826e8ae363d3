"""Draws a wheel of matras: its points with their signs, vibhags, numbers, spans, and the light.

Sam is a star with its X, a tali a disc with its number, khali an open ring with 0, any other matra
a dot. A phrase is a solid band along them, a gap a dashed line.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import pi, tau
from typing import Any

from kivy.graphics import (
    Color,
    Ellipse,
    Line,
    Mesh,
    PopMatrix,
    PushMatrix,
    Rectangle,
    Rotate,
    RoundedRectangle,
    Translate,
)
from kivy.metrics import dp

from quizzes.wheel import Wheel
from screens import theme
from screens.look import TextImage, type_px
from screens.wheel_places import (
    Laid,
    Point,
    Sizes,
    angle_of,
    apart,
    arc,
    lay,
    point_at,
    sizes_of,
    turns_of,
    words_inside,
)
from screens.widgets import draw_mark
from words import say, to_say

BEGINS = to_say("begins here")
LINE_PART = 1.36
"""From one line of the small type to the next, of its size."""
RIM_ENDS = 0.3
"""So far beyond its first and last matra, in matras, a vibhag's rim reaches."""
NUMBER_PART = 1.4
"""Numbers stand so far from each other at least, of the size of their type; else only those of the
first matras of vibhags, and of marked ones, have room."""
PHRASE_PART = 0.84
"""How broad the band of a phrase is, of the path."""
WEDGE_FROM, HAND_FROM = 0.32, 0.45
"""So far from the hub, of the way to the points, the wedge of an answer and the hand begin."""
WEDGE_MOST = 0.2
"""A wedge reaches no further to either side of its matra, in radians."""
LOW = 0.05
"""Letters stand so much lower than the middle of their picture, of its height."""
DASH, BREAK = 7, 5
"""Of a gap, in dp."""


@dataclass
class Face:
    """A wheel as it stands in the window: its middle, its sizes, and what is written on it."""

    wheel: Wheel
    middle: Point
    sizes: Sizes
    laid: tuple[Laid, ...]
    answered: tuple[tuple[int, str], ...] = ()
    """Matras with their marks: what was, and what was answered."""
    unsaid: list[str] = field(default_factory=list)
    """Words that have no room on it."""
    boxes: list[tuple[str, float, float, float, float]] = field(default_factory=list)
    """Words that lie level, each with its place: (text, x, y, width, height)."""

    def at(self, angle: float, radius: float) -> Point:
        """A point of the window."""
        x, y = point_at(angle, radius)
        return self.middle[0] + x, self.middle[1] + y

    def angle(self, matra: int) -> float:
        return angle_of(matra - 1, self.wheel.matras)

    def point(self, matra: int) -> Point:
        """Where a matra stands in the window."""
        return self.at(self.angle(matra), self.sizes.points)

    def flat(self, points: Iterable[Point]) -> list[float]:
        """Points from the hub as Kivy's lines take them."""
        return [v for x, y in points for v in (self.middle[0] + x, self.middle[1] + y)]


def face_of(
    wheel: Wheel, middle: Point, side: float, *, was: Sequence[int] = (), given: int = 0
) -> Face:
    """The face of a wheel in a square of this side, with the words that it has no room for; `was`
    are the matras that would have been right, `given` is the one answered, 0 for none."""
    laid = lay(wheel.spans, wheel.matras)
    line = type_px(theme.SMALL) * LINE_PART
    sizes = sizes_of(side / 2, line, wheel.matras, turns_of(laid, wheel.matras))
    marks = [(matra, "right" if matra == given else "was") for matra in was]
    if given and given not in was:
        marks.append((given, "otherwise"))
    face = Face(wheel, middle, sizes, laid, tuple(marks))
    if wheel.marked and _said_inside(face) is None:
        face.unsaid.append("; ".join(f"{matra}: {said}" for matra, said in wheel.marked))
    if any(each.label and not _fits(face, each) for each in laid):
        labels = ", ".join(each.label for each in laid if each.label)
        face.unsaid.append(say("Along it: {labels}", labels=labels))
    return face


def draw_face(face: Face) -> None:
    """Add the wheel at rest to the canvas that is open."""
    face.boxes.clear()
    wheel = face.wheel
    for matra, kind in face.answered:
        _answered(face, matra, kind)
    _rim(face)
    for matra in range(1, wheel.matras + 1):
        draw_point(face, matra)
    if wheel.blind:
        _begins(face)
    else:
        _numbers(face)
    _marked(face)
    for each in face.laid:
        _span(face, each)


# Points.


def draw_point(face: Face, matra: int, *, lit: bool = False) -> None:
    """One matra, at rest or while it sounds: then larger, and of brass."""
    x, y = face.point(matra)
    form, blind = face.wheel.form, face.wheel.blind
    sign = "" if blind else form.sign(matra)
    radius = face.sizes.sign if sign else face.sizes.dot * (1.35 if blind else 1.0)
    if matra == 1 and sign:
        radius = face.sizes.sam
    if lit:
        radius = max(1.25 * radius, face.sizes.sign)
    ink, ground = (theme.BRASS, theme.ON_BRASS) if lit else (theme.INK, theme.GROUND)
    if not sign:
        Color(*(ink if lit or blind else theme.FAINT_INK))
        _disc(x, y, radius)
        return
    is_open = matra in form.khali
    shape = _star if matra == 1 else _disc
    Color(*ink)
    shape(x, y, radius)
    if is_open:
        Color(*theme.GROUND)
        shape(x, y, radius - dp(2.2))
    Color(*(ink if is_open else ground))
    image = lettering(sign, 1.15 * face.sizes.sign, bold=True)
    _put(image, x, y)


def _disc(x: float, y: float, radius: float) -> None:
    Ellipse(pos=(x - radius, y - radius), size=(2 * radius, 2 * radius))


def _star(x: float, y: float, radius: float) -> None:
    """Of eight points."""
    rays = [point_at(n * tau / 16, radius * (1.0 if n % 2 == 0 else 0.76)) for n in range(17)]
    corners = [(x, y), *((x + a, y + b) for a, b in rays)]
    vertices = [value for corner in corners for value in (*corner, 0.0, 0.0)]
    Mesh(vertices=vertices, indices=list(range(len(corners))), mode="triangle_fan")


def _rim(face: Face) -> None:
    """The ring through the points: whole on a blind wheel, else parted between the vibhags, with a
    line across each parting."""
    wheel, sizes = face.wheel, face.sizes
    Color(*theme.EDGE)
    if wheel.blind:
        Line(circle=(*face.middle, sizes.points), width=dp(1.1))
        return
    for start, count in zip(wheel.form.starts, wheel.form.vibhags, strict=True):
        first = angle_of(start - 1 - RIM_ENDS, wheel.matras)
        last = angle_of(start + count - 2 + RIM_ENDS, wheel.matras)
        Line(points=face.flat(arc(first, last, sizes.points)), width=dp(1.4), cap="none")
    Color(*theme.SOFT_INK)
    for start in wheel.form.starts:
        if len(wheel.form.starts) > 1:
            angle = angle_of(start - 1.5, wheel.matras)
            ends = [point_at(angle, sizes.points + part * sizes.sign) for part in (-1.3, 1.3)]
            Line(points=face.flat(ends), width=dp(1.1), cap="none")


def _numbers(face: Face) -> None:
    marked = {matra for matra, _ in face.wheel.marked}
    shown = set(range(1, face.wheel.matras + 1))
    if apart(face.sizes.numbers, face.wheel.matras) < type_px(theme.SMALL) * NUMBER_PART:
        shown = {*face.wheel.form.starts, *marked}
    for matra in sorted(shown):
        image = lettering(str(matra), type_px(theme.SMALL), bold=matra in marked)
        x, y = face.at(face.angle(matra), face.sizes.numbers)
        if matra in marked:
            broad, high = max(image.width, image.height) + dp(4), image.height
            Color(*theme.INK)
            box = (x - broad / 2, y - high / 2, broad, high, dp(6))
            Line(rounded_rectangle=box, width=dp(1.1))
        Color(*(theme.INK if matra in marked else theme.SOFT_INK))
        _write(face, str(matra), image, x, y)


def _begins(face: Face) -> None:
    """The word above the first point of a blind wheel."""
    Color(*theme.INK)
    image = lettering(say(BEGINS), type_px(theme.SMALL))
    _write(face, say(BEGINS), image, *face.at(0.0, face.sizes.numbers))


# What is said of matras, and of answers.


def _said_inside(face: Face) -> list[Point] | None:
    """Where the words of marked matras stand, between the points and the hub."""
    sizes = face.sizes
    words = []
    for matra, said in face.wheel.marked:
        image = lettering(said, type_px(theme.SMALL))
        words.append((face.angle(matra), image.width + dp(6), 0.8 * image.height))
    size = 2 * _mark_radius(face)
    marks = [
        (point_at(face.angle(matra), _mark_at(face)), size, size) for matra, _ in face.answered
    ]
    return words_inside(words, sizes.words, marks)


def _wedge_from(face: Face) -> float:
    """How far from the hub the wedge of an answer begins, within all spans."""
    sizes = face.sizes
    return min(WEDGE_FROM * sizes.points, max(dp(4), sizes.words - 2.2 * sizes.sign))


def _mark_at(face: Face) -> float:
    """How far from the hub the mark of an answer stands."""
    return _wedge_from(face) + face.sizes.sign


def _mark_radius(face: Face) -> float:
    return float(min(0.8 * face.sizes.sign, 0.36 * _mark_at(face) * tau / face.wheel.matras))


def _marked(face: Face) -> None:
    answered = {matra for matra, _ in face.answered}
    for (matra, said), (x, y) in zip(face.wheel.marked, _said_inside(face) or (), strict=False):
        image = lettering(said, type_px(theme.SMALL))
        x, y = face.middle[0] + x, face.middle[1] + y
        if matra in answered:  # it may be broader than the wedge behind it
            Color(*theme.GROUND)
            broad, high = image.width + dp(8), 0.86 * image.height
            box = {"pos": (x - broad / 2, y - high / 2), "size": (broad, high)}
            RoundedRectangle(**box, radius=[dp(theme.LEAST_RADIUS)])
        Color(*theme.INK)
        _write(face, said, image, x, y)


def _answered(face: Face, matra: int, kind: str) -> None:
    """A wedge behind a matra, with the shape of its mark in it."""
    sizes, n = face.sizes, face.wheel.matras
    is_was = kind != "otherwise"
    half = min(0.46 * tau / n, WEDGE_MOST)
    first, last = face.angle(matra) - half, face.angle(matra) + half
    inner, outer = _wedge_from(face), sizes.points + sizes.sam
    sides = zip(arc(first, last, inner, step=0.05), arc(first, last, outer, step=0.05), strict=True)
    corners = [point for pair in sides for point in pair]
    points = face.flat(corners)
    vertices = [v for x, y in zip(points[::2], points[1::2], strict=True) for v in (x, y, 0.0, 0.0)]
    Color(*(theme.WAS_GROUND if is_was else theme.OTHERWISE_GROUND))
    Mesh(vertices=vertices, indices=list(range(len(corners))), mode="triangle_strip")
    Color(*(theme.WAS if is_was else theme.OTHERWISE))
    edge = [*corners[::2], *corners[1::2][::-1]]
    Line(points=face.flat(edge), width=dp(1.1), close=True)
    draw_mark(kind, *face.at(face.angle(matra), _mark_at(face)), _mark_radius(face))


def draw_chosen(face: Face, matra: int) -> None:
    """A ring of brass around the matra that is chosen."""
    x, y = face.point(matra)
    Color(*theme.BRASS_TOUCHED)
    radius = face.sizes.sam if matra == 1 and not face.wheel.blind else face.sizes.sign
    Line(circle=(x, y, radius + dp(4)), width=dp(2))


# Spans.


def _fits(face: Face, each: Laid) -> bool:
    """Whether the label of a span has room on it."""
    if not each.label:
        return True
    image = lettering(each.label, type_px(theme.SMALL))
    first, last = _angles(face, each)
    radius = _radius(face, float(each.begins + each.matras / 2))
    high = 0.8 * image.height + _bow(image.width, radius)
    long = image.width + dp(8)
    return long <= (last - first) * radius and high <= face.sizes.band * PHRASE_PART


def _bow(width: float, radius: float) -> float:
    """How far a circle bends away from a straight line of this width laid along it."""
    return width * width / (8.0 * radius)


def _angles(face: Face, each: Laid) -> tuple[float, float]:
    n = face.wheel.matras
    return angle_of(each.begins, n), angle_of(each.ends, n)


def _radius(face: Face, place: float) -> float:
    return face.sizes.span_at(place, face.laid[0].begins, face.wheel.matras)


def _span(face: Face, each: Laid) -> None:
    first, last = _angles(face, each)
    radii = _radius(face, float(each.begins)), _radius(face, float(each.ends))
    aside = dp(1.2) / radii[0]  # so that two phrases without a gap are seen to be two
    first, last = first + aside, last - aside
    if each.kind == "phrase":
        Color(*theme.SOFT_INK)
        _band(face, first, last, radii, PHRASE_PART * face.sizes.band / 2)
    else:
        Color(*theme.SOFT_INK)
        _dashes(face, first, last, radii)
    if each.label and _fits(face, each):
        _label(face, each, (first + last) / 2, sum(radii) / 2)


def _band(face: Face, first: float, last: float, radii: tuple[float, float], half: float) -> None:
    inner = face.flat(arc(first, last, (radii[0] - half, radii[1] - half)))
    outer = face.flat(arc(first, last, (radii[0] + half, radii[1] + half)))
    vertices: list[float] = []
    for at in range(0, len(inner), 2):
        for side in (inner, outer):
            vertices += [side[at], side[at + 1], 0.0, 0.0]
    Mesh(vertices=vertices, indices=list(range(len(vertices) // 4)), mode="triangle_strip")


def _dashes(face: Face, first: float, last: float, radii: tuple[float, float]) -> None:
    """A dashed line, of whole dashes from end to end."""
    length = (last - first) * sum(radii) / 2
    count = max(1, round((length + dp(BREAK)) / dp(DASH + BREAK)))
    step = (last - first) / (count - 1 + DASH / (DASH + BREAK))
    for n in range(count):
        begins = first + n * step
        ends = min(last, begins + step * DASH / (DASH + BREAK))
        here = [radii[0] + (a - first) / (last - first) * (radii[1] - radii[0])
                for a in (begins, ends)]  # fmt: skip
        Line(points=face.flat(arc(begins, ends, (here[0], here[1]))), width=dp(1.3), cap="none")


def _label(face: Face, each: Laid, angle: float, radius: float) -> None:
    """Along its arc, the right way up."""
    image = lettering(each.label, type_px(theme.SMALL))
    turned = angle % tau
    upside_down = pi / 2 < turned < 3 * pi / 2
    width, height = image.size
    x, y = face.at(angle, radius - _bow(width, radius) / 2)
    PushMatrix()
    Translate(x, y)
    Rotate(angle=-(turned + (pi if upside_down else 0.0)) * 180 / pi, axis=(0, 0, 1))
    if each.kind != "phrase":
        Color(*theme.GROUND)
        broad = width + dp(8)
        RoundedRectangle(
            pos=(-broad / 2, -height / 2), size=(broad, height), radius=[dp(theme.LEAST_RADIUS)]
        )
    Color(*(theme.GROUND if each.kind == "phrase" else theme.INK))
    Rectangle(texture=image, pos=(-width / 2, (LOW - 0.5) * height), size=image.size)
    PopMatrix()


def hand(face: Face, angle: float) -> tuple[float, float, float, float]:
    """The ends of the hand that points at an angle, over all spans."""
    sizes = face.sizes
    inner = min(HAND_FROM * sizes.points, sizes.words)
    return (*face.at(angle, inner), *face.at(angle, sizes.points - sizes.sam))


# Words.


def lettering(text: str, size_px: float, *, bold: bool = False) -> Any:
    """The picture of a word."""
    font = theme.SANS_BOLD if bold else theme.SANS
    image = TextImage(text=text, font_name=font, font_size=size_px)
    image.refresh()
    return image.texture


def _put(image: Any, x: float, y: float) -> None:
    Rectangle(texture=image, pos=(x - image.width / 2, y - image.height / 2), size=image.size)


def _write(face: Face, text: str, image: Any, x: float, y: float) -> None:
    width, height = image.size
    face.boxes.append((text, x - width / 2, y - height / 2, width, height))
    _put(image, x, y)
