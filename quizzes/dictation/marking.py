"""A written line beside the right one: laid side by side by least edits, counted and marked.

Prices tell the parts apart: a wrong swara, one left out and one too many cost most, the right swara
in another saptak half of that, a wrong length or ornament a quarter. So lines lie swara by swara
where that is cheapest, and a wrong length moves nothing.

Each slip is paid for once, and where it was made: a swara in another saptak keeps the greater part
of what it is worth, two neighbours that changed places are one slip, and a swara too many takes
from the swaras alone, and of three or more swaras no more than the whole rhythm is worth.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

from quizzes.dictation.places import (
    LENGTH,
    ORNAMENT,
    PARTS,
    SAPTAK,
    SWARA,
    Place,
    differences,
)
from quizzes.edits import Pair, aligned_by, distance_by
from words import say, say_many

PRICES = {SWARA: 4, SAPTAK: 2, LENGTH: 1, ORNAMENT: 1}
GAP = PRICES[SWARA]

WEIGHTS = {SWARA: 2.0, LENGTH: 1.0, ORNAMENT: 1.0}
"""What each part is worth beside the others, of those that count."""
OTHER_SAPTAK = 2 / 3
"""What the right swara is worth in another saptak."""
TOO_MANY = 1.5
"""One too many takes away as much as one that is missing, but no more than so many places."""
BLIND = 0.5
"""Of swaras and lengths so much is nothing yet: lines written without hearing, laid side by side by
least edits, have that much right now and then."""

Row = tuple[Place | None, Place | None, tuple[str, ...]]
"""The right place, the one given, and in what they differ; None where one has nothing there."""


def price_of(right: Place, given: Place, counts: Sequence[str] = PARTS) -> int:
    """What it costs to change the place given into the right one."""
    return sum(PRICES[word] for word in differences(right, given, tuple(counts)))


def distance(right: Sequence[Place], given: Sequence[Place], counts: Sequence[str] = PARTS) -> int:
    """The least price by which one line becomes the other."""
    return distance_by(right, given, partial(price_of, counts=counts), gap=GAP)


def rows_of(
    right: Sequence[Place], given: Sequence[Place], counts: Sequence[str] = PARTS
) -> list[Row]:
    """The two lines laid side by side."""
    pairs = aligned_by(right, given, partial(price_of, counts=counts), gap=GAP)
    return [_row(right, given, pair, counts) for pair in pairs]


def _row(right: Sequence[Place], given: Sequence[Place], pair: Pair, counts: Sequence[str]) -> Row:
    at, to = pair
    was = None if at is None else right[at]
    answered = None if to is None else given[to]
    if was is None or answered is None:
        return was, answered, ()
    return was, answered, differences(was, answered, tuple(counts))


@dataclass(frozen=True, slots=True)
class Tally:
    """So many right of so many, of one part of a line, and so many too many."""

    part: str
    right: int
    whole: int
    displaced: int = 0
    """Of those that are right, swaras in another saptak."""
    exchanged: int = 0
    """Pairs of neighbours that changed places; none of them is right."""
    added: int = 0
    floor: float = 0.0
    """The share that is nothing yet."""

    @property
    def is_right(self) -> bool:
        return self.right == self.whole and not (self.displaced or self.added)

    @property
    def credit(self) -> float:
        """The share above the floor, less what is too many; where the floor is all, only all that
        is right counts."""
        if self.is_right or not self.whole or self.floor == 1.0:
            return float(self.is_right)
        room = 1.0 - self.floor
        share = (self.right + self.exchanged) / self.whole
        above = (share - self.floor) / room - min(TOO_MANY, 1 / room) * self.added / self.whole
        elsewhere = self.displaced / self.right if self.right else 0.0
        return max(0.0, above) * (1.0 - elsewhere * (1.0 - OTHER_SAPTAK))

    @property
    def told(self) -> str:
        """`5 of 6 swaras`, `3 of 6 swaras, 2 of them in another saptak`; "" where there is none."""
        if not self.whole:
            return ""
        told = _right_of(self.part, self.right, self.whole)
        if not self.displaced:
            return told
        if self.displaced == self.right:
            return say("{right}, all of them in another saptak", right=told)
        return say("{right}, {count} of them in another saptak", right=told, count=self.displaced)


def _right_of(part: str, right: int, whole: int) -> str:
    """`5 of 6 swaras`."""
    if part == SWARA:
        return say_many("{right} of {count} swara", "{right} of {count} swaras", whole, right=right)
    if part == LENGTH:
        return say_many(
            "{right} of {count} length", "{right} of {count} lengths", whole, right=right
        )
    return say_many(
        "{right} of {count} ornament", "{right} of {count} ornaments", whole, right=right
    )


def _too_many(part: str, added: int) -> str:
    """`1 swara too many`; of lengths none is."""
    if part == SWARA:
        return say_many("{count} swara too many", "{count} swaras too many", added)
    return say_many("{count} ornament too many", "{count} ornaments too many", added)


def tallies(
    right: Sequence[Place], given: Sequence[Place], counts: Sequence[str] = PARTS
) -> tuple[Tally, ...]:
    """How much is right of each part that counts, with the lines laid as `rows_of` lays them."""
    rows = rows_of(right, given, counts)
    return tuple(_TALLIED[part](right, rows) for part in PARTS if part in counts)


def _swaras(right: Sequence[Place], rows: Sequence[Row]) -> Tally:
    return Tally(
        SWARA,
        right=sum(_both(row) and SWARA not in row[2] for row in rows),
        whole=len(right),
        displaced=sum(SAPTAK in row[2] for row in rows),
        exchanged=_exchanged(rows),
        added=_added(rows),
        floor=_floor([place.swara.letter for place in right]),
    )


def _lengths(right: Sequence[Place], rows: Sequence[Row]) -> Tally:
    timed = [row for row in rows if row[0] is not None and not row[0].is_last]
    return Tally(
        LENGTH,
        right=sum(_both(row) and LENGTH not in row[2] for row in timed),
        whole=len(right) - 1,
        floor=_floor([place.time for place in right[:-1]]),
    )


def _ornaments(right: Sequence[Place], rows: Sequence[Row]) -> Tally:
    """Of the swaras with an ornament; one where there is none is too many."""
    kept = [row for row in rows if row[0] is not None and not row[0].is_plain]
    others = [row for row in rows if row[0] is None or row[0].is_plain]
    return Tally(
        ORNAMENT,
        right=sum(_both(row) and ORNAMENT not in row[2] for row in kept),
        whole=len(kept),
        added=sum(row[1] is not None and not row[1].is_plain for row in others),
    )


_TALLIED = {SWARA: _swaras, LENGTH: _lengths, ORNAMENT: _ornaments}


def _exchanged(rows: Sequence[Row]) -> int:
    """Pairs of neighbours that stand the other way about."""
    found, after = 0, False
    for (was, gave, words), (then, given, more) in pairwise(rows):
        turned = (
            not after
            and SWARA in words
            and SWARA in more
            and was is not None
            and then is not None
            and gave is not None
            and given is not None
            and (was.swara, then.swara) == (given.swara, gave.swara)
        )
        found, after = found + turned, turned
    return found


def _both(row: Row) -> bool:
    return row[0] is not None and row[1] is not None


def _added(rows: Sequence[Row]) -> int:
    return sum(row[0] is None for row in rows)


def _floor(things: Sequence[Hashable]) -> float:
    """What one and the same all along would have right, or what hearing nothing may have."""
    if not things:
        return BLIND
    return max(BLIND, max(Counter(things).values()) / len(things))


def credit_of(found: Sequence[Tally]) -> float:
    """What a line is worth: each part by its weight; 1 only where all of it is right."""
    if is_right(found):
        return 1.0
    whole = sum(WEIGHTS[tally.part] for tally in found)
    return sum(WEIGHTS[tally.part] * tally.credit for tally in found) / whole


def is_right(found: Sequence[Tally]) -> bool:
    """Whether the line sounds as it was heard, in all that counts."""
    return all(tally.is_right for tally in found)


def counted_text(found: Sequence[Tally]) -> str:
    """`5 of 6 swaras, 4 of 5 lengths`, and what is too many."""
    told = [tally.told for tally in found if tally.told]
    told += [_too_many(tally.part, tally.added) for tally in found if tally.added]
    return ", ".join(told)
