"""What the files of the stages say, read and thought through apart from the code that asks by them.

Only `assets/stages/*.toml` is read, with `tomllib`, and a teacher's tradition in the same way.
Which orders are allowed is found by trying all permutations; what follows from what, by walking
along the pairs that are told. A pair of stages "comes first" fixed or usually; None means that it
may be either way.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from itertools import combinations, permutations
from pathlib import Path

FILES = Path(__file__).parents[2] / "assets" / "stages"
FREE, USUAL, FIXED = "free", "usual", "fixed"


@dataclass(frozen=True)
class Known:
    """The tables of the files as they stand, with a teacher's above them."""

    stages: dict[str, dict]
    divisions: dict[str, dict]
    told: dict[tuple[str, str], dict]
    """The pairs of `order.toml`, by first and then."""
    _paths: dict = field(default_factory=dict, compare=False)
    _found: dict = field(default_factory=dict, compare=False)

    # Names.

    def names(self, stage: str) -> set[str]:
        """All that a stage is called, in small letters."""
        table = self.stages[stage]
        return {name.casefold() for name in (table["name"], *table.get("also", ()))}

    def called(self, label: str) -> str | None:
        """The stage that goes by this name, if one does."""
        for stage in self.stages:
            if label.strip().casefold() in self.names(stage):
                return stage
        return None

    def says(self, text: str, stage: str) -> bool:
        """Whether a text names a stage by its first name."""
        return self.stages[stage]["name"].casefold() in text.casefold()

    # Wholes and parts.

    def whole(self, stage: str) -> str:
        """The stage of which it is a part, "" for none."""
        for division in self.divisions.values():
            if stage in division["parts"] and division.get("of"):
                return division["of"]
        return ""

    def wholes(self, stage: str) -> list[str]:
        """The stage itself, that of which it is a part, and so on up."""
        found = [stage]
        while (above := self.whole(found[-1])) and above not in found:
            found.append(above)
        return found

    def exclude(self, one: str, other: str) -> bool:
        """Whether the one stands instead of the other, or of what the other is a part of."""
        return any(
            a in self.stages[b].get("instead_of", ()) or b in self.stages[a].get("instead_of", ())
            for a in self.wholes(one)
            for b in self.wholes(other)
        )

    def needed_by(self, stages: Iterable[str]) -> set[str]:
        """What is played wherever all of these are, by what they and their wholes need."""
        found: set[str] = set()
        for stage in stages:
            for one in self.wholes(stage):
                needs = set(self.stages[one].get("needs", ()))
                found |= needs | self.needed_by(needs)
        return found

    # The order.

    def is_free(self, one: str, other: str) -> bool:
        """Whether the files say outright that either may come first."""
        said = (self._outright(one, other), self._outright(other, one))
        return any(table is not None and table["strength"] == FREE for table in said)

    def before(self, first: str, then: str) -> str | None:
        """How surely `first` comes before `then`: FIXED, USUAL, or None where it need not."""
        if (first, then) not in self._paths:
            self._paths[first, then] = self._before(first, then)
        return self._paths[first, then]

    def why(self, first: str, then: str) -> str:
        """The reason that the files give for just this pair, "" where it only follows."""
        table = self.told.get((first, then))
        return table["why"] if table else ""

    def from_memory(self, first: str, then: str) -> bool:
        """Whether a told pair has no source but memory."""
        table = self._outright(first, then)
        return table is not None and table["confidence"] == "C"

    def broken(self, order: Sequence[str]) -> list[tuple[str, str]]:
        """The pairs (first, then) of which `then` stands first."""
        return [(b, a) for a, b in combinations(order, 2) if self.before(b, a)]

    def pairs(self, stages: Iterable[str]) -> list[tuple[str, str]]:
        """All pairs (first, then) among these stages of which one comes first."""
        return [(a, b) for a, b in permutations(stages, 2) if self.before(a, b)]

    def kept(self, order: Sequence[str]) -> Fraction:
        """The share of the pairs that an order keeps."""
        pairs = self.pairs(order)
        return 1 - Fraction(len(self.broken(order)), len(pairs)) if pairs else Fraction(1)

    def allowed(self, stages: Iterable[str]) -> set[tuple[str, ...]]:
        """All orders of these stages that break no pair; of all permutations, so few stages."""
        return {order for order in permutations(stages) if not self.broken(order)}

    def count_allowed(self, stages: Sequence[str]) -> int:
        """How many these are, by the sets that an order can begin with: for many stages, too."""
        ways = {frozenset[str](): 1}
        for _ in stages:
            longer: dict[frozenset[str], int] = {}
            for begun, count in ways.items():
                for stage in set(stages) - begun:
                    if all(one in begun for one in stages if self.before(one, stage)):
                        longer[begun | {stage}] = longer.get(begun | {stage}, 0) + count
            ways = longer
        return sum(ways.values())

    def _before(self, first: str, then: str) -> str | None:
        if first == then or self.is_free(first, then):
            return None
        if self._reaches(first, then, {FIXED}):
            return FIXED
        return USUAL if self._reaches(first, then, {FIXED, USUAL}) else None

    def _reaches(self, first: str, then: str, strengths: set[str]) -> bool:
        seen, waiting = {first}, [first]
        while waiting:
            at = waiting.pop()
            for to in self.stages:
                table = self._outright(at, to)
                if to in seen or table is None or table["strength"] not in strengths:
                    continue
                if to == then:
                    return True
                seen.add(to)
                waiting.append(to)
        return False

    def _outright(self, first: str, then: str) -> dict | None:
        """What is told of these two, else of the nearest wholes of which they are parts."""
        if (first, then) not in self._found:
            self._found[first, then] = self._find(first, then)
        return self._found[first, then]

    def _find(self, first: str, then: str) -> dict | None:
        if first == then:
            return None
        either = [
            (up + down, (one, other))
            for up, one in enumerate(self.wholes(first))
            for down, other in enumerate(self.wholes(then))
            if one != other
        ]
        for _, (one, other) in sorted(either, key=lambda each: each[0]):
            if (one, other) in self.told:
                return self.told[one, other]
            if (other, one) in self.told:
                return None
        return None


