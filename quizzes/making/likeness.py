"""What a phrase is like: stretches of a raga's own ways and phrases in it, and other ragas.

How near one of the raga's phrases is to what lies anywhere within a line goes by least edits with
free ends (Sellers 1980, approximate matching of a pattern within a text).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from audio.tuning import Swara
from quizzes.making.phrases import Heard
from quizzes.making.trying import is_made_by
from quizzes.ragas.choosing import beside
from quizzes.ragas.pieces import within_reach
from quizzes.ragas.raga import Raga

UP, DOWN, PHRASE = "up", "down", "phrase"
SHORTEST = 3
"""Swaras of a stretch or a phrase that is worth telling."""
MOST = 3 / 4
"""Who has so much of a phrase has most of it."""
SAPTAKS = (-12, 0, 12)


@dataclass(frozen=True, slots=True)
class Stretch:
    """The swaras of a line from one place to before another, which stand so in the raga's way up or
    down or in one of its phrases."""

    start: int
    end: int
    of: str


def stretches(raga: Raga, heard: Heard) -> list[Stretch]:
    """The longest, and of equal ones the earliest; no two share more than a swara."""
    found: list[Stretch] = []
    every = sorted(_stretches(raga, heard), key=lambda each: (each.start - each.end, each.start))
    for each in every:
        if all(each.start >= other.end - 1 or each.end - 1 <= other.start for other in found):
            found.append(each)
    return sorted(found, key=lambda each: each.start)


def _stretches(raga: Raga, heard: Heard) -> Iterator[Stretch]:
    lines = [(UP, raga.scale.value.aroha), (DOWN, raga.scale.value.avaroha)]
    lines += [(PHRASE, phrase.swaras) for phrase in raga.phrases]
    for part in heard.phrases:
        steps = [swara.steps for swara in heard.swaras]
        for of, line in lines:
            theirs = [swara.steps for swara in line]
            for start in part:
                for at in range(len(theirs)):
                    size = _run_alike(steps[start : part.stop], theirs[at:])
                    if size >= SHORTEST:
                        yield Stretch(start, start + size, of)


def _run_alike(one: Sequence[int], other: Sequence[int]) -> int:
    """How many swaras the two begin with alike, in whichever saptak."""
    lift = one[0] - other[0]
    if lift % 12:
        return 0
    pairs = zip(one, other, strict=False)
    return next(
        (place for place, (mine, theirs) in enumerate(pairs) if mine - theirs != lift),
        min(len(one), len(other)),
    )


@dataclass(frozen=True, slots=True)
class Held:
    """A phrase of the raga, in the saptak in which it lies nearest to what was made, and how many
    edits part it from what is there."""

    swaras: tuple[Swara, ...]
    edits: int

    @property
    def is_whole(self) -> bool:
        return self.edits == 0

    @property
    def share(self) -> float:
        return 1.0 - self.edits / len(self.swaras)


def held_phrases(raga: Raga, heard: Heard) -> list[Held]:
    """Phrases of the raga that lie whole in the line, the longest first, without those that lie in
    another of them; where none does, the one
    that lies most in it, if most of it does."""
    found = [
        min(
            (
                Held(_in_saptak(steps, lift), edits)
                for part in heard.phrases
                for lift in SAPTAKS
                if (edits := _within(steps, heard.within(part), lift)) < len(steps)
            ),
            key=lambda held: held.edits,
            default=None,
        )
        for steps in dict.fromkeys(
            tuple(swara.steps for swara in phrase.swaras)
            for phrase in raga.phrases
            if len(phrase.swaras) >= SHORTEST
        )
    ]
    known = [held for held in found if held is not None]
    whole: list[Held] = []
    for held in sorted(known, key=lambda held: -len(held.swaras)):
        if held.is_whole and not any(lies_in(held.swaras, other.swaras) for other in whole):
            whole.append(held)
    if whole:
        return whole
    nearest = max(known, key=lambda held: (held.share, len(held.swaras)), default=None)
    return [nearest] if nearest is not None and nearest.share >= MOST else []


def _in_saptak(steps: Sequence[int], lift: int) -> tuple[Swara, ...]:
    """The phrase in this saptak, or as it is known where the string does not reach so far."""
    lifted = tuple(Swara.at(step + lift) for step in steps)
    return lifted if within_reach(lifted) else tuple(map(Swara.at, steps))


def lies_in(swaras: Sequence[Swara], phrase: Sequence[Swara]) -> bool:
    """Whether these swaras follow one another so in the phrase."""
    size = len(swaras)
    return any(tuple(phrase[at : at + size]) == tuple(swaras) for at in range(len(phrase)))


def _within(phrase: Sequence[int], line: Sequence[Swara], lift: int) -> int:
    return edits_within([step + lift for step in phrase], [swara.steps for swara in line])


def edits_within(phrase: Sequence[int], line: Sequence[int]) -> int:
    """The fewest edits between a phrase and any stretch of a line, the empty one, too."""
    row = [0] * (len(line) + 1)
    for number, step in enumerate(phrase, 1):
        above, row = row, [number]
        for place, other in enumerate(line):
            row.append(min(above[place] + (step != other), above[place + 1] + 1, row[place] + 1))
    return min(row)


def others_that_make_it(raga: Raga, heard: Heard, known: Mapping[str, Raga]) -> list[Raga]:
    """Every other raga that is known to make this line, those near to this one first."""
    near = set(beside(raga.id, known))
    makers = [other for other in known.values() if other.id != raga.id and is_made_by(other, heard)]
    return sorted(makers, key=lambda other: (other.id not in near, other.name))
