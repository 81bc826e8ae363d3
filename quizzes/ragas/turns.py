"""Lines of a raga that turn on themselves: cut into pieces, and their turns in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from itertools import pairwise, permutations

from audio.tuning import Swara
from quizzes.names import swara_name
from quizzes.ragas.raga import Raga, is_rising
from quizzes.ragas.stock import Swaras

WAYS = ("up", "down", "phrase")
PIECES = (3, 4, 5)
SHORTEST, SHORT, LONGEST = 2, 3, 4
"""Of the swaras of a piece; longer than SHORT only where the line cannot be cut otherwise."""
PHRASE_LEAST = 6
"""A phrase is asked from so many swaras on."""

Cut = tuple[Swaras, ...]


def movement(line: Sequence[Swara], joint: int, way: str) -> str:
    """What the line does at a joint, to stand after the raga's name: `turns back from Ga to Re
    before it goes on to Ma`."""
    here, to = line[joint - 1], line[joint]
    before = next((each for each in reversed(line[: joint - 1]) if each != here), here)
    onward = {"up": 1, "down": -1}.get(way) or (1 if line[-1].steps > line[0].steps else -1)
    came, goes = ((b.steps - a.steps) * onward for a, b in ((before, here), (here, to)))
    names = f"from {swara_name(here)} to {swara_name(to)}"
    if came > 0 > goes:
        beyond = [each for each in line[joint:] if (each.steps - here.steps) * onward > 0]
        then = f" before it goes on to {swara_name(beyond[0])}" if beyond else ""
        return f"turns back {names}{then}"
    if came < 0 < goes:
        return f"turns round at {swara_name(here)} and goes on to {swara_name(to)}"
    return _straight_on(line, joint, 1 if to.steps > here.steps else -1)


def _straight_on(line: Sequence[Swara], joint: int, way: int) -> str:
    """How far it goes on past a joint, and how it turns there."""
    end = joint
    while end + 1 < len(line) and (line[end + 1].steps - line[end].steps) * way > 0:
        end += 1
    go = f"{'up' if way > 0 else 'down'} from {swara_name(line[joint - 1])} to "
    if end + 1 == len(line):
        return f"goes straight {go}{swara_name(line[end])}"
    return f"goes {go}{swara_name(line[end])} and turns there to {swara_name(line[end + 1])}"


def sharpest(cut: Sequence[Swaras]) -> int:
    """The first joint at which the line turns; the first of all where none does."""
    for at, (one, other) in enumerate(pairwise(cut)):
        if (one[-1].steps > one[-2].steps) != (other[0].steps > one[-1].steps):
            return at
    return 0


def spoken(piece: Swaras) -> str:
    return " ".join(map(swara_name, piece))


@cache
def cuts_of(line: Swaras) -> tuple[Cut, ...]:
    """All ways to cut the line so that one order alone of the pieces makes it, and no swara is
    parted from the one that repeats it; into pieces as short as they can be."""
    cuts = [
        cut
        for size in PIECES
        for cut in _cut_into(line, size)
        if all(one[-1] != other[0] for one, other in pairwise(cut))
        and sum(sum(order, ()) == line for order in permutations(cut)) == 1
    ]
    longest = min((max(map(len, cut)) for cut in cuts), default=0)
    return tuple(cut for cut in cuts if max(map(len, cut)) <= max(longest, SHORT))


def _cut_into(line: Swaras, size: int) -> Iterator[Cut]:
    """So many pieces of allowed lengths."""
    if size == 1:
        if SHORTEST <= len(line) <= LONGEST:
            yield (line,)
        return
    for first in range(SHORTEST, LONGEST + 1):
        for rest in _cut_into(line[first:], size - 1):
            yield (line[:first], *rest)


@cache
def turning_lines(way: str, raga: Raga) -> tuple[Swaras, ...]:
    """The lines of this way that turn, have a source, and can be cut."""
    scale = raga.scale.value
    lines: list[Swaras] = []
    if way == "phrase":
        lines = [
            phrase.swaras
            for phrase in raga.phrases
            if phrase.confidence != "C"
            and len(phrase.swaras) >= PHRASE_LEAST
            and phrase.swaras not in (scale.aroha, scale.avaroha)
            and not is_rising(phrase.swaras)
            and not is_rising(phrase.swaras[::-1])
        ]
    elif raga.scale.sure and (raga.vakra_up if way == "up" else raga.vakra_down):
        lines = [scale.aroha if way == "up" else scale.avaroha]
    return tuple(line for line in lines if cuts_of(line))
