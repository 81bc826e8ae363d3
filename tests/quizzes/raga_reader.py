"""A reader without ears: what do the choices alone tell of which of them is right?

The reader is shown the choices of four questions in five with their right answers, and neither
prompts nor sound; of the fifth it is shown the choices and which of them are possible, and picks.
It learns which answer goes with a set of choices, and what right choices have that wrong ones have
not: their place, their label, whether it is a broken number, how many of the others are kin to them
as the raga files say. Where a prompt names the raga that is meant, what goes with a set of choices
is not remembered: to know the answer by the raga's name is what is to be learnt.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from quizzes import Question
from tests.quizzes import raga_oracle as oracle


@dataclass(frozen=True)
class Shown:
    """A question as the reader sees it."""

    labels: tuple[str, ...]
    possible: tuple[int, ...]
    right: int
    named: bool = False
    """Whether the prompt names a raga that is not among the choices."""
    chance: float = 0.0
    """What the question itself says of a lucky guess."""


def shown(question: Question) -> Shown | None:
    """None where the answer is written or where only one answer is possible."""
    if question.is_line or question.answer_on == "sargam":
        return None
    ids = [choice.id for choice in question.choices]
    possible = tuple(
        at for at, one in enumerate(ids) if question.possible is None or one in question.possible
    )
    if len(possible) < 2:
        return None
    labels = tuple(choice.label for choice in question.choices)
    named = any(
        name in question.prompt and not any(name in label for label in labels)
        for name in oracle.by_name()
    )
    return Shown(labels, possible, ids.index(question.right[0]), named, question.chance)


def features(labels: Sequence[str], at: int) -> Iterator[tuple]:
    """What can be seen of one choice beside the others."""
    names, many = oracle.by_name(), len(labels)
    yield "place", many, at
    yield "label", labels[at]
    yield "kind of label", many, labels[at] in names
    yield "length", sorted(map(len, labels)).index(len(labels[at])), many
    if (broken := sum("/" in label for label in labels)) > 0:
        yield "broken number", many, broken, "/" in labels[at]
    raga = names.get(labels[at])
    if raga is not None:
        others = [names[other] for other in labels if other in names and other != labels[at]]
        yield "is near to", len(others), sum(raga.id in other.near for other in others)
        yield "has near", len(others), sum(other.id in raga.near for other in others)
        shared = sum(len(raga.own_letters & other.own_letters) for other in others)
        yield "shares", round(shared / len(others)) if others else 0


class Reader:
    """Counts what right and what wrong choices looked like."""

    def __init__(self, learned: Sequence[Shown]) -> None:
        self._right: Counter[tuple] = Counter()
        self._wrong: Counter[tuple] = Counter()
        self._by_set: dict[frozenset[str], Counter[str]] = {}
        for seen in learned:
            for at in seen.possible:
                counts = self._right if at == seen.right else self._wrong
                counts.update(features(seen.labels, at))
            of_set = self._by_set.setdefault(frozenset(seen.labels), Counter())
            of_set[seen.labels[seen.right]] += 1
        self._rights = len(learned)
        self._wrongs = sum(len(seen.possible) - 1 for seen in learned)

    def by_looks(self, seen: Shown) -> int:
        return max(seen.possible, key=lambda at: self._leaning(seen, at))

    def by_memory(self, seen: Shown) -> int:
        """What went with these choices before, else by looks."""
        if seen.named:
            return self.by_looks(seen)
        before = self._by_set.get(frozenset(seen.labels), Counter())
        return max(seen.possible, key=lambda at: (before[seen.labels[at]], self._leaning(seen, at)))

    def _leaning(self, seen: Shown, at: int) -> float:
        """The odds, in logarithm, as if all features spoke for themselves."""
        return sum(
            math.log((self._right[each] + 1) / (self._rights + 2))
            - math.log((self._wrong[each] + 1) / (self._wrongs + 2))
            for each in features(seen.labels, at)
        )


@dataclass(frozen=True)
class Score:
    """How the better of two ways of reading did, in shares of the questions tried."""

    tried: int
    by_looks: float
    by_memory: float
    chance: float
    error: float
    """The standard error of a reader who guesses."""

    @property
    def bound(self) -> float:
        return self.chance + 3 * self.error

    @property
    def best(self) -> float:
        return max(self.by_looks, self.by_memory)

    @property
    def learns(self) -> bool:
        return self.best > self.bound


def read(questions: Sequence[Shown]) -> Score | None:
    """Learn from four in five, try the fifth; None where there is too little to try."""
    learned = [seen for at, seen in enumerate(questions) if at % 5]
    tried = [seen for at, seen in enumerate(questions) if at % 5 == 0]
    if len(tried) < 10:
        return None
    reader = Reader(learned)
    chances = [seen.chance or 1 / len(seen.possible) for seen in tried]
    return Score(
        tried=len(tried),
        by_looks=sum(reader.by_looks(seen) == seen.right for seen in tried) / len(tried),
        by_memory=sum(reader.by_memory(seen) == seen.right for seen in tried) / len(tried),
        chance=sum(chances) / len(tried),
        error=math.sqrt(sum(p * (1 - p) for p in chances)) / len(tried),
    )
