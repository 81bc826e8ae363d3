"""Lines of a raga that turn on themselves: cut into pieces, and their turns in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from itertools import pairwise, permutations

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


def movement(cut: Sequence[Swaras], at: int, way: str) -> str:
    """What the line does from one piece to the next, to stand after the raga's name: `goes Sa Ga,
    then Re Ma: it turns back from Ga to Re before it goes on to Ma`."""
    line, joint = sum(cut, ()), sum(map(len, cut[: at + 1]))
    goes = f"goes {spoken(cut[at])}, then {spoken(cut[at + 1])}"
    onward = {"up": 1, "down": -1}.get(way) or (1 if line[-1].steps > line[0].steps else -1)
    here, to = line[joint - 1], line[joint]
    before = next((each for each in reversed(line[: joint - 1]) if each != here), here)
    beyond = [each for each in line[joint:] if (each.steps - here.steps) * onward > 0]
    came, went = ((b.steps - a.steps) * onward for a, b in ((before, here), (here, to)))
    if not (came > 0 > went and beyond):
        return goes
    turn = f"it turns back from {swara_name(here)} to {swara_name(to)}"
    return f"{goes}: {turn} before it goes on to {swara_name(beyond[0])}"


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
    """All ways to cut the line so that one order alone of the pieces makes it, the pieces are not
    the steps of a stair, and no swara is parted from the one that repeats it; into pieces as short
    as they can be."""
    cuts = [
        cut
        for size in PIECES
        for cut in _cut_into(line, size)
        if all(one[-1] != other[0] for one, other in pairwise(cut))
        and not _are_steps(cut)
        and sum(sum(order, ()) == line for order in permutations(cut)) == 1
    ]
    longest = min((max(map(len, cut)) for cut in cuts), default=0)
    return tuple(cut for cut in cuts if max(map(len, cut)) <= max(longest, SHORT))


def _are_steps(cut: Cut) -> bool:
    """Whether each piece lies wholly above the one before, or wholly below: they could be put
    together by their heights without having heard how they turn."""
    heights = [[swara.steps for swara in piece] for piece in cut]
    return all(max(one) <= min(other) for one, other in pairwise(heights)) or all(
        min(one) >= max(other) for one, other in pairwise(heights)
    )


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
