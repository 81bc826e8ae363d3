"""What a student takes for what: counts of one thing heard as another, and the worst of them.

Counted is what was answered in the last four weeks; of a subject not asked in them, all that was
ever answered. A pair's share is of all questions to which its first thing was right. How bad it is:
the lower end of the share's interval, where fewer than twenty questions are filled up with right
answers, so that a single slip does not stand above what happens again and again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from practice.standing import Standing
from practice.things import SUBJECTS, Subject, Thing
from scheduler.history import before, lately
from scheduler.reliability import FEW, wilson

RARE = 0.1
"""A confusion whose share surely lies below this is a trifle."""

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
    before: tuple[int, int]
    """The same two counts for the four weeks before; (0, 0) where they are not compared."""
    is_lately: bool
    """Whether the counts are of the last four weeks, or else of all."""
    among: int = 1
    """Of how many sorts of wrong answers it is one: those that were given at all, of its subject,
    or of all those among which it was found to be one of the worst."""

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
    def is_rare(self) -> bool:
        """Whether it surely happens in less than one case of ten."""
        return self.interval[1] < RARE

    @property
    def badness(self) -> float:
        return badness_of(self.count, self.asked)


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

    @property
    def wrong(self) -> tuple[Cell, ...]:
        """The cells of what is taken for something else, the worst first."""
        return self._counted.wrong

    def worst(self, most: int) -> tuple[Pair, ...]:
        """What is taken for something else, the worst first."""
        return tuple(self.pair(*cell) for cell in self.wrong[:most])


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
    counted = [_Counted(standing, SUBJECTS[subject]) for subject in subjects]
    ranked = [
        (not of.is_lately, -of.badness(cell), of, cell) for of in counted for cell in of.wrong
    ]
    found: list[Pair] = []
    for _, _, of, cell in sorted(ranked, key=lambda each: each[:2]):
        if len(found) >= most:
            break
        pair = of.pair(*cell)
        if pair.skills:
            found.append(replace(pair, among=len(ranked)))
    return tuple(found)


Counts = dict[Cell, int]


class _Counted:
    """The counts of one subject."""

    def __init__(self, standing: Standing, subject: Subject) -> None:
        self._standing, self._subject = standing, subject
        self._items = {item.skill for item in standing.items}
        self._labels: dict[str, Thing] = {}
        kind, now = f"{subject.kind}:", standing.now
        skills = [skill for skill in standing.history.given if skill.startswith(kind)]
        self._ever = {skill: self._answers(skill) for skill in skills}
        shown = {skill: self._answers(skill, lately(now)) for skill in skills}
        self.is_lately = any(shown.values())
        counted = shown if self.is_lately else self._ever
        earlier = [self._answers(skill, before(now)) for skill in skills if self.is_lately]
        self.cells, self._before = _together(counted.values()), _together(earlier)
        self.asked, self._asked_before = _rows(self.cells), _rows(self._before)

    def _answers(self, skill: str, weeks: Collection[int] | None = None) -> Counts:
        """How often each cell was answered to one skill in these weeks, in all unless given."""
        thing, found = self._subject.thing_of, {}
        for text, counts in self._standing.history.given[skill].items():
            count = sum(n for week, n in counts.items() if weeks is None or week in weeks)
            if count:
                right, _, given = text.partition(" ")
                found[thing(skill, right), thing(skill, given)] = count
        return found

    def thing(self, thing: str) -> Thing:
        if thing not in self._labels:
            self._labels[thing] = self._subject.thing(thing, self._standing)
        return self._labels[thing]

    def in_turn(self) -> list[str]:
        """All things with answers, as they are shown."""
        found = {thing for cell in self.cells for thing in cell}
        if self._subject.in_order:
            return self._subject.in_turn(found)
        first = [thing for cell in self.wrong for thing in cell]
        turn = list(dict.fromkeys([*first, *self._subject.in_turn(found)]))
        groups = list(dict.fromkeys(self.thing(thing).group for thing in turn))
        return sorted(turn, key=lambda thing: groups.index(self.thing(thing).group))

    @cached_property
    def wrong(self) -> tuple[Cell, ...]:
        """The cells of what was taken for something else, the worst first."""
        found = sorted(cell for cell in self.cells if cell[0] != cell[1])
        return tuple(sorted(found, key=self.badness, reverse=True))

    def badness(self, cell: Cell) -> float:
        return badness_of(self.cells[cell], self.asked[cell[0]])

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
            before=(self._before.get((right, given), 0), self._asked_before.get(right, 0)),
            is_lately=self.is_lately,
            among=max(1, len(self.wrong)),
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


def badness_of(count: int, asked: int) -> float:
    """How bad it is that a thing was taken for another so often, of so many times."""
    return wilson(count, max(asked, FEW))[0]


def _together(counted: Iterable[Counts]) -> Counts:
    """Of several skills."""
    cells: Counter[Cell] = Counter()
    for each in counted:
        cells.update(each)
    return dict(cells)


def _rows(cells: Mapping[Cell, int]) -> dict[str, int]:
    """How often each thing was asked."""
    rows: Counter[str] = Counter()
    for (right, given), count in cells.items():
        rows[right] += count
        rows[given] += 0
    return dict(rows)
