"""What a student takes for what: counts of one thing heard as another, and the worst of them.

Counted is what was answered in the last four weeks; of a subject not asked in them, all that was
ever answered. A pair's share is of all questions to which its first thing was right. How bad it is:
the lower end of the share's interval, where fewer than twenty questions are filled up with right
answers, so that a single slip does not stand above what happens again and again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from practice.standing import Standing
from practice.things import SUBJECTS, Subject, Thing
from scheduler.history import before, lately
from scheduler.reliability import FEW, wilson

Cell = tuple[str, str]
"""What it was, and what was heard: ids of things."""


@dataclass(frozen=True, slots=True)
class Pair:
    """One thing and what was heard for it: another, or, on the diagonal, itself."""

    subject: str
    right: str
    given: str
    """Ids of things, as `practice.things` has them."""
    right_label: str
    given_label: str
    skills: tuple[str, ...]
    """Skills of the course that ask one or the other, to be drilled against each other."""
    asked_in: tuple[str, ...]
    """Skills by which this was answered, whether the course asks them or not."""
    count: int
    """How often."""
    asked: int
    """How often the first was asked."""
    luck: float
    """The share at which a blind guess would answer so; 0 where it was not asked."""
    before: tuple[int, int]
    """The same two counts for the four weeks before; (0, 0) where they are not compared."""
    is_lately: bool
    """Whether the counts are of the last four weeks, or else of all."""

    @property
    def share(self) -> float:
        return self.count / self.asked if self.asked else 0.0

    @property
    def interval(self) -> tuple[float, float]:
        """Of the share, Wilson's at 95 %; 0 to 1 where it was not asked."""
        return wilson(self.count, self.asked)

    @property
    def is_few(self) -> bool:
        """Whether so few questions say little."""
        return self.asked < FEW

    @property
    def is_right(self) -> bool:
        """Whether it is no confusion: the thing was heard as itself."""
        return self.right == self.given

    @property
    def badness(self) -> float:
        return wilson(self.count, max(self.asked, FEW))[0]


@dataclass(frozen=True, slots=True)
class Matrix:
    """The things of a subject that have answers, and what was heard for which."""

    subject: str
    things: tuple[Thing, ...]
    """In order of their own, or what is confused first; those of a group together."""
    cells: Mapping[Cell, int]
    """How often; only what was answered at all."""
    asked: Mapping[str, int]
    """How often each thing was asked; 0 for one that was only heard for others."""
    is_lately: bool
    _counted: _Counted = field(repr=False, compare=False)

    def pair(self, right: str, given: str) -> Pair:
        """Any cell, one in which nothing stands too."""
        return self._counted.pair(right, given)

    def worst(self, most: int) -> tuple[Pair, ...]:
        """What is taken for something else, the worst first."""
        return self._counted.worst(most)


def matrix(standing: Standing, subject: str) -> Matrix:
    """What was heard for which among the things of a subject, one of `SUBJECTS`."""
    counted = _Counted(standing, SUBJECTS[subject])
    return Matrix(
        subject,
        tuple(map(counted.thing, counted.in_turn())),
        counted.cells,
        counted.asked,
        counted.is_lately,
        counted,
    )


def worst_pairs(
    standing: Standing, *, most: int = 8, subjects: Collection[str] = tuple(SUBJECTS)
) -> tuple[Pair, ...]:
    """What is taken for something else in any of these subjects and asked in the course, the worst
    first, and what was asked lately before what was not."""
    found = [
        pair
        for subject in subjects
        for pair in _Counted(standing, SUBJECTS[subject]).worst(most)
        if pair.skills
    ]
    return tuple(sorted(found, key=lambda pair: (not pair.is_lately, -pair.badness))[:most])