@cache
def known(tradition: str = "") -> Known:
    """The files, with the tables of a teacher's text above them."""
    stages, divisions, told = _files()
    said = tomllib.loads(tradition)
    for stage, table in said.get("stage", {}).items():
        shipped = stages[stage]
        also = shipped.get("also", [])
        if table.get("name", shipped["name"]) != shipped["name"]:
            also = [shipped["name"], *also]
        heard = {**shipped["heard"], **table.get("heard", {})}
        stages[stage] = {**shipped, "also": also, **table, "heard": heard}
    for table in said.get("order", ()):
        first, then = table["first"], table["then"]
        told.pop((then, first), None)
        told[first, then] = {"strength": USUAL, "why": "", "confidence": "A", **table}
    return Known(stages, divisions, told)


def _files() -> tuple[dict, dict, dict]:
    stages = tomllib.loads((FILES / "stages.toml").read_text(encoding="utf-8"))
    order = tomllib.loads((FILES / "order.toml").read_text(encoding="utf-8"))
    return (
        {table["id"]: table for table in stages["stage"]},
        {table["id"]: table for table in stages["division"]},
        {(table["first"], table["then"]): table for table in order["pair"]},
    )


@cache
def fits() -> list[dict]:
    """The rules of `fit.toml`."""
    return tomllib.loads((FILES / "fit.toml").read_text(encoding="utf-8"))["fit"]


@cache
def layouts() -> list[dict]:
    """The ranges of `layout.toml`."""
    return tomllib.loads((FILES / "layout.toml").read_text(encoding="utf-8"))["layout"]
