"""What a phrase is like: stretches of a raga's own ways and phrases in it, and other ragas.

How near one of the raga's phrases is to what lies anywhere within a line goes by least edits with
free ends (Sellers 1980, approximate matching of a pattern within a text). A swara that is struck
again at once counts once, as mizrab strokes double what a pakad has single.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from audio.tuning import Swara
from quizzes.making.phrases import Heard, moved
from quizzes.ragas.pieces import within_reach
from quizzes.ragas.raga import Raga

UP, DOWN, PHRASE = "up", "down", "phrase"
SHORTEST = 3
"""Swaras of a stretch or a phrase that is worth telling."""
FEWEST_NEAR = 5
"""So long a phrase may lack a swara, or have one more in it, and is still near; what is shorter is
made by each of its swaras."""
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
        places = heard.once(part)
        steps = [heard.swaras[place].steps for place in places]
        for of, line in lines:
            theirs = [swara.steps for swara in moved(line)]
            for start in range(len(places)):
                for at in range(len(theirs)):
                    size = _run_alike(steps[start:], theirs[at:])
                    if size >= SHORTEST:
                        yield Stretch(places[start], places[start + size - 1] + 1, of)


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
    """A phrase of the raga, in the saptak in which it lies nearest to what was made; whole there,
    or but for one swara that is left out or put in."""

    swaras: tuple[Swara, ...]
    is_whole: bool


def held_phrases(raga: Raga, heard: Heard) -> list[Held]:
    """Phrases of the raga that lie whole in the line, the longest first, without those that lie in
    another of them; where none does, the longest that nearly does."""
    phrases = {
        tuple(swara.steps for swara in moved(phrase.swaras)): phrase.swaras
        for phrase in raga.phrases
    }
    lines = [[heard.swaras[at].steps for at in heard.once(part)] for part in heard.phrases]
    found: dict[bool, list[Held]] = {True: [], False: []}
    for steps in sorted(phrases, key=lambda steps: -len(steps)):
        written = [swara.steps for swara in phrases[steps]]
        edits, lift = min(
            (edits_within([step + lift for step in steps], line, SWAPPED), lift)
            for line in lines
            for lift in sorted(SAPTAKS, key=abs)
        )
        # What is short but for its repeats is held where it lies with them.
        is_long = len(steps) >= SHORTEST or _lies_as_written(written, heard)
        if edits <= (len(steps) >= FEWEST_NEAR) and is_long:
            swaras = _in_saptak(written, lift)
            found[edits == 0].append(Held(swaras, is_whole=edits == 0))
    whole: list[Held] = []
    for held in found[True]:
        if not any(lies_in(held.swaras, other.swaras) for other in whole):
            whole.append(held)
    return whole or found[False][:1]


def _lies_as_written(steps: Sequence[int], heard: Heard) -> bool:
    """With every swara struck as often."""
    line = [swara.steps for swara in heard.swaras]
    size = len(steps)
    rows = [line[at : at + size] for part in heard.phrases for at in part[: len(part) - size + 1]]
    return size >= SHORTEST and any([step + lift for step in steps] in rows for lift in SAPTAKS)


def _in_saptak(steps: Sequence[int], lift: int) -> tuple[Swara, ...]:
    """The phrase in this saptak, or as it is known where the string does not reach so far."""
    lifted = tuple(Swara.at(step + lift) for step in steps)
    return lifted if within_reach(lifted) else tuple(map(Swara.at, steps))


def lies_in(swaras: Sequence[Swara], phrase: Sequence[Swara]) -> bool:
    """Whether these swaras follow one another so in the phrase."""
    wanted, within = moved(swaras), moved(phrase)
    return any(within[at : at + len(wanted)] == wanted for at in range(len(within)))


SWAPPED = 2
"""What another swara in the place of one costs: the one is left out and the other put in."""


def edits_within(phrase: Sequence[int], line: Sequence[int], swapped: int = 1) -> int:
    """The fewest edits between a phrase and any stretch of a line, the empty one, too; another
    swara in the place of one costs `swapped`."""
    row = [0] * (len(line) + 1)
    for number, step in enumerate(phrase, 1):
        above, row = row, [number]
        for place, other in enumerate(line):
            kept = above[place] + swapped * (step != other)
            row.append(min(kept, above[place + 1] + 1, row[place] + 1))
    return min(row)