class _Counted:
    """The counts of one subject."""

    def __init__(self, standing: Standing, subject: Subject) -> None:
        self._standing, self._subject = standing, subject
        self._items = {item.skill for item in standing.items}
        history, kind = standing.history, f"{subject.kind}:"
        self._ever = {
            skill: self._answers(skill, None) for skill in history.given if skill.startswith(kind)
        }
        self._labels: dict[str, Thing] = {}
        self.cells = self._cells_in(lately(standing.now))
        self.is_lately = bool(self.cells)
        self._weeks = lately(standing.now) if self.is_lately else None
        if not self.is_lately:
            self.cells = self._cells_in(None)
        self._before = self._cells_in(before(standing.now)) if self.is_lately else {}
        self.asked = _rows(self.cells)
        self._asked_before = _rows(self._before)

    def _cells_in(self, weeks: Collection[int] | None) -> dict[Cell, int]:
        cells: Counter[Cell] = Counter()
        for skill in self._ever:
            for cell, count in self._answers(skill, weeks).items():
                cells[cell] += count
        return dict(cells)

    def _answers(self, skill: str, weeks: Collection[int] | None) -> dict[Cell, int]:
        """How often each cell was answered to one skill."""
        thing = self._subject.thing_of
        return {
            (thing(skill, right), thing(skill, given)): count
            for (right, given), count in self._standing.history.answers(skill, weeks).items()
        }

    def thing(self, thing: str) -> Thing:
        if thing not in self._labels:
            self._labels[thing] = self._subject.thing(thing, self._standing)
        return self._labels[thing]

    def in_turn(self) -> list[str]:
        """All things with answers, as they are shown."""
        found = {thing for cell in self.cells for thing in cell}
        if self._subject.in_order:
            return self._subject.in_turn(found)
        ranked = sorted(self._confused(), key=self._badness, reverse=True)
        first = [thing for cell in ranked for thing in cell]
        turn = list(dict.fromkeys([*first, *self._subject.in_turn(found)]))
        groups = list(dict.fromkeys(self.thing(thing).group for thing in turn))
        return sorted(turn, key=lambda thing: groups.index(self.thing(thing).group))

    def worst(self, most: int) -> tuple[Pair, ...]:
        ranked = sorted(sorted(self._confused()), key=self._badness, reverse=True)
        return tuple(self.pair(*cell) for cell in ranked[:most])

    def _confused(self) -> list[Cell]:
        return [cell for cell in self.cells if cell[0] != cell[1]]

    def _badness(self, cell: Cell) -> float:
        return wilson(self.cells[cell], max(self.asked[cell[0]], FEW))[0]

    def pair(self, right: str, given: str) -> Pair:
        return Pair(
            subject=self._subject.id,
            right=right,
            given=given,
            right_label=self.thing(right).label,
            given_label=self.thing(given).label,
            skills=self._to_drill(right, given),
            asked_in=self._asked_in(right, given),
            count=self.cells.get((right, given), 0),
            asked=self.asked.get(right, 0),
            luck=self._luck(right),
            before=(self._before.get((right, given), 0), self._asked_before.get(right, 0)),
            is_lately=self.is_lately,
        )

    def _asked_in(self, right: str, given: str) -> tuple[str, ...]:
        return tuple(skill for skill, cells in self._ever.items() if (right, given) in cells)

    def _to_drill(self, right: str, given: str) -> tuple[str, ...]:
        """Of each side what the course asks of it and has been asked, else the plainest of it."""
        found: list[str] = []
        for thing in dict.fromkeys((right, given)):
            asking = [
                skill
                for skill, cells in self._ever.items()
                if skill in self._items
                and self._subject.is_between(skill, right, given)
                and any(cell[0] == thing for cell in cells)
            ]
            plainest = [s for s in self._subject.first_skills(thing) if s in self._items]
            found += asking or plainest[:1]
        return tuple(dict.fromkeys(found))

    def _luck(self, thing: str) -> float:
        """The mean chance of one answer by guessing, over the questions to which it was right."""
        asked, luck = 0, 0.0
        asking = [s for s, cells in self._ever.items() if any(cell[0] == thing for cell in cells)]
        for skill in asking:
            answers = self._answers(skill, self._weeks)
            count = sum(count for (right, _), count in answers.items() if right == thing)
            if count:
                asked += count
                luck += count * self._standing.history.tally(skill, self._weeks).proportion.chance
        return luck / asked if asked else 0.0


def _rows(cells: Mapping[Cell, int]) -> dict[str, int]:
    """How often each thing was asked."""
    rows: Counter[str] = Counter()
    for (right, given), count in cells.items():
        rows[right] += count
        rows[given] += 0
    return dict(rows)
