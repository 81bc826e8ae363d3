"""The course that made-up students take: 150 skills in clusters of what is easily confused.

Names are invented. A cluster holds what is offered together; skills of one kin stand in different
clusters and are nearly the same thing (one gap in three octaves, one raga by two evidences).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from scheduler import Item

_Named = Callable[[int], tuple[str, str, str]]


class _Kind(NamedTuple):
    kind: str
    family: str
    many: int
    seconds: float
    choices: tuple[int, ...]
    """How many are shown, cluster by cluster, over again."""
    named: _Named
    """From a number to skill, cluster and kin."""


def _gap(i: int) -> tuple[str, str, str]:
    group, octave, place = i // 12, i // 4 % 3, i % 4
    gap = f"gap {4 * group + place}"
    return f"{gap} octave {octave}", f"gaps {group} octave {octave}", gap


def _raga(i: int) -> tuple[str, str, str]:
    group, evidence, place = i // 8, i // 4 % 2, i % 4
    raga = f"raga {4 * group + place}"
    return f"{raga} by {evidence}", f"ragas {group} by {evidence}", raga


def _alone(word: str, cluster_size: int) -> _Named:
    return lambda i: (f"{word} {i}", f"{word}s {i // cluster_size}", "")


KINDS = (
    _Kind("gap", "perception", 36, 10.0, (4, 3, 2), _gap),
    _Kind("note", "perception", 30, 11.0, (6, 5, 4), _alone("note", 6)),
    _Kind("raga", "perception", 24, 14.0, (2, 3, 4), _raga),
    _Kind("fact", "facts", 48, 9.0, (8, 4, 6), _alone("fact", 8)),
    _Kind("order", "orders", 12, 16.0, (4, 3), _alone("order", 4)),
)


def course() -> tuple[Item, ...]:
    """All items in course order: the kinds run side by side, each cluster by cluster."""
    placed = []
    for kind in KINDS:
        clusters: dict[str, int] = {}
        for i in range(kind.many):
            skill, cluster, kin = kind.named(i)
            number = clusters.setdefault(cluster, len(clusters))
            choices = kind.choices[number % len(kind.choices)]
            chance = 1.0 / choices
            item = Item(skill, kind.kind, kind.family, cluster, chance, kind.seconds, kin)
            placed.append(((i + 0.5) / kind.many, item))
    return tuple(item for _, item in sorted(placed, key=lambda pair: (pair[0], pair[1].skill)))


def choices_of(item: Item) -> int:
    """How many choices a question on it shows."""
    return round(1.0 / item.chance)
