"""Arcs over a string, from fret to fret: their shape, the nearest to a touch, and as triangles.

A point is (along, across): along the string as it lies, across how far from it, both in pixels or
any other one unit. The longer an arc, the higher it rises; all are half ellipses, so that each
leaves its frets upright. As triangles an arc is a band with soft edges, so that it stays smooth
where nothing else smooths: its texture runs from clear (u = 0) to full (u = 1/2) to clear (u = 1)
across, and repeats its pattern along (v = 1 for each pattern).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
"""(n, 2): along, across."""

STEPS = 48
"""Into so many straight pieces an arc is cut."""
FLATTER = 0.8
"""Short arcs rise higher than in proportion, or a finger could not tell them apart."""
SOFT = 1.0
"""How broad the soft edge of a band is, in pixels."""


def arc(start: float, end: float, *, length: float, height: float) -> Points:
    """The arc from `start` to `end` on a string of `length`; one as long as that is as high as
    `height`."""
    turn = np.linspace(np.pi, 0.0, STEPS + 1)
    radius = (end - start) / 2.0
    rise = height * (abs(end - start) / length) ** FLATTER
    return np.column_stack((start + radius * (1.0 + np.cos(turn)), rise * np.sin(turn)))


def distance(point: tuple[float, float], line: Points) -> float:
    """From a point to the nearest point of a line of straight pieces."""
    here, starts, pieces = np.asarray(point), line[:-1], np.diff(line, axis=0)
    lengths = np.maximum((pieces**2).sum(axis=1), 1e-12)
    along = np.clip(((here - starts) * pieces).sum(axis=1) / lengths, 0.0, 1.0)
    nearest = starts + along[:, None] * pieces
    return float(np.sqrt(((here - nearest) ** 2).sum(axis=1).min()))


def nearest(
    point: tuple[float, float],
    lines: Sequence[Points],
    *,
    within: float,
    behind: Sequence[float] | None = None,
) -> int | None:
    """Which of these lines is nearest to a point, of those no further than `within`; None where
    there is none. Each may count as so much further than it is. Of equals the first."""
    far = [distance(point, line) for line in lines]
    reached = [number for number, each in enumerate(far) if each <= within]
    counted = far if behind is None else [a + b for a, b in zip(far, behind, strict=True)]
    return min(reached, key=counted.__getitem__, default=None)


def band(line: Points, *, width: float, pattern: float) -> NDArray[np.float32]:
    """A line as (4 (n - 1 + 1), 4) vertices x, y, u, v: four for each of its points, across it.

    `width` is that of the full band without its soft edges; the texture's pattern is laid along it
    as often as a whole number of times, each about `pattern` long.
    """
    pieces = np.diff(line, axis=0)
    lengths = np.hypot(pieces[:, 0], pieces[:, 1])
    run = np.concatenate(([0.0], np.cumsum(lengths)))
    times = max(1.0, round(run[-1] / pattern))
    ways = np.vstack((pieces[:1], pieces[:-1] + pieces[1:], pieces[-1:]))
    ways /= np.maximum(np.hypot(ways[:, 0], ways[:, 1]), 1e-9)[:, None]
    across = np.column_stack((-ways[:, 1], ways[:, 0]))
    half = width / 2.0
    places = np.array([-half - SOFT, -half, half, half + SOFT])
    points = line[:, None, :] + across[:, None, :] * places[None, :, None]
    u = np.broadcast_to(np.array([0.0, 0.5, 0.5, 1.0]), points.shape[:2])
    v = np.broadcast_to((run / run[-1] * times if run[-1] else run)[:, None], points.shape[:2])
    found = np.concatenate((points, u[:, :, None], v[:, :, None]), axis=2)
    return found.reshape(-1, 4).astype(np.float32)


def triangles(points: int, first: int = 0) -> list[int]:
    """Which vertices of a band of so many points make a triangle, three by three; its vertices
    are counted from `first`."""
    found = []
    for at in range(first, first + 4 * (points - 1), 4):
        for a in (at, at + 1, at + 2):
            found += [a, a + 1, a + 4, a + 1, a + 5, a + 4]
    return found


def bands(
    lines: Iterable[tuple[Points, float]], *, pattern: float
) -> tuple[NDArray[np.float32], list[int]]:
    """Lines, each with its width, as the vertices and the triangles of one mesh."""
    vertices, indices, first = [], [], 0
    for line, width in lines:
        vertices.append(band(line, width=width, pattern=pattern))
        indices += triangles(len(line), first)
        first += len(vertices[-1])
    if not vertices:
        return np.zeros((0, 4), np.float32), []
    return np.concatenate(vertices), indices
