"""Lines of a raga that turn on themselves: cut into pieces, and their turns in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from itertools import pairwise, permutations
from math import factorial

from audio.tuning import Swara
from quizzes.names import swara_name
from quizzes.ragas.raga import Raga, is_rising
from quizzes.ragas.stock import Swaras
from words import say, to_say

WAYS = ("up", "down", "phrase")
PIECES = (3, 4, 5)
SHORTEST, SHORT, LONGEST = 2, 3, 4
"""Of the swaras of a piece; longer than SHORT only where the line cannot be cut otherwise."""
MANY_ORDERS = 6
LEAP = 5
"""Semitones, from which on a step onward is called a leap."""
PHRASE_LEAST = 6
"""A phrase is asked from so many swaras on."""
STEPS_UP = {
    "turns": to_say("turns up from {here} to {to}"),
    "leaps": to_say("leaps up from {here} to {to}"),
    "goes on": to_say("goes on up from {here} to {to}"),
}
STEPS_DOWN = {
    "turns": to_say("turns down from {here} to {to}"),
    "leaps": to_say("leaps down from {here} to {to}"),
    "goes on": to_say("goes on down from {here} to {to}"),
}

Cut = tuple[Swaras, ...]


def movement(cut: Sequence[Swaras], at: int, way: str) -> str:
    """What the line does from one piece to the next, said of the raga: `goes Sa Ga, then Re Ma: it
    turns back from Ga to Re before it goes on to Ma`."""
    line, joint = sum(cut, ()), sum(map(len, cut[: at + 1]))
    return say(
        "goes {piece}, then {next}: it {step}",
        piece=spoken(cut[at]),
        next=spoken(cut[at + 1]),
        step=step_to(line, joint, way),
    )


def turns_at(cut: Sequence[Swaras], at: int) -> bool:
    """Whether the line turns from this piece to the next."""
    line, joint = sum(cut, ()), sum(map(len, cut[: at + 1]))
    return _came(line, joint) * _went(line, joint) < 0


def step_to(line: Swaras, at: int, way: str) -> str:
    """How the line comes to this place: `turns back from Ga to Re before it goes on to Ma`."""
    here, to = line[at - 1], line[at]
    names = {"here": swara_name(here), "to": swara_name(to)}
    onward = _onward(line, way)
    came, went = _came(line, at) * onward, (to.steps - here.steps) * onward
    beyond = _beyond(line, at, onward)
    if came > 0 > went and beyond:
        return say(
            "turns back from {here} to {to} before it goes on to {beyond}",
            beyond=swara_name(beyond[0]),
            **names,
        )
    how = "turns" if came * went < 0 else "leaps" if abs(went) >= LEAP else "goes on"
    return say((STEPS_UP if to.steps > here.steps else STEPS_DOWN)[how], **names)


def sharpest(line: Swaras, way: str) -> int:
    """The place to which the line turns back farthest before it goes on beyond; the first at which
    it turns at all where it never does so."""
    onward = _onward(line, way)
    turned = [at for at in range(2, len(line)) if _came(line, at) * _went(line, at) < 0]
    back = {at: _turned_back(line, at, onward) for at in turned if _went(line, at) * onward < 0}
    return max(back, key=lambda at: back[at], default=0) or turned[0]


def _turned_back(line: Swaras, at: int, onward: int) -> int:
    """How far the line falls back from the swara before this place until it has passed it; 0 where
    it never does."""
    before = line[at - 1].steps
    away = [(swara.steps - before) * onward for swara in line[at:]]
    passed = next((place for place, step in enumerate(away) if step > 0), 0)
    return -min(away[:passed], default=0)


def _onward(line: Swaras, way: str) -> int:
    return {"up": 1, "down": -1}.get(way) or (1 if line[-1].steps > line[0].steps else -1)


def _came(line: Swaras, at: int) -> int:
    """By how much the line had moved when it came to the swara before this place."""
    here = line[at - 1]
    before = next((each for each in reversed(line[: at - 1]) if each != here), here)
    return here.steps - before.steps


def _went(line: Swaras, at: int) -> int:
    return line[at].steps - line[at - 1].steps


def _beyond(line: Swaras, at: int, onward: int) -> list[Swara]:
    """What lies farther on than the swara before this place, and comes after it."""
    return [each for each in line[at:] if (each.steps - line[at - 1].steps) * onward > 0]


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


def known_ends(cut: Cut, way: str) -> tuple[bool, bool]:
    """Whether the first piece is known unheard, and the last: the only one that begins on Sa where
    the line does; the only one that ends on Sa in a whole way, which ends there."""
    first, last = cut[0][0], cut[-1][-1]
    begins = first.letter == "S" and sum(piece[0] == first for piece in cut) == 1
    ends = way != "phrase" and last.letter == "S" and sum(piece[-1] == last for piece in cut) == 1
    return begins, ends


def open_orders(cut: Cut, way: str) -> int:
    """How many orders of the pieces whoever has heard nothing cannot rule out."""
    return factorial(len(cut) - sum(known_ends(cut, way)))


@cache
def cuts_to_ask(line: Swaras, way: str) -> tuple[Cut, ...]:
    """The cuts that leave MANY_ORDERS open; where none does those that leave most, if any."""
    most = max((open_orders(cut, way) for cut in cuts_of(line)), default=1)
    least = max(2, min(most, MANY_ORDERS))
    return tuple(cut for cut in cuts_of(line) if open_orders(cut, way) >= least)


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
    return tuple(line for line in lines if cuts_to_ask(line, way))
