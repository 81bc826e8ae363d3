"""A phrase tried by a raga: what breaks it, for sure or perhaps, and how much of it holds.

What no teaching known allows breaks it for sure, and that alone takes from it. What else speaks
against it is told as a doubt, but for what would not even raise one: a fact from memory alone, the
ways of a light raga, and what some teach otherwise.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from audio.tuning import Swara
from quizzes.making.phrases import Heard
from quizzes.ragas.movement import (
    Break,
    Swaras,
    Turn,
    all_breaks,
    makes,
    own_steps,
    sure_breaks,
    turn_of,
)
from quizzes.ragas.raga import Raga

SURE, DOUBT, FREE = "sure", "doubt", "free"
SURE_COSTS = 2
"""Of the swaras of a phrase, what a break takes from what holds (a choice of ours: half of the
swaras foreign, as a guess has them, and nothing holds)."""


@dataclass(frozen=True, slots=True)
class Against:
    """What speaks against a phrase: `why` is "note", "run", "turn" or "required", as in `Break`, or
    "touch", a swara that is only touched; `letter` the swara at fault. `how` is SURE, DOUBT, or
    FREE where it is not even doubtful."""

    why: str
    of: int
    at: int
    letter: str
    how: str
    also: tuple[int, ...] = ()
    """Further places of the same, where they are told together."""


@dataclass(frozen=True, slots=True)
class Tried:
    """What a raga says of a phrase. `steps` are the places of swaras that it is not known to reach
    from the one before, though nothing speaks against them."""

    against: tuple[Against, ...]
    steps: tuple[int, ...]
    count: int

    @property
    def is_doubtful(self) -> bool:
        """Whether something speaks against it, though not for sure."""
        return any(each.how == DOUBT for each in self.against)

    @property
    def surely_broken(self) -> bool:
        return any(each.how == SURE for each in self.against)

    @property
    def is_welcome(self) -> bool:
        """Whether nothing at all speaks against it and every step is the raga's own."""
        return not self.against and not self.steps

    @property
    def share(self) -> float:
        """How much of it holds, from 0 to 1; 1 where it is not surely broken."""
        broken = {each.of for each in self.against if each.how == SURE}
        return max(0.0, 1.0 - SURE_COSTS * len(broken) / self.count)


def tried(raga: Raga, heard: Heard) -> Tried:
    """The whole line: each of its phrases, and what is touched in it."""
    against = sorted(
        {*_broken(raga, heard), *_touched(raga, heard)}, key=lambda each: (each.at, each.of)
    )
    return Tried(tuple(against), tuple(_unknown_steps(raga, heard)), len(heard.notes))


def is_made_by(raga: Raga, heard: Heard) -> bool:
    """Whether this is known to be a line of the raga: it makes each phrase, and has what is
    touched."""
    return all(makes(raga, heard.within(phrase)) for phrase in heard.phrases) and not any(
        _touched(raga, heard)
    )


def _broken(raga: Raga, heard: Heard) -> Iterator[Against]:
    for phrase in heard.phrases:
        swaras = heard.within(phrase)
        sure = sure_breaks(raga, swaras)
        # Both, since what is struck twice may be a run by the one and none by the other.
        for each in dict.fromkeys((*sure, *all_breaks(raga, swaras))):
            how = SURE if each in sure else DOUBT if _decides(raga, each, swaras) else FREE
            letter = swaras[each.of].letter
            yield Against(each.by, each.of + phrase.start, each.at + phrase.start, letter, how)


def _decides(raga: Raga, broken: Break, swaras: Swaras) -> bool:
    """Whether what is not sure still stands against the phrase."""
    if broken.by == "note":  # somebody has it, else it were sure
        return False
    if broken.by == "turn":
        whole = turn_of(swaras[broken.of : broken.at + 1])
        return any(each.confidence != "C" for each in raga.forbidden if turn_of(each.turn) == whole)
    letter = swaras[broken.of].letter
    if broken.by == "required":
        return any(each.confidence != "C" for each in raga.required if each.letter == letter)
    rises = swaras[broken.of].steps < swaras[broken.at].steps
    is_light = "light" in raga.gait.value
    return raga.scale.sure and not is_light and not is_passed_by_some(raga, letter, rises=rises)


def is_passed_by_some(raga: Raga, letter: str, *, rises: bool) -> bool:
    """Whether some teach a way up, or down, that has this swara where ours has it not."""
    scale = raga.scale.value
    own = scale.up if rises else scale.down
    taught = raga.others("aroha" if rises else "avaroha")
    return letter not in own and any(letter in way for way in taught)


def _touched(raga: Raga, heard: Heard) -> Iterator[Against]:
    """Swaras that are not the raga's where they are only touched, or hammered on to."""
    for place, note in enumerate(heard.notes):
        for swara in note.tone.swaras:
            if swara != note.swara and swara.letter not in raga.allowed:
                how = FREE if swara.letter in raga.ever else SURE
                yield Against("touch", place, place, swara.letter, how)


def _unknown_steps(raga: Raga, heard: Heard) -> Iterator[int]:
    """Places of swaras that are come to by a step that the raga is not known to take."""
    known = own_steps(raga)
    for phrase in heard.phrases:
        for place, (one, other) in enumerate(pairwise(heard.within(phrase)), phrase.start + 1):
            if one != other and turn_of((one, other)) not in known:
                yield place


def is_taught_step(raga: Raga, heard: Heard, place: int) -> bool:
    """Whether the step to this place stands in a way that others teach."""
    return turn_of(heard.swaras[place - 1 : place + 1]) in _taught_steps(raga)


@cache
def _taught_steps(raga: Raga) -> frozenset[Turn]:
    ways = (*raga.others("aroha"), *raga.others("avaroha"))
    return frozenset(
        turn_of(pair) for way in ways for pair in pairwise(map(Swara.read, way.split()))
    )
